"""Which of all modes some plan can use: no dead ends, no circles, parents before children."""

from __future__ import annotations

from dataclasses import replace

from seamwright.planner.options import CrossStrips
from seamwright.planner.problem import Mode, Node

Place = tuple[int, bool]
"""A kind, flat or as a deep billet."""

Ways = list[tuple[Mode, tuple[tuple[Place, int], ...]]]
"""Modes of one place, each with what it needs and how many of it."""

Modes = dict[Place, Ways]
"""For every place its modes."""


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


def worth_resawing(nodes: tuple[Node, ...]) -> tuple[Node, ...]:
    """Drop ways that make more than any plan needs, and what only they would use.

    One part is never resawn from a billet, nor set in a row with others, and a set of strips is not
    made longer than all its slices that are needed.
    """
    kept = tuple(
        node
        if all(_is_needed(mode, node.most) for mode in node.modes)
        else replace(node, modes=tuple(m for m in node.modes if _is_needed(m, node.most)))
        for node in nodes
    )
    alive = {0}
    for number, node in enumerate(kept):
        if number in alive:
            alive.update(child for mode in node.modes for child, _ in mode.children)
    if len(alive) == len(kept):
        return kept
    number_of = {old: new for new, old in enumerate(sorted(alive))}
    return tuple(
        replace(
            kept[old],
            modes=tuple(
                mode.numbered(
                    tuple([(number_of[c], times) for c, times in mode.children]),
                    mode.settings,
                    mode.pool,
                )
                for mode in kept[old].modes
            ),
        )
        for old in sorted(alive)
    )


def _is_needed(mode: Mode, most: int) -> bool:
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
