"""A plan in whole numbers in little time: boards one by one, many partial plans side by side.

HiGHS proves what it finds, and takes seconds for it. A beam takes hundredths: partial plans are
told apart by what they still need, and compared by their cost so far and what the linear program
says that the rest is worth (beam search; Ow and Morton 1988).
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterable, Sequence
from typing import TypeVar

import numpy as np

from seamwright.rack.fit import fitted
from seamwright.rack.grid import Floats
from seamwright.rack.kernels.stages import cheapest
from seamwright.rack.master import Offered
from seamwright.rack.problem import Choice, Column, Pool, Problem
from seamwright.rack.relax import Relaxed

_MOST_OF_PLACE, _SPARE = 150, 2
_WIDTH, _SHAKEN, _HASTE = 300, 0.5, (1.02, 1.3)

C = TypeVar("C", bound=Offered)


def beam(problem: Problem, columns: Iterable[C], root: Relaxed, rng: random.Random) -> list[C]:
    """A choice among columns; some may give more than is needed.

    Places come in the order of how much the linear program uses them, a little shaken; what is
    still needed counts a little more than the linear program says, so that it is met in time.
    """
    stages = _stages(problem, columns, root, rng)
    offered = [column for stage in stages for column in stage]
    if not offered:
        return []
    taken = cheapest(
        np.cumsum([0, *map(len, stages)]),
        np.array([column.cost for column in offered]),
        np.array([column.gives for column in offered], np.int64),
        np.array(problem.needs, np.int64),
        rng.uniform(*_HASTE) * root.prices.rows,
        np.array(problem.missing),
        _WIDTH,
    )
    return [offered[n] for n in taken if n >= 0]


def _stages(
    problem: Problem, columns: Iterable[C], root: Relaxed, rng: random.Random
) -> list[Sequence[C]]:
    """The columns that lose least, place by place; of what can be bought more than once, again."""
    used: Floats = np.zeros(len(problem.costs))
    for column, weight in root.weights:
        used[column.place] += weight
    offered = list(columns)
    gives = np.array([c.gives for c in offered]).reshape(len(offered), len(problem.needs))
    losses = np.array([c.cost for c in offered]) - gives @ root.prices.rows
    by_place: dict[int, list[C]] = {}
    for n in np.argsort(losses, kind="stable"):
        mine = by_place.setdefault(offered[n].place, [])
        if len(mine) < _MOST_OF_PLACE:
            mine.append(offered[n])
    shaken = {p: rng.uniform(0.0, _SHAKEN) - used[p] for p in sorted(by_place)}
    stages: list[Sequence[C]] = []
    for place in sorted(shaken, key=lambda p: (problem.bought[p], shaken[p])):
        times = min(problem.limits[place], math.ceil(used[place]) + _SPARE)
        stages.extend([by_place[place]] * times)
    return stages


def cut_back(problem: Problem, pool: Pool, columns: Iterable[Column]) -> Choice:
    """A choice without what exceeds the needs, the dearest boards kept whole; the pool learns."""
    needs = problem.needs
    choice: Choice = []
    for column in sorted(columns, key=lambda c: -c.cost):
        whole = fitted(problem, column, needs)
        if any(whole.gives):
            pool.add(whole)
            choice.append((whole, 1))
            needs = problem.short(needs, [(whole, 1)])
    return choice
