"""What locks, against an oracle that tries all sets of rectangles."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

import pytest
from hypothesis import given, settings

from fakes.drawings import pinwheel_of_five, split_rings, swirl
from fakes.rooms import Room, cells, rectangulations
from seamwright.seams import locked_groups, splits


def oracle(rooms: Iterable[Room]) -> list[frozenset[Room]]:
    """Groups that cannot be split, from whole numbers alone: every cut is tried in every group."""

    @cache
    def groups(part: frozenset[Room]) -> tuple[frozenset[Room], ...]:
        if len(part) == 1:
            return ()
        for at in (0, 1):
            for where in {room[at] for room in part} | {room[at + 2] for room in part}:
                low = frozenset(r for r in part if r[at + 2] <= where)
                high = frozenset(r for r in part if r[at] >= where)
                if low and high and len(low) + len(high) == len(part):
                    return groups(low) + groups(high)
        return (part,)

    return sorted(groups(frozenset(rooms)), key=sorted)


@given(rectangulations())
@settings(deadline=None, max_examples=300)
def test_what_locks_is_what_the_oracle_says(rooms: list[Room]) -> None:
    found = [frozenset(rooms[i] for i in group) for group in locked_groups(cells(rooms))]
    assert sorted(found, key=sorted) == oracle(rooms)


SWIRL: list[Room] = [(0, 0, 2, 1), (2, 0, 3, 2), (1, 2, 3, 3), (0, 1, 1, 3), (1, 1, 2, 2)]


def test_the_oracle_knows_the_swirl() -> None:
    assert oracle(SWIRL) == [frozenset(SWIRL)]
    assert oracle(SWIRL[:1]) == []


def test_only_what_locks_is_named() -> None:
    rooms = [*SWIRL, (3, 0, 4, 3), (0, 3, 4, 4)]
    assert locked_groups(cells(rooms)) == ((0, 1, 2, 3, 4),)


def test_two_swirls_are_two_groups() -> None:
    other = [(a + 3, b, c + 3, d) for a, b, c, d in SWIRL]
    assert locked_groups(cells([*SWIRL, *other])) == ((0, 1, 2, 3, 4), (5, 6, 7, 8, 9))


def test_a_hollow_cell_locks_with_itself() -> None:
    ell = ((0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (10.0, 10.0), (10.0, 20.0), (0.0, 20.0))
    assert locked_groups([ell]) == ((0,),)


@pytest.mark.parametrize("seed", range(10))
def test_what_was_made_by_straight_cuts_splits(seed: int) -> None:
    for angles in ((0.0, 90.0), (0.0, 45.0, 90.0, 135.0), None):
        assert splits(split_rings(seed, 25, angles=angles))


def test_swirl_and_pinwheel_lock() -> None:
    for board in (swirl(), pinwheel_of_five()):
        rings = [patch.points for patch in board.patches]
        assert locked_groups(rings) == ((0, 1, 2, 3, 4),)
