"""How many of each node can any plan need? Tight answers make the exact choice fast.

Two bounds, the smaller counts. Downwards: a child is needed at most as often as its parents' most
demanding modes say. Upwards: one of a node contains at most so many of another, whichever way it
is taken apart; so the board does too, plus what billets waste when their number is rounded up.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from seamwright.planner.contents import Contents, Rows
from seamwright.planner.problem import Mode


def most_needed(
    nodes: Sequence[Sequence[Mode]], copies: int, inside: Rows | None = None
) -> list[int]:
    """For each node a number that no plan exceeds.

    Args:
        nodes: modes of every node; children stand after their parents, node 0 is the board.
        copies: boards wanted.
        inside: what nodes contain, where that is known.
    """
    inside = inside or _contents(nodes)
    steps = _steps(nodes, copies)
    ceiling = [0.0] * len(nodes)
    for node, times in inside[0].items():
        ceiling[node] = copies * times
    for number, modes in enumerate(nodes):
        left: dict[int, float] = {}
        for mode in modes:
            over = mode.yields - math.gcd(mode.yields, steps[number])
            if over:
                for node, times in _left_over(mode, over, inside).items():
                    left[node] = max(left.get(node, 0.0), times)
        for node, times in left.items():
            ceiling[node] += times
    most = [0] * len(nodes)
    most[0] = copies
    for number, modes in enumerate(nodes):
        most[number] = min(most[number], int(ceiling[number] + 1e-6)) if number else copies
        reach: dict[int, int] = {}
        for mode in modes:
            uses = -(-most[number] // mode.yields)
            for child, times in mode.children:
                if uses * times > reach.get(child, 0):
                    reach[child] = uses * times
        for child, count in reach.items():
            most[child] += count
    return most


def _steps(nodes: Sequence[Sequence[Mode]], copies: int) -> list[int]:
    """For each node a number that divides whatever is needed of it."""
    steps = [0] * len(nodes)
    steps[0] = copies
    for number, modes in enumerate(nodes):
        for mode in modes:
            uses = 1 if steps[number] % mode.yields else steps[number] // mode.yields
            for child, times in mode.children:
                steps[child] = math.gcd(steps[child], uses * times)
    return steps


def _left_over(mode: Mode, over: int, inside: Rows) -> dict[int, float]:
    """What is in the parts that a mode makes too many, when it makes so many too many."""
    left: dict[int, float] = {}
    for child, count in mode.children:
        share = count * over / mode.yields
        for node, times in inside[child].items():
            left[node] = left.get(node, 0.0) + share * times
    return left


def _contents(nodes: Sequence[Sequence[Mode]]) -> Rows:
    """What nodes contain, worked out afresh."""
    ways = {
        (number, False): [
            (mode, tuple([((child, False), times) for child, times in mode.children]))
            for mode in modes
        ]
        for number, modes in enumerate(nodes)
    }
    return Contents().rows(ways, list(ways))
