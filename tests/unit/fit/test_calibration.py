"""Checks of settings: against real geometry, turned and cut as the test says."""

from __future__ import annotations

import cmath
import math

import pytest

from seamwright.fit.calibration import (
    eight_pieces_deg,
    fence_move_mm,
    five_cut_deg,
    half_square_deg,
    kerf_mm,
)


@pytest.mark.parametrize("off_deg", [0.05, -0.12, 0.3])
def test_five_cuts_carried_out_on_a_real_board_tell_the_error(off_deg: float) -> None:
    """Each cut makes 90° + e with the edge on the fence; the fifth is at 4 e to the first."""
    turned = 0.0
    for _ in range(4):
        turned += 90.0 + off_deg
    lean = math.radians(turned - 360.0)
    length, thick = 400.0, 30.0
    assert five_cut_deg(thick + length * math.tan(lean), thick, length) == pytest.approx(
        off_deg, rel=1e-3
    )


def test_the_published_example_of_the_five_cut_test() -> None:
    """instructables.com, "Table Saw Sledge Accuracy Test: Five Cut Method": −0.4675 mm."""
    assert fence_move_mm(27.89, 29.25, 400.0, 550.0) == pytest.approx(-0.4675)


def test_eight_wedges_gape_by_sixteen_times_the_error() -> None:
    off, radius = 0.02, 120.0
    wedge = math.radians(45.0 - 2.0 * off)
    gap = abs(cmath.rect(radius, 8.0 * wedge) - radius)
    assert eight_pieces_deg(gap, radius) == pytest.approx(off, rel=1e-6)


def test_triangles_of_a_strip_tell_the_45() -> None:
    width, angle = 50.0, 45.2
    leg = width / math.tan(math.radians(angle))
    assert half_square_deg(leg, leg, width) == pytest.approx(0.2)


def test_the_kerf_is_what_is_missing() -> None:
    pieces = [40.0] * 6
    assert kerf_mm(6 * 40.0 + 5 * 3.2, pieces) == pytest.approx(3.2)
    with pytest.raises(ValueError, match="two pieces"):
        kerf_mm(100.0, [100.0])
