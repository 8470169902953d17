"""Modes that no choice cheaper than a known one can hold, told from reduced costs.

What the relaxation's optimum does not use costs more by its reduced cost when it is used after
all. A mode does not come alone: the modes above it come with it, and whatever they cannot do
without. All their reduced costs add up; where that is more than there is to gain the mode is out.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from seamwright.planner.columns import Columns
from seamwright.planner.exclusive import Exclusions
from seamwright.planner.must import needs
from seamwright.planner.problem import Node
from seamwright.seams import members


def may_cost(
    columns: Columns,
    exclusions: Exclusions,
    value: NDArray[np.float64],
    reduced: NDArray[np.float64],
    room: float,
) -> list[list[bool]]:
    """For each node and mode whether a choice may hold it that costs no more than ``room`` more.

    Args:
        columns: the model.
        exclusions: what comes with what.
        value, reduced: the relaxation's optimum, and the reduced cost of each column [min].
        room: minutes above the optimum.
    """
    problem = columns.problem
    extra = np.where(value < 1e-9, np.maximum(reduced, 0.0), 0.0)
    by_mode = [min(float(extra[c]) for c, _ in columns.picked[mode]) for mode in exclusions.modes]
    first = _first_numbers(problem.nodes)
    by_node = [
        min(by_mode[first[n] : first[n] + len(node.modes)], default=0.0)
        for n, node in enumerate(problem.nodes)
    ]
    things = [*by_node, *(float(extra[c]) for c in columns.pools + columns.settings)]
    out = [extra_cost > room for extra_cost in _sums(columns, exclusions, by_mode, things)]
    return [
        [not out[first[n] + k] for k in range(len(node.modes))]
        for n, node in enumerate(problem.nodes)
    ]


def _sums(
    columns: Columns, exclusions: Exclusions, by_mode: Sequence[float], things: Sequence[float]
) -> list[float]:
    """For each mode the reduced costs of all modes that come with it, and of all that they need.

    The modes that come with a mode form a chain, so each adds to the sum of the one next above.
    """
    need = [need for row in needs(columns.problem) for need in row]
    sums: list[float] = []
    needed: list[int] = []
    made: list[int] = []
    for mode, (node, _) in enumerate(exclusions.modes):
        above = exclusions.next_above(mode)
        total, before, here = (sums[above], needed[above], made[above]) if above >= 0 else (0, 0, 0)
        if before >> node & 1:
            # what is made in a known mode costs what the mode costs
            total -= things[node]
        fresh = members(need[mode] & ~before & ~here)
        sums.append(total + by_mode[mode] + sum(things[thing] for thing in fresh))
        needed.append(before | need[mode])
        made.append(here | 1 << node)
    return sums


def _first_numbers(nodes: Sequence[Node]) -> list[int]:
    first, count = [], 0
    for node in nodes:
        first.append(count)
        count += len(node.modes)
    return first
