"""Branch and price: the bound raised by cases, best bound first.

Cases, in this order: how many boards are bought; whether a board is used; how many sticks of one
row a board gives.
"""

from __future__ import annotations

import heapq
import math
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, replace

from seamwright.rack.problem import Best, Node, Pool, Problem
from seamwright.rack.relax import Relaxed, relax

_WHOLE = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class _Open:
    bound: float
    number: int
    node: Node
    relaxed: Relaxed

    def __lt__(self, other: _Open) -> bool:
        return (self.bound, self.number) < (other.bound, other.number)


class Tree:
    """Open cases of one problem."""

    def __init__(self, problem: Problem, pool: Pool, best: Best, root: Relaxed, node: Node) -> None:
        self.problem, self.pool, self.best = problem, pool, best
        self._count = 0
        self._settled = math.inf
        self._open: list[_Open] = []
        self._push(node, root, root.bound)

    @property
    def bound(self) -> float:
        """No plan costs less than this, nor less than the best one where that is lower."""
        lowest = self._open[0].bound if self._open else math.inf
        return min(lowest, self._settled, self.best.cost)

    @property
    def is_done(self) -> bool:
        """Nothing left to look into."""
        return not self._open or self._open[0].bound >= self.best.cost - _WHOLE

    def step(self, *, until: float, check: Callable[[], None]) -> None:
        """Look into the case with the lowest bound."""
        if self.is_done:
            return
        case = heapq.heappop(self._open)
        children = self._branch(case)
        if not children:
            # patterns mixed although every count is whole: this case stays as it is
            self._settled = min(self._settled, case.bound)
            return
        try:
            for child in children:
                relaxed = relax(
                    self.problem,
                    self.pool,
                    node=child,
                    until=until,
                    check=check,
                    cutoff=self.best.cost,
                )
                self._take(child, relaxed, case.bound)
        except BaseException:
            heapq.heappush(self._open, case)
            raise

    def _take(self, node: Node, relaxed: Relaxed, above: float) -> None:
        bound = max(above, relaxed.bound)
        if all(abs(w - round(w)) < _WHOLE for _, w in relaxed.weights):
            choice = [(c, round(w)) for c, w in relaxed.weights]
            self.best.offer(choice, self.problem.cost_of(choice))
        if bound < self.best.cost - _WHOLE:
            self._push(node, relaxed, bound)

    def _push(self, node: Node, relaxed: Relaxed, bound: float) -> None:
        self._count += 1
        heapq.heappush(
            self._open, _Open(bound=bound, number=self._count, node=node, relaxed=relaxed)
        )

    def _branch(self, case: _Open) -> tuple[Node, ...]:
        problem, node = self.problem, case.node
        uses: dict[int, float] = defaultdict(float)
        gives: dict[tuple[int, int], float] = defaultdict(float)
        for column, weight in case.relaxed.weights:
            uses[column.place] += weight
            for row, count in enumerate(column.gives):
                if count:
                    gives[column.place, row] += weight * count
        bought = sum(w for p, w in uses.items() if problem.bought[p])
        if _apart(bought) > _WHOLE:
            return (
                replace(node, most_bought=math.floor(bought)),
                replace(node, least_bought=math.ceil(bought)),
            )
        half = max(
            ((_apart(w) * problem.costs[p], p) for p, w in uses.items() if not problem.bought[p]),
            default=(0.0, 0),
        )
        if half[0] > _WHOLE:
            return (
                replace(node, banned=node.banned | {half[1]}),
                replace(node, forced=node.forced | {half[1]}),
            )
        return self._split_row(node, gives)

    def _split_row(self, node: Node, gives: dict[tuple[int, int], float]) -> tuple[Node, ...]:
        problem = self.problem
        worst = max(
            (
                (_apart(amount) * problem.missing[row], place, row)
                for (place, row), amount in gives.items()
                if problem.limits[place] == 1
            ),
            default=(0.0, 0, 0),
        )
        if worst[0] <= _WHOLE:
            return ()
        _, place, row = worst
        amount = gives[place, row]
        cap = node.cap_of(place, row, problem.most(problem.needs)[row])
        low, high = math.floor(amount), math.ceil(amount)
        if not cap.low <= low < high <= cap.high:
            return ()
        return (
            node.with_cap(replace(cap, high=low)),
            node.with_cap(replace(cap, low=high)),
        )


def _apart(value: float) -> float:
    return abs(value - round(value))
