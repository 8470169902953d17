"""Which of all modes some plan can use: no dead ends, no circles, parents before children."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from seamwright.planner.options import CrossStrips
from seamwright.planner.problem import Mode

Place = tuple[int, bool]
"""A kind, flat or as a deep billet."""

Ways = list[tuple[Mode, tuple[tuple[Place, int], ...]]]
"""Modes of one place, each with what it needs and how many of it."""

Modes = dict[Place, Ways]
"""For every place its modes."""


class Use(NamedTuple):
    """A mode of a node, as much of it as bounds ask for.

    Attributes:
        yields: how many of the node one use makes.
        children: (node, how many of it for one use).
    """

    yields: int
    children: tuple[tuple[int, int], ...]


def feasible(
    modes: Modes,
) -> Modes:
    """Drop, in place, modes that need a part nobody can make, until none is left."""
    users: dict[Place, list[Place]] = {}
    for place, own in modes.items():
        for _, children in own:
            for child, _ in children:
                users.setdefault(child, []).append(place)
    dead = [place for place, own in modes.items() if not own]
    gone = set(dead)
    while dead:
        place = dead.pop()
        for user in users.get(place, ()):
            if user in gone:
                continue
            modes[user] = [
                (mode, children)
                for mode, children in modes[user]
                if all(child not in gone for child, _ in children)
            ]
            if not modes[user]:
                gone.add(user)
                dead.append(user)
    return {place: own for place, own in modes.items() if place not in gone}


def drop_circles(modes: Modes, order: list[Place]) -> bool:
    """Drop, in place, modes that need what they help to make; whether there were any."""
    number = {place: i for i, place in enumerate(order)}
    dropped = False
    for i, place in enumerate(order):
        kept = [
            (mode, children)
            for mode, children in modes[place]
            if all(number.get(child, -1) > i for child, _ in children)
        ]
        if len(kept) < len(modes[place]):
            dropped = True
            modes[place] = kept
    return dropped


def worth_making(
    ways: Sequence[Ways], uses: Sequence[Sequence[Use]], most: Sequence[int]
) -> list[list[int] | None]:
    """For each node the modes that some plan can need; None where nothing leads to it.

    One part is never resawn from a billet, nor set in a row with others, and a set of strips is not
    made longer than all its slices that are needed.

    Args:
        ways, uses: the modes of every node; children stand after their parents.
        most: how many of each node a plan needs at the most.
    """
    kept: list[list[int] | None] = [None] * len(ways)
    alive = {0}
    for number, own in enumerate(ways):
        if number in alive:
            left = [k for k, (mode, _) in enumerate(own) if is_needed(mode, most[number])]
            alive.update([child for k in left for child, _ in uses[number][k].children])
            kept[number] = left
    return kept


def is_needed(mode: Mode, most: int) -> bool:
    """Whether a mode may be worth while where no more than so many are needed."""
    if mode.yields == 1:
        return True
    return mode.yields <= most if isinstance(mode.way, CrossStrips) else most > 1


def in_order(
    modes: Modes,
) -> list[Place]:
    """Places reachable from the board, parents before children (depth-first, reversed)."""
    if (0, False) not in modes:
        return []
    done: list[Place] = []
    state: dict[Place, bool] = {}
    stack: list[tuple[Place, bool]] = [((0, False), False)]
    while stack:
        place, leaving = stack.pop()
        if leaving:
            state[place] = True
            done.append(place)
            continue
        if place in state:
            continue
        state[place] = False
        stack.append((place, True))
        for _, children in modes[place]:
            stack.extend((child, False) for child, _ in children if child not in state)
    return done[::-1]
