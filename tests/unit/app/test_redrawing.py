"""Drawing by hand: the patches always tile the board, and every step can be taken back."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seamwright.app import redrawing
from seamwright.app.beginning import Blocks, Sheet, from_blocks, from_file, from_grid
from seamwright.design import Drawing, Unit, demo, read
from seamwright.errors import DesignError, LengthError
from seamwright.geometry import area, bounds

SHEET = Sheet(
    title="Try", unit=Unit.MM, thickness="19", woods=("sugar maple", "black walnut", "cherry")
)
PLACES = st.tuples(st.integers(0, 12), st.integers(0, 8)).map(lambda p: (p[0] * 10.0, p[1] * 10.0))


def grid(columns: int, rows: int) -> Drawing:
    text = from_grid(SHEET, width="120", height="80", columns=columns, rows=rows)
    return read(text, name="try")


@settings(max_examples=60, deadline=None)
@given(start=PLACES, end=PLACES, columns=st.integers(1, 4), rows=st.integers(1, 3))
def test_a_seam_cuts_what_it_crosses_and_joining_the_halves_undoes_it(
    start: tuple[float, float], end: tuple[float, float], columns: int, rows: int
) -> None:
    before = grid(columns, rows)
    try:
        after = redrawing.lay_seam(before, start, end)
    except DesignError:
        return
    assert math.isclose(sum(area(p.points) for p in after.patches), 120 * 80, abs_tol=1e-6)
    names = {patch.name for patch in before.patches}
    fresh = [patch.name for patch in after.patches if patch.name not in names]
    back = after
    for new in fresh:
        for old in sorted(names):
            try:
                joined = redrawing.join(back, old, new)
            except DesignError:
                continue
            whole = next(p for p in joined.patches if p.name == old)
            if set(whole.points) == {q for p in before.patches if p.name == old for q in p.points}:
                back = joined
                break
    shapes = {frozenset(patch.points) for patch in back.patches}
    assert shapes == {frozenset(patch.points) for patch in before.patches}


def test_a_short_seam_runs_on_to_the_far_side_and_no_further() -> None:
    drawing = redrawing.lay_seam(grid(2, 1), (0.0, 40.0), (30.0, 40.0))
    assert len(drawing.patches) == 3


@pytest.mark.parametrize(
    ("start", "end"),
    [((0, 0), (0, 0)), ((0, 0), (120, 0)), ((60, 0), (60, 80)), ((0, 0.1), (120, 0.1))],
)
def test_seams_that_cannot_be_are_refused(start, end) -> None:
    with pytest.raises(DesignError):
        redrawing.lay_seam(grid(2, 1), start, end)


def test_patches_that_do_not_meet_cannot_become_one() -> None:
    with pytest.raises(DesignError, match="share one seam"):
        redrawing.join(grid(3, 1), "1", "3")


def test_four_quarter_turns_and_two_mirrors_give_the_board_back() -> None:
    drawing = read(demo(), name="demo")
    turned = drawing
    for _ in range(4):
        turned = redrawing.quarter_turn(turned)
    mirrored = redrawing.mirror(redrawing.mirror(drawing))
    for again in (turned, mirrored):
        assert {(frozenset(p.points), p.wood, p.grain_deg) for p in again.patches} == {
            (frozenset(p.points), p.wood, p.grain_deg) for p in drawing.patches
        }


def test_a_board_takes_the_size_typed() -> None:
    drawing = redrawing.resize(
        grid(3, 2), width="10 in", height="200", thickness="3/4 in", copies=2
    )
    assert bounds(drawing.outline) == (0.0, 0.0, 254.0, 200.0)
    assert (drawing.thickness_mm, drawing.copies) == (19.05, 2)
    with pytest.raises(LengthError):
        redrawing.resize(drawing, width="wide", height="1", thickness="1", copies=1)


def test_woods_and_grain() -> None:
    drawing = redrawing.fill(grid(2, 1), {"1"}, "B")
    drawing = redrawing.turn_grain(drawing, {"2"}, None)
    assert [(p.wood, p.grain_deg) for p in drawing.patches] == [("B", 90.0), ("A", 0.0)]
    drawing = redrawing.name_wood(drawing, "", "white oak")
    assert drawing.woods[-1] == ("D", "white oak")
    with pytest.raises(DesignError):
        redrawing.fill(drawing, {"1"}, "Z")


def test_two_blocks_in_turn_with_sashing() -> None:
    blocks = Blocks(
        first="ohio star", second="pinwheel", size="90", across=3, down=2, sashing="10", border="20"
    )
    drawing = read(from_blocks(SHEET, blocks), name="try")
    assert bounds(drawing.outline) == (0.0, 0.0, 3 * 90 + 2 * 10 + 40.0, 2 * 90 + 10 + 40.0)


def test_fills_of_a_drawing_become_woods_in_the_order_met() -> None:
    raw = (
        b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 2 1">'
        b'<rect width="1" height="1" fill="#111111"/>'
        b'<rect x="1" width="1" height="1" style="fill:#222222"/></svg>'
    )
    drawing = read(from_file(SHEET, "own.SVG", raw, width="100"), name="try")
    assert [patch.wood for patch in drawing.patches] == ["A", "B"]


def test_a_board_has_a_name_of_one_line() -> None:
    assert redrawing.retitle(grid(2, 2), "  Tea \n tray ").title == "Tea tray"
    for name, said in ((" ", "the name of the board is empty"), ("x" * 121, "has 121 characters")):
        with pytest.raises(DesignError, match=said):
            redrawing.retitle(grid(2, 2), name)
