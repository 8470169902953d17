"""A seam that is moved takes from one side what it gives to the other, and tears nothing."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seamwright.app import redrawing
from seamwright.app.moving import Reach, move_seam
from seamwright.design import Drawing, read
from seamwright.errors import DesignError
from seamwright.geometry import area, bounds

HEAD = 'unit = "mm"\nthickness = "20"\n'
HEAD += 'woods = { A = "sugar maple", B = "black walnut", C = "black cherry" }\n'
NINE = (
    HEAD
    + """[block.n]
columns = "30 30 30"
rows = "30 30 30"
cells = '''
A B A
B A B
A B A
'''
"""
)
STAR = HEAD + '[block.s]\nfrom = "sawtooth star"\nsize = "120"\n'


def boxes(drawing: Drawing) -> dict[str, tuple[float, float, float, float]]:
    return {patch.name: bounds(patch.points) for patch in drawing.patches}


def test_a_whole_line_of_a_grid() -> None:
    moved = move_seam(read(NINE, name="n"), "1", "2", 7.0, Reach.WHOLE)
    assert [boxes(moved)[name][2] for name in "147"] == [37.0] * 3
    assert [boxes(moved)[name][0] for name in "258"] == [37.0] * 3


def test_one_stretch_of_it() -> None:
    moved = move_seam(read(NINE, name="n"), "1", "2", -7.0, Reach.STRETCH)
    assert [boxes(moved)[name][2] for name in "147"] == [23.0, 30.0, 30.0]


def test_level_seams_go_up() -> None:
    moved = move_seam(read(NINE, name="n"), "1", "4", 5.0, Reach.WHOLE)
    assert [boxes(moved)[name][3] for name in "456"] == [65.0] * 3


def test_a_fan_of_seams_goes_straight_on() -> None:
    drawing = redrawing.lay_seam(read(NINE, name="n"), (0.0, 0.0), (30.0, 30.0))
    upper = next(p.name for p in drawing.patches if set(p.points) >= {(0.0, 0.0), (0.0, 30.0)})
    moved = move_seam(drawing, upper, "4", 6.0, Reach.WHOLE)
    corners = {corner for patch in moved.patches for corner in patch.points}
    assert (30.0, 36.0) in corners
    assert sum(area(p.points) for p in moved.patches) == pytest.approx(8100.0)


def test_a_slanted_neighbour_grows_along_its_own_seam() -> None:
    two = 'patch = [{ wood = "A", points = "0,0 60,0 30,30 0,30" }, '
    two += '{ wood = "B", points = "60,0 60,30 30,30" }, '
    two += '{ wood = "A", points = "0,30 60,30 60,60 0,60" }]'
    drawing = read(HEAD + two, name="n")
    moved = move_seam(drawing, "2", "3", 10.0, Reach.WHOLE)
    assert {(20.0, 40.0), (0.0, 40.0), (60.0, 40.0)} <= {c for p in moved.patches for c in p.points}


@pytest.mark.parametrize("by_mm", [30.0, 31.0, 500.0])
def test_too_far_is_refused(by_mm: float) -> None:
    with pytest.raises(DesignError, match="cannot go there"):
        move_seam(read(NINE, name="n"), "1", "2", by_mm, Reach.WHOLE)


def test_no_seam_between_is_refused() -> None:
    with pytest.raises(DesignError, match="have no seam between them"):
        move_seam(read(NINE, name="n"), "1", "5", 3.0, Reach.WHOLE)


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_a_move_tiles_the_board_or_is_refused(data: st.DataObject) -> None:
    drawing = read(data.draw(st.sampled_from([NINE, STAR])), name="n")
    pairs = [(a.name, b.name) for a in drawing.patches for b in drawing.patches if a.name < b.name]
    first, second = data.draw(st.sampled_from(pairs))
    by_mm = data.draw(st.floats(-14.0, 14.0))
    reach = data.draw(st.sampled_from(Reach))
    try:
        moved = move_seam(drawing, first, second, by_mm, reach)
    except DesignError:
        return
    assert len(moved.patches) == len(drawing.patches)
    assert moved.outline == drawing.outline
    for patch in moved.patches:
        assert patch.wood == redrawing.named_patch(drawing, patch.name).wood
