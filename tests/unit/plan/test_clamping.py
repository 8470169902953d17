"""Clamping blocks: what the wood and its blocks make together is a rectangle to the clamps."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from seamwright.geometry import Motion, area, bounds, convex_hull
from seamwright.plan import Laminate, Placed, blocks_for, clamping_blocks

SQUARE = ((0.0, 0.0), (100.0, 0.0), (100.0, 60.0), (0.0, 60.0))
DIAMOND = ((50.0, 0.0), (100.0, 50.0), (50.0, 100.0), (0.0, 50.0))


def test_opposite_faces_need_no_block() -> None:
    assert clamping_blocks(SQUARE, 90.0) == ()
    assert clamping_blocks(SQUARE, 0.0) == ()


def test_a_point_is_pressed_between_two_slopes() -> None:
    blocks = clamping_blocks(DIAMOND, 90.0)
    assert len(blocks) == 4
    assert {block.size for block in blocks} == {(45.0, 50.0, 50.0)}


@given(
    points=st.lists(
        st.tuples(st.floats(-200.0, 200.0), st.floats(-200.0, 200.0)), min_size=4, max_size=12
    ),
    press=st.floats(0.0, 179.0),
)
def test_wood_and_blocks_fill_the_rectangle(points, press: float) -> None:
    hull = convex_hull(points)
    if len(hull) < 3 or area(hull) < 100.0:
        return
    left, bottom, right, top = bounds(Motion(turn_deg=90.0 - press).polygon(hull))
    whole = (right - left) * (top - bottom)
    blocks = clamping_blocks(hull, press)
    filled = area(hull) + sum(area(block.outline) for block in blocks)
    # hollows under a millimetre get no block
    assert filled <= whole + 1e-6 * whole
    assert whole - filled <= 4.0 * max(right - left, top - bottom)
    for block in blocks:
        slope = math.degrees(math.atan2(block.high_mm, block.long_mm))
        if len(block.outline) == 3:
            assert block.lean_deg == pytest.approx(slope, abs=1e-6)
        else:
            # the longest edge of a bent slope may be flatter or steeper than the whole
            assert 0.0 < block.lean_deg < 90.0


def glue_up(hull_parts: int, *, corner: float | None, angled: bool = True) -> Laminate:
    return Laminate(
        makes="U1",
        count=1,
        parts=tuple(Placed(part="P1") for _ in range(hull_parts)),
        seams_deg=0.0,
        clampings=1,
        angled=angled,
        corner_deg=corner,
    )


def test_a_corner_between_square_faces_takes_a_clamp_for_each_seam_and_no_block() -> None:
    assert blocks_for(glue_up(2, corner=90.0), SQUARE) == ()
    # pressed along its middle a diamond shows flat faces
    assert blocks_for(glue_up(2, corner=90.0), DIAMOND) == ()
    assert len(blocks_for(glue_up(2, corner=60.0), DIAMOND)) == 4
    assert blocks_for(glue_up(2, corner=None, angled=False), DIAMOND) == ()


def test_the_press_runs_between_the_two_seams() -> None:
    assert glue_up(2, corner=90.0).press_deg == pytest.approx(45.0)
    assert glue_up(2, corner=None).press_deg == pytest.approx(90.0)
