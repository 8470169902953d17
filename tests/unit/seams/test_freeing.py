"""Seams added to what locks."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from shapely import LineString
from shapely import Polygon as Shape

from fakes.drawings import block, pinwheel_of_five, split_rings, swirl
from fakes.rooms import Room, cells, rectangulations
from seamwright.geometry import SLIVER_MM, Polygon, area, split
from seamwright.seams import Freed, free, splits, supporting_lines


def assert_frees(rings: list[Polygon], freed: Freed) -> None:
    assert splits(freed.cells)
    assert len(freed.cells) == len(freed.origin) == len(rings) + len(freed.added)
    for number, ring in enumerate(rings):
        parts = [
            Shape(cell)
            for cell, origin in zip(freed.cells, freed.origin, strict=True)
            if origin == number
        ]
        assert sum(part.area for part in parts) == pytest.approx(area(ring), rel=1e-9)
        assert all(Shape(ring).buffer(1e-6).covers(part) for part in parts)
        for i, part in enumerate(parts):
            assert all(part.intersection(other).area < 1e-6 for other in parts[:i])
        cuts = [seam for seam in freed.added if seam.cell == number]
        assert len(parts) == len(cuts) + 1
        whole = Shape(ring)
        for seam in cuts:
            line = LineString([seam.start, seam.end])
            assert line.length >= SLIVER_MM
            assert whole.buffer(1e-6).contains(line)
            assert whole.boundary.intersection(line).length < 1e-6, "it runs through the inside"
    carriers = supporting_lines(rings)
    for seam in freed.added:
        assert any(
            abs(entry.line.side(seam.start)) < 1e-4 and abs(entry.line.side(seam.end)) < 1e-4
            for entry in carriers
        ), "an added seam carries on along one that is drawn"


def one_cut_would_do(rings: list[Polygon]) -> bool:
    for number, ring in enumerate(rings):
        for entry in supporting_lines(rings):
            if entry.crossed >> number & 1:
                halves = [part for side in split(ring, entry.line) for part in side]
                if splits([*rings[:number], *halves, *rings[number + 1 :]]):
                    return True
    return False


@given(rectangulations())
@settings(deadline=None, max_examples=120)
def test_any_drawing_of_rectangles_is_freed(rooms: list[Room]) -> None:
    rings = cells(rooms)
    freed = free(rings)
    assert_frees(rings, freed)
    assert bool(freed.added) != splits(rings)
    if freed.fewest and len(freed.added) > 1 and len(rings) < 14:
        assert not one_cut_would_do(rings)


@pytest.mark.parametrize(
    ("make", "count"),
    [
        (swirl, 1),
        (pinwheel_of_five, 1),
        (lambda: block("bow tie"), None),
        (lambda: block("lemoyne star"), 8),
        (lambda: block("tumbling blocks"), None),
    ],
)
def test_known_drawings_that_lock(make, count: int | None) -> None:
    rings = [patch.points for patch in make().patches]
    assert not splits(rings)
    freed = free(rings)
    assert_frees(rings, freed)
    if count is not None:
        assert len(freed.added) == count


@pytest.mark.parametrize("seed", range(6))
def test_what_splits_is_left_alone(seed: int) -> None:
    rings = split_rings(seed, 20, angles=None)
    freed = free(rings)
    assert (freed.cells, freed.origin) == (tuple(rings), tuple(range(len(rings))))
    assert (freed.added, freed.fewest) == ((), True)


def test_without_time_it_is_freed_all_the_same_and_says_so() -> None:
    rings = [patch.points for patch in swirl().patches]
    freed = free(rings, seconds=-1.0)
    assert_frees(rings, freed)
    assert not freed.fewest


def test_a_hollow_cell_is_cut() -> None:
    ell = ((0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (10.0, 10.0), (10.0, 20.0), (0.0, 20.0))
    square = ((10.0, 10.0), (20.0, 10.0), (20.0, 20.0), (10.0, 20.0))
    freed = free([ell, square])
    assert_frees([ell, square], freed)
    assert [seam.cell for seam in freed.added] == [0]
