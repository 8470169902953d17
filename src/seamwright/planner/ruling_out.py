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
    need = [need for row in needs(problem) for need in row]
    out = [_sum(own, exclusions, by_mode, need, things) > room for own in exclusions.dominators]
    return [
        [not out[first[n] + k] for k in range(len(node.modes))]
        for n, node in enumerate(problem.nodes)
    ]


def _sum(
    own: int,
    exclusions: Exclusions,
    by_mode: Sequence[float],
    need: Sequence[int],
    things: Sequence[float],
) -> float:
    """Reduced costs of modes that come together, and of all that they need."""
    total, needed, made = 0.0, 0, 0
    for mode in members(own):
        total += by_mode[mode]
        needed |= need[mode]
        made |= 1 << exclusions.modes[mode][0]
    return total + sum(things[thing] for thing in members(needed & ~made))


def _first_numbers(nodes: Sequence[Node]) -> list[int]:
    first, count = [], 0
    for node in nodes:
        first.append(count)
        count += len(node.modes)
    return first
