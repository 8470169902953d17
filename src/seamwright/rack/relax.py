"""Column generation at a node: the linear program's value, and a bound proven at every round.

The bound is Lagrange's: at any prices no plan costs less than what demand is worth, less what
every board can gain. Prices are smoothed towards the best so far (Wentges 1997), which needs
fewer rounds.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import Enum
from time import monotonic

import numpy as np

from seamwright.rack.grid import Floats
from seamwright.rack.master import Master
from seamwright.rack.pricer import Pricer, Prices
from seamwright.rack.problem import Column, Node, Pool, Problem

_STUCK, _NEAR, _MANY = 1e-4, 0.7, 20
_MORE_LABELS, _MOST_LABELS, _LABELS_PER_S = 500_000, 2_000_000, 10_000_000
_FIRST_SHARES = (0.03, 0.035, 0.04, 0.045, 0.05, 0.06, 0.07)


@dataclass(frozen=True, slots=True, kw_only=True)
class Relaxed:
    """The linear program at a node.

    Attributes:
        bound: no whole-number plan of the node costs less.
        value: of the linear program over the columns found.
        weights: columns in use and how much of each.
        prices: at which the bound was found.
        broken: limits from below cannot be met with the columns found.
    """

    bound: float
    value: float
    weights: tuple[tuple[Column, float], ...]
    prices: Prices
    broken: bool


class Pricing(Enum):
    """How hard the best pattern of a board is looked for."""

    ROUGH = "rough"
    """By tables that know no limits on copies; what they find is cut back and refilled."""
    BRIEF = "brief"
    """And where that finds nothing new, exactly, as far as that takes little work."""
    EXACT = "exact"
    """And where that finds nothing new, exactly."""


def relax(
    problem: Problem,
    pool: Pool,
    *,
    needs: tuple[int, ...] | None = None,
    node: Node | None = None,
    until: float,
    check: Callable[[], None],
    cutoff: float = float("inf"),
    target: float = 1e-6,
    pricing: Pricing = Pricing.EXACT,
) -> Relaxed:
    """Solve the linear program at a node.

    Stops at ``until`` (monotonic seconds), when bound and value meet within ``target``
    (relative), when the bound reaches ``cutoff``, or when pricing finds nothing more. ``check``
    may raise to give up.
    """
    needs = problem.needs if needs is None else needs
    growth = _Growth(problem, pool, needs, node or Node(), pricing, until)
    if not len(pool):
        growth.begin()
    while True:
        check()
        goes_on = growth.round()
        value, bound = growth.value, growth.bound
        met = value - bound <= target * max(1e-9, abs(value)) or bound >= cutoff
        if not goes_on or met or monotonic() > until:
            return growth.relaxed()


class _Growth:
    """A linear program while it grows column by column."""

    def __init__(
        self,
        problem: Problem,
        pool: Pool,
        needs: tuple[int, ...],
        node: Node,
        pricing: Pricing,
        until: float,
    ) -> None:
        self.pool, self.pricing, self.until = pool, pricing, until
        self.master: Master[Column] = Master(problem, needs, node)
        self.pricer = Pricer(problem, pool, needs, node)
        many = len(problem.costs) > _MANY
        self.pricer.generous = many and pricing is Pricing.ROUGH
        self.rows, self.bought = len(needs), len(needs) + len(problem.limits)
        self.most = np.array(problem.missing)
        self.value, self.bound = float("inf"), -float("inf")
        self._values: Floats = np.zeros(0)
        self._centre: Prices | None = None
        self._labels = _MORE_LABELS
        self.master.extend([column for column in pool if self.pricer.takes(column)])

    def begin(self) -> None:
        """Prices from what wood usually counts, the share that gives the best bound."""
        for share in _FIRST_SHARES:
            prices = Prices(rows=share * self.most, share=0.0)
            best, fresh = self.pricer.rough(prices)
            self._add(fresh)
            if not self._judge(prices, best):
                break

    def round(self) -> bool:
        """Solve, price, add; False where nothing more is found."""
        before, (self.value, duals, self._values) = self.value, self.master.solve()
        raw = Prices(
            rows=np.clip(duals[: self.rows], 0.0, self.most), share=float(duals[self.bought])
        )
        stuck = self.value > before - _STUCK * abs(before)
        added = False
        for prices in (raw.towards(self._centre), raw) if self._centre else (raw,):
            best, fresh = self.pricer.rough(prices)
            added = self._add(fresh)
            if self.pricing is not Pricing.ROUGH and (stuck or not added):
                near = self.bound > _NEAR * self.value
                hard = self.pricing is Pricing.EXACT and (near or not added)
                self.pricer.labels = self._labels if hard else 0
                best, fresh = self.pricer.exact(prices, best)
                added = self._add(fresh) or added
            self._judge(prices, best)
            if added or monotonic() > self.until:
                break
        if self.pricing is not Pricing.EXACT:
            return added
        return added or self._look_harder()

    def _look_harder(self) -> bool:
        """More partial patterns next time, where they were too many and time is left."""
        most = min(_MOST_LABELS, _LABELS_PER_S * (self.until - monotonic()))
        if not self.pricer.missed or self._labels >= most:
            return False
        self._labels *= 4
        return True

    def _add(self, fresh: list[Column]) -> bool:
        new = [c for c in fresh if self.pool.add(c) and self.pricer.takes(c)]
        self.master.extend(new)
        return bool(new)

    def _judge(self, prices: Prices, best: Floats) -> bool:
        """Keep the prices if their bound is the best so far."""
        lower = self.pricer.bound(prices, best)
        if self._centre is not None and lower <= self.bound:
            return False
        self.bound, self._centre = lower, replace(prices, best=best)
        return True

    def relaxed(self) -> Relaxed:
        """What is known of the linear program now."""
        assert self._centre is not None
        return Relaxed(
            bound=self.bound - 1e-9 * abs(self.bound),
            value=self.value,
            weights=self.master.weights(self._values),
            prices=self._centre,
            broken=self.master.broken(self._values),
        )
