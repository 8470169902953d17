"""Search all problems of a rack side by side until time is up or everything is proven."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass
from time import monotonic

from seamwright.rack.close import close
from seamwright.rack.improve import dive, fill, greedy, likely, neighbourhood, scatter
from seamwright.rack.master import choose
from seamwright.rack.problem import Best, Choice, Node, Pool, Problem
from seamwright.rack.relax import Pricing, relax
from seamwright.rack.tree import Tree

_LAST = 1e-4
_REACH, _CLOSE_SHARE, _SETTLE_SHARE, _DIVE_S = 0.01, 0.5, 0.4, 0.15

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
        self._turn = 0
        root = relax(problem, self.pool, until=until, check=check, pricing=Pricing.ROUGH)
        empty: Choice = []
        self.best = Best(choice=empty, cost=problem.cost_of(empty))
        left = list(problem.limits)
        self._improve(greedy(problem, self.pool, problem.needs, left, root.prices.rows))
        dive_until = max(until, monotonic() + _DIVE_S)
        self._improve(dive(problem, self.pool, root, until=dive_until, check=check))
        self._root, self._proven = root, root.bound
        self._reach = _REACH * abs(root.value)
        self._listed = 0.0
        self._tree: Tree | None = None

    def _improve(self, choice: Choice) -> None:
        self.best.offer(choice, self.problem.cost_of(choice))

    @property
    def bound(self) -> float:
        """No plan costs less."""
        tree = self._tree.bound if self._tree else 0.0
        return min(self.best.cost, max(self._proven, tree))

    @property
    def gap(self) -> float:
        """Cost above the bound."""
        return self.best.cost - self.bound

    @property
    def is_done(self) -> bool:
        """Proven."""
        return self.gap <= PROOF * max(self.best.cost, 1e-9)

    def work(self, until: float) -> None:
        """One piece of work: list patterns, choose from the pool, a case, or a neighbourhood."""
        turn, self._turn = self._turn, self._turn + 1
        if turn == 0:
            self._choose(turn, until)
        elif turn == 1:
            self._settle(until)
        elif self._reach and turn % 4 == 2:
            self._close(until)
        elif turn % 8 == 3:
            self._choose(turn, until)
        elif turn % 4 == 1 and self._tree and not self._tree.is_done:
            self._tree.step(until=until, check=self.check)
        else:
            neighbourhood(
                self.problem,
                self.pool,
                self.best,
                self._rng,
                size=self._rng.choice((2, 3, 4)),
                prices=self._root.prices.rows,
                until=until,
                check=self.check,
            )

    def _settle(self, until: float) -> None:
        """The linear program solved to the end."""
        share = monotonic() + _SETTLE_SHARE * (until - monotonic())
        root = relax(self.problem, self.pool, until=share, check=self.check, target=_LAST)
        if root.bound > self._root.bound:
            self._root = root
            self._proven = max(self._proven, root.bound)
        self._tree = Tree(self.problem, self.pool, self.best, self._root, Node())

    def _close(self, until: float) -> None:
        """List the patterns that lose little; twice as much next time, or never again."""
        whole = self.best.cost - self._root.bound
        reach = min(self._reach, whole)
        closed = close(
            self.problem,
            self.pool,
            self._root,
            reach=reach,
            best=self.best.choice,
            seconds=_CLOSE_SHARE * (until - monotonic()),
            check=self.check,
        )
        if closed.choice is not None:
            self._improve(closed.choice)
        self._proven = max(self._proven, closed.bound)
        if closed.is_whole:
            self._listed = reach
            self._reach = 2 * reach if reach < self.best.cost - self._root.bound else 0.0
        else:
            self._reach = reach / 2 if reach / 2 > 1.1 * self._listed else 0.0

    def _choose(self, turn: int, until: float) -> None:
        prices = self._root.prices.rows
        if turn:
            scatter(self.problem, self.pool, prices, self._rng, times=8)
        else:
            fill(self.problem, self.pool, self.problem.needs, prices)
        found = choose(
            self.problem,
            likely(self.pool, prices),
            needs=self.problem.needs,
            seconds=min(4.0, 0.25 * (until - monotonic())),
        )
        if found is not None:
            self._improve(found)

    def found(self) -> Found:
        """The best so far."""
        return Found(choice=self.best.choice, cost=self.best.cost, bound=self.bound)


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
        share = start + (until - start) * 0.5 * (n + 1) / len(problems)
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
