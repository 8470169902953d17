"""Search all problems of a rack side by side until time is up or everything is proven."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass
from time import monotonic

from seamwright.rack.improve import dive, fill, greedy, likely, neighbourhood, scatter
from seamwright.rack.master import choose
from seamwright.rack.problem import Best, Choice, Node, Pool, Problem
from seamwright.rack.relax import relax, tighten
from seamwright.rack.tree import Tree

_SMALL = 14

PROOF = 1e-4
"""Relative gap below which a plan counts as the best possible."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """The best choice for one problem and its proven bound."""

    choice: Choice
    cost: float
    bound: float


class Hunt:
    """One problem being solved."""

    def __init__(self, problem: Problem, *, seed: int, until: float, check: Callable[[], None]):
        self.problem, self.check = problem, check
        self.pool, self._rng = Pool(), random.Random(seed)
        self._turn = self._idle = 0
        is_small = len(problem.costs) <= _SMALL
        root = relax(
            problem, self.pool, until=until, check=check, target=1e-5 if is_small else 1e-3
        )
        root, node = tighten(
            problem,
            self.pool,
            root,
            node=Node(),
            rounds=8 if is_small else 1,
            until=until,
            check=check,
        )
        empty: Choice = []
        self.best = Best(choice=empty, cost=problem.cost_of(empty))
        left = list(problem.limits)
        self._improve(greedy(problem, self.pool, problem.needs, left, root.prices))
        self._improve(dive(problem, self.pool, root, until=until, check=check))
        self._root = root
        self.tree = Tree(problem, self.pool, self.best, root, node)

    def _improve(self, choice: Choice) -> None:
        self.best.offer(choice, self.problem.cost_of(choice))

    @property
    def gap(self) -> float:
        """Cost above the bound."""
        return self.best.cost - self.tree.bound

    @property
    def is_done(self) -> bool:
        """Proven, or nothing left to try."""
        return self.gap <= PROOF * max(self.best.cost, 1e-9)

    def work(self, until: float) -> None:
        """One piece of work: choose among the pool, solve a neighbourhood, or open a case."""
        turn, self._turn = self._turn, self._turn + 1
        left = until - monotonic()
        if turn % 6 == 0:
            if turn:
                scatter(self.problem, self.pool, self._root.prices, self._rng, times=8)
            else:
                fill(self.problem, self.pool, self.problem.needs, self._root.prices)
            found = choose(
                self.problem,
                likely(self.pool, self._root.prices),
                needs=self.problem.needs,
                seconds=min(4.0, 0.25 * left),
                cutoff=self.best.cost,
            )
            if found is not None:
                self._improve(found)
        elif turn % 3 == 0 and not self.tree.is_done:
            self.tree.step(until=until, check=self.check)
        else:
            neighbourhood(
                self.problem,
                self.pool,
                self.best,
                self._rng,
                size=self._rng.choice((2, 3, 4)),
                prices=self._root.prices,
                until=until,
                check=self.check,
            )

    def found(self) -> Found:
        """The best so far."""
        return Found(choice=self.best.choice, cost=self.best.cost, bound=self.tree.bound)


def search(
    problems: tuple[Problem, ...],
    *,
    seed: int,
    until: float,
    check: Callable[[], None],
    tell: Callable[[float, str], None],
) -> tuple[Found, ...]:
    """Solve problems until ``until`` (monotonic seconds); the widest gap is worked on first."""
    start = monotonic()
    hunts: list[Hunt] = []
    for n, problem in enumerate(problems):
        # each first look gets its share of the time, so that all have a plan and a bound
        share = start + (until - start) * 0.7 * (n + 1) / len(problems)
        hunts.append(Hunt(problem, seed=seed + n, until=share, check=check))
        tell(0.3 * (n + 1) / len(problems), "first cut plan")
    while monotonic() < until:
        check()
        open_hunts = [h for h in hunts if not h.is_done]
        if not open_hunts:
            break
        hunt = max(open_hunts, key=lambda h: h.gap)
        hunt.work(until)
        spent = (monotonic() - start) / max(1e-9, until - start)
        cost = sum(h.best.cost for h in hunts)
        gap = sum(h.gap for h in hunts) / max(cost, 1e-9)
        tell(min(0.99, 0.3 + 0.7 * spent), f"within {gap * 100:.1f} % of the best possible")
    return tuple(hunt.found() for hunt in hunts)
