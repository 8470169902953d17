"""Lightness and colour vision against colorspacious, which carries the published tables itself.

Machado, Oliveira and Fernandes 2009 (severity 1.0), CIE 15:2004 and IEC 61966-2-1 as implemented
in colorspacious 1.1.2.
"""

from __future__ import annotations

import math

import pytest
from colorspacious import cspace_convert
from hypothesis import given
from hypothesis import strategies as st

from seamwright.pictures.looks import channels
from seamwright.pictures.values import Sight, difference, grey, lab, lightness, seen

COLOURS = st.integers(0, 0xFFFFFF).map(lambda n: f"#{n:06x}")
NAMES = {
    Sight.NO_RED: "protanomaly",
    Sight.NO_GREEN: "deuteranomaly",
    Sight.NO_BLUE: "tritanomaly",
}


@given(COLOURS)
def test_lab(colour: str) -> None:
    theirs = cspace_convert([value / 255 for value in channels(colour)], "sRGB1", "CIELab")
    assert lab(colour) == pytest.approx(tuple(theirs), abs=0.05)


@given(COLOURS, st.sampled_from(list(NAMES)))
def test_what_is_seen(colour: str, sight: Sight) -> None:
    space = {"name": "sRGB1+CVD", "cvd_type": NAMES[sight], "severity": 100}
    theirs = cspace_convert([value / 255 for value in channels(colour)], space, "sRGB1")
    expected = [min(max(255 * value, 0), 255) for value in theirs]
    assert list(channels(seen(colour, sight))) == pytest.approx(expected, abs=1.01)


@given(COLOURS)
def test_a_grey_is_as_light(colour: str) -> None:
    assert math.isclose(lightness(grey(colour)), lightness(colour), abs_tol=0.4)
    assert difference(colour, colour) == 0.0
