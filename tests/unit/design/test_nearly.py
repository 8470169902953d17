"""Sizes that nearly equal others: what is offered is sound, small, and makes them equal."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seamwright.design import Drawing, nearly_equal, read, settle
from seamwright.geometry import bounds

GRID = """
unit = "mm"
thickness = 20
woods = {{ A = "oak", B = "elm" }}
[block.grid]
columns = "{columns}"
rows = "{rows}"
cells = '''
{cells}
'''
"""


def grid(columns: list[float], rows: list[float]) -> Drawing:
    cells = "\n".join(
        " ".join("AB"[(x + y) % 2] for x in range(len(columns))) for y in range(len(rows))
    )
    words = [" ".join(f"{size:g}" for size in sizes) for sizes in (columns, rows)]
    return read(GRID.format(columns=words[0], rows=words[1], cells=cells), name="grid")


def sizes(drawing: Drawing, name: str) -> tuple[float, float]:
    patch = next(p for p in drawing.patches if p.name == name)
    x0, y0, x1, y1 = bounds(patch.points)
    return (x1 - x0, y1 - y0)


SIZES = st.lists(st.sampled_from([20.0, 20.5, 21.0, 22.0, 40.0, 41.5, 0.9]), min_size=1, max_size=4)


@settings(max_examples=60, deadline=None)
@given(columns=SIZES, rows=SIZES, within=st.sampled_from([0.4, 0.5, 1.0, 2.0]))
def test_what_is_offered_is_sound_small_and_makes_two_sizes_one(
    columns: list[float], rows: list[float], within: float
) -> None:
    drawing = grid(columns, rows)
    for one in nearly_equal(drawing, within_mm=within, most=50):
        assert settle(one.drawing) == one.drawing
        assert 0.0 < abs(one.to_mm - one.was_mm) <= within + 1e-3
        if not one.like:
            continue
        for name in one.changed:
            assert any(size == pytest.approx(one.to_mm) for size in sizes(one.drawing, name))
        for name in one.like:
            assert any(size == pytest.approx(one.to_mm) for size in sizes(one.drawing, name))


def test_every_pair_of_near_columns_is_offered_both_ways() -> None:
    offered = {
        (one.was_mm, one.to_mm)
        for one in nearly_equal(grid([20.0, 21.0, 40.0], [60.0]), within_mm=2.0, most=50)
    }
    assert offered == {(20.0, 21.0), (21.0, 20.0)}


def test_seams_that_miss_each_other_by_a_hair_are_brought_into_line() -> None:
    text = """
        unit = "mm"
        thickness = 20
        woods = { A = "oak", B = "elm" }
        patch = [
            { wood = "A", points = "0,0 50,0 50,40 0,40" },
            { wood = "B", points = "50,0 100,0 100,40 50,40" },
            { wood = "B", points = "0,40 51,40 51,80 0,80" },
            { wood = "A", points = "51,40 100,40 100,80 51,80" },
        ]
    """
    drawing = read(text, name="hair")
    in_line = [one for one in nearly_equal(drawing, within_mm=1.5, most=50) if not one.like]
    (one,) = in_line
    assert (one.was_mm, one.band_to_mm) == (pytest.approx(1.0), 0.0)
    xs = {round(x, 6) for patch in one.drawing.patches for x, _ in patch.points}
    assert len(xs) == 3


def test_the_smallest_changes_come_first_and_no_more_than_asked() -> None:
    drawing = grid([20.0, 20.5, 22.0], [40.0, 41.5])
    some = nearly_equal(drawing, within_mm=2.0, most=3)
    by = [abs(one.to_mm - one.was_mm) for one in some]
    assert len(some) == 3
    assert by == sorted(by)
