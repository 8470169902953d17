"""How light woods look beside each other, and how people see them who mix up some colours.

Reference:
    Lightness: CIE 15:2004, L* and the colour difference of 1976; colours to linear light by
    IEC 61966-2-1 (sRGB), white D65. Colour vision: Machado, Oliveira and Fernandes 2009, A
    physiologically-based model for simulation of color vision deficiency, IEEE Transactions on
    Visualization and Computer Graphics 15(6), table of severity 1.0. The tests compare all of it
    with another library.
"""

from __future__ import annotations

import math
from enum import Enum

from seamwright.pictures.looks import channels

CLOSE_LIGHTNESS = 15.0
"""Woods closer in L* run together when the eyes are half shut; common practice, no source."""
CLOSE_COLOUR = 15.0
"""Colours closer than this are hard to tell at arm's length; common practice, no source."""

Triple = tuple[float, float, float]
_Matrix = tuple[Triple, Triple, Triple]

_TO_XYZ: _Matrix = (
    (0.4124564, 0.3575761, 0.1804375),
    (0.2126729, 0.7151522, 0.0721750),
    (0.0193339, 0.1191920, 0.9503041),
)
_WHITE: Triple = (0.95047, 1.0, 1.08883)


class Sight(Enum):
    """How a person sees colours."""

    FULL = "all colours"
    NO_RED = "without red (protanopia)"
    NO_GREEN = "without green (deuteranopia)"
    NO_BLUE = "without blue (tritanopia)"


_SEEN: dict[Sight, _Matrix] = {
    Sight.FULL: ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    Sight.NO_RED: (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    Sight.NO_GREEN: (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    Sight.NO_BLUE: (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}


def lightness(colour: str) -> float:
    """L* of a colour, 0 black to 100 white.

    >>> round(lightness("#ffffff")), round(lightness("#777777"))
    (100, 50)
    """
    return lab(colour)[0]


def lab(colour: str) -> Triple:
    """L*, a*, b* of a colour (CIE 1976, D65)."""
    x, y, z = (
        _root(value / white)
        for value, white in zip(_times(_TO_XYZ, _linear(colour)), _WHITE, strict=True)
    )
    return (116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z))


def difference(first: str, second: str) -> float:
    """How far two colours lie apart (CIE 1976)."""
    return math.dist(lab(first), lab(second))


def seen(colour: str, sight: Sight) -> str:
    """A colour as a person sees it.

    >>> seen("#c48a5d", Sight.FULL)
    '#c48a5d'
    """
    return _hex(_times(_SEEN[sight], _linear(colour)))


def grey(colour: str) -> str:
    """The grey of the same lightness."""
    share = lab(colour)[0]
    light = ((share + 16.0) / 116.0) ** 3 if share > 8.0 else share / 903.2963
    return _hex((light, light, light))


def _linear(colour: str) -> Triple:
    r, g, b = (_light(value / 255.0) for value in channels(colour))
    return (r, g, b)


def _light(value: float) -> float:
    return value / 12.92 if value <= 0.04045 else float(((value + 0.055) / 1.055) ** 2.4)


def _hex(linear: Triple) -> str:
    return "#" + "".join(f"{round(255.0 * _coded(min(max(v, 0.0), 1.0))):02x}" for v in linear)


def _coded(light: float) -> float:
    return 12.92 * light if light <= 0.0031308 else float(1.055 * light ** (1 / 2.4) - 0.055)


def _root(value: float) -> float:
    return float(value ** (1 / 3)) if value > 0.008856 else 7.787037 * value + 16.0 / 116.0


def _times(matrix: _Matrix, vector: Triple) -> Triple:
    x, y, z = (sum(a * b for a, b in zip(row, vector, strict=True)) for row in matrix)
    return (x, y, z)
