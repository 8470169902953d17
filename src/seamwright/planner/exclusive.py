"""Modes that cannot both be picked, and the rows that follow.

A node is made only if some mode above it is picked. The modes that are picked above it in every
case are its dominators. Two modes whose dominators (themselves included) hold different modes of
one node exclude each other. Where several modes exclude each other pairwise and each cannot do
without a thing, the thing is picked at least as much as all of them together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from seamwright.planner.must import needs
from seamwright.planner.problem import Problem
from seamwright.seams import members


@dataclass(frozen=True, slots=True)
class Row:
    """The thing's columns are worth at least the sum of these modes (numbers of modes)."""

    thing: int
    modes: tuple[int, ...]


class Exclusions:
    """Which modes exclude each other, and what each needs.

    Modes are numbered through: all of node 0, then all of node 1, and so on.

    Attributes:
        modes: node and own number of every mode.
        dominators: for each mode the modes that are picked with it in every case, as a bit set.
    """

    def __init__(self, problem: Problem) -> None:
        self.modes = [
            (n, k) for n, node in enumerate(problem.nodes) for k in range(len(node.modes))
        ]
        self._users: dict[int, int] = {}
        for mode, need in enumerate(need for row in needs(problem) for need in row):
            for thing in members(need):
                self._users[thing] = self._users.get(thing, 0) | 1 << mode
        self.dominators = _dominators(problem, self.modes)
        self._excludes = _exclusions(problem, self.modes, self.dominators)

    def next_above(self, mode: int) -> int:
        """Of the modes that are picked with it in every case the nearest; −1 for the board's."""
        return (self.dominators[mode] ^ 1 << mode).bit_length() - 1

    def violated(self, picked: Sequence[float], things: Sequence[float], *, by: float) -> list[Row]:
        """Rows that a fractional answer breaks.

        Args:
            picked: value of every mode.
            things: value of every thing (nodes, pools, settings).
            by: smallest violation worth a row.
        """
        alive = sum(1 << m for m, value in enumerate(picked) if value > 1e-6)
        rows = []
        for thing, value in enumerate(things):
            if value > 1.0 - 1e-6:
                continue
            users = members(self._users.get(thing, 0) & alive)
            if sum(picked[m] for m in users) <= value + by:
                continue
            users.sort(key=lambda m: -picked[m])
            for start in users[:4]:
                group = self._clique(start, users)
                if sum(picked[m] for m in group) > value + by:
                    rows.append(Row(thing, tuple(group)))
                    break
        return rows

    def _clique(self, start: int, users: Sequence[int]) -> list[int]:
        """Modes that exclude each other, the heaviest first."""
        group = [start]
        common = self._excludes[start]
        for mode in users:
            if common >> mode & 1:
                group.append(mode)
                common &= self._excludes[mode]
        return group


def _dominators(problem: Problem, modes: Sequence[tuple[int, int]]) -> list[int]:
    number = {mode: i for i, mode in enumerate(modes)}
    above: list[int | None] = [None] * len(problem.nodes)
    above[0] = 0
    dominators = [0] * len(modes)
    for n, node in enumerate(problem.nodes):
        over = above[n] or 0
        for k, mode in enumerate(node.modes):
            own = over | 1 << number[n, k]
            dominators[number[n, k]] = own
            for child, _ in mode.children:
                known = above[child]
                above[child] = own if known is None else known & own
    return dominators


def _exclusions(
    problem: Problem, modes: Sequence[tuple[int, int]], dominators: Sequence[int]
) -> list[int]:
    number = {mode: i for i, mode in enumerate(modes)}
    others = [0] * len(modes)
    for n, node in enumerate(problem.nodes):
        siblings = sum(1 << number[n, k] for k in range(len(node.modes)))
        for k in range(len(node.modes)):
            others[number[n, k]] = siblings & ~(1 << number[n, k])
    dominated = [0] * len(modes)
    for i, own in enumerate(dominators):
        for j in members(own):
            dominated[j] |= 1 << i
    excludes = []
    for own in dominators:
        hit = 0
        for j in members(own):
            for rival in members(others[j]):
                hit |= dominated[rival]
        excludes.append(hit)
    return excludes
