"""What a choice cannot do without: rows that tie exclusive ways together.

If every way to finish a mode needs a thing (a part, a bar, a setting), then the thing is paid as
soon as the mode is chosen. Modes of one node exclude each other, so the thing's column is at least
the *sum* of all modes of the node that need it. Without these rows the relaxation serves two
half-chosen ways with one half-paid thing.
"""

from __future__ import annotations

from collections.abc import Iterator

from seamwright.planner.problem import Problem
from seamwright.seams import members


def needs(problem: Problem) -> list[list[int]]:
    """For each node and mode everything it cannot do without, as bit sets.

    Bits: nodes first, then pools, then settings.
    """
    nodes, pools = len(problem.nodes), len(problem.pools)
    by_mode: list[list[int]] = [[] for _ in problem.nodes]
    by_node = [0] * nodes
    for number in range(nodes - 1, -1, -1):
        common = -1
        for mode in problem.nodes[number].modes:
            need = 0
            for child, _ in mode.children:
                need |= by_node[child] | 1 << child
            if mode.pool >= 0:
                need |= 1 << (nodes + mode.pool)
                for setting in problem.pools[mode.pool].settings:
                    need |= 1 << (nodes + pools + setting)
            for setting in mode.settings:
                need |= 1 << (nodes + pools + setting)
            by_mode[number].append(need)
            common &= need
        by_node[number] = max(common, 0)
    return by_mode


def shared_needs(problem: Problem) -> Iterator[tuple[int, tuple[int, ...], int]]:
    """Things that two or more modes of one node need: (node, its modes, the thing's bit).

    A thing that follows from another one needed by the same modes is left out.
    """
    by_mode = needs(problem)
    nodes = len(problem.nodes)
    by_node = [_common(row) for row in by_mode]
    for number, row in enumerate(by_mode):
        if len(row) < 2:
            continue
        groups: dict[tuple[int, ...], int] = {}
        everything = 0
        for need in row:
            everything |= need
        for thing in members(everything):
            users = tuple(k for k, need in enumerate(row) if need >> thing & 1)
            if len(users) > 1:
                groups[users] = groups.get(users, 0) | 1 << thing
        for users, things in groups.items():
            implied = 0
            for thing in members(things):
                if thing < nodes:
                    implied |= by_node[thing]
            for thing in members(things & ~implied):
                yield number, users, thing


def _common(row: list[int]) -> int:
    common = row[0] if row else 0
    for need in row[1:]:
        common &= need
    return common
