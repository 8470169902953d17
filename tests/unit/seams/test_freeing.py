"""Seams added to what locks."""

from __future__ import annotations

import pytest
from hypothesis import given, settings

from fakes.drawings import block, pinwheel_of_five, split_rings, swirl
from fakes.freed import assert_frees
from fakes.rooms import Room, cells, rectangulations
from fakes.stars import carriers, fewest_cuts, star
from seamwright.geometry import Polygon
from seamwright.seams import free, splits


def star_of_the_library() -> list[Polygon]:
    return [patch.points for patch in block("lemoyne star").patches]


@given(rectangulations())
@settings(deadline=None, max_examples=120)
def test_any_drawing_of_rectangles_is_freed(rooms: list[Room]) -> None:
    rings = cells(rooms)
    freed = free(rings)
    assert_frees(rings, freed)
    assert bool(freed.added) != splits(rings)
    if freed.fewest and freed.added and len(rings) < 12:
        assert len(freed.added) == fewest_cuts(rings, carriers(rings))


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
    assert freed.fewest
    if count is not None:
        assert len(freed.added) == count


@pytest.mark.parametrize("make", [lambda: star(5), lambda: star(6), star_of_the_library])
def test_no_order_of_existing_lines_takes_fewer(make) -> None:
    rings = make()
    freed = free(rings)
    assert_frees(rings, freed)
    assert freed.fewest
    assert len(freed.added) == fewest_cuts(rings, carriers(rings))


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
