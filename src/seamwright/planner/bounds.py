"""How many of each node can any plan need? Tight answers make the exact choice fast.

Two bounds, the smaller counts. Downwards: a child is needed at most as often as its parents' most
demanding modes say. Upwards: one of a node contains at most so many of another, whichever way it
is taken apart; so the board does too, plus what billets waste when their number is rounded up.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from seamwright.planner.contents import Rows
from seamwright.planner.problem import Mode
from seamwright.planner.reach import Use

Uses = Sequence[Sequence[Mode | Use]]
"""Modes of every node; children stand after their parents, node 0 is the board."""


def most_needed(nodes: Uses, copies: int, inside: Rows) -> list[int]:
    """For each node a number that no plan exceeds.

    Args:
        nodes: modes of every node.
        copies: boards wanted.
        inside: what nodes contain.
    """
    steps = _steps(nodes, copies)
    ceiling = {part: copies * times for part, times in inside.of(0).items()}
    for number, modes in enumerate(nodes):
        left: dict[int, float] = {}
        for mode in modes:
            over = mode.yields - math.gcd(mode.yields, steps[number])
            if over:
                own = _left_over(mode, over, inside)
                left = own | {part: t for part, t in left.items() if t > own.get(part, 0.0)}
        for part, times in left.items():
            ceiling[part] = ceiling.get(part, 0.0) + times
    most = [0] * len(nodes)
    most[0] = copies
    for number, modes in enumerate(nodes):
        if number:
            most[number] = min(most[number], int(ceiling.get(inside.part(number), 0.0) + 1e-6))
        reach: dict[int, int] = {}
        for mode in modes:
            uses = -(-most[number] // mode.yields)
            for child, times in mode.children:
                if uses * times > reach.get(child, 0):
                    reach[child] = uses * times
        for child, count in reach.items():
            most[child] += count
    return most


def _steps(nodes: Uses, copies: int) -> list[int]:
    """For each node a number that divides whatever is needed of it."""
    steps = [0] * len(nodes)
    steps[0] = copies
    for number, modes in enumerate(nodes):
        for mode in modes:
            uses = 1 if steps[number] % mode.yields else steps[number] // mode.yields
            for child, times in mode.children:
                steps[child] = math.gcd(steps[child], uses * times)
    return steps


def _left_over(mode: Mode | Use, over: int, inside: Rows) -> dict[int, float]:
    """What is in the parts that a mode makes too many, when it makes so many too many."""
    left: dict[int, float] = {}
    for child, count in mode.children:
        share = count * over / mode.yields
        row = inside.of(child)
        if left:
            had = left.get
            left.update([(part, had(part, 0.0) + share * times) for part, times in row.items()])
        else:
            left = {part: share * times for part, times in row.items()}
    return left
