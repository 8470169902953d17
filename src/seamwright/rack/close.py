"""Closing the gap: every pattern that a better plan could use, and the best choice among them.

At the prices of the linear program a plan costs at least the bound and what each of its patterns
loses. So a plan within ``reach`` of the bound uses no pattern that loses more than ``reach``; where
those are few enough to list, the best choice among them proves the bound up to there, or the
optimum (route enumeration, as Baldacci, Christofides and Mingozzi 2008 do for routes).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from time import monotonic

import numpy as np

from seamwright.rack.beam import cut_back
from seamwright.rack.listing import Part
from seamwright.rack.pricer import Pricer
from seamwright.rack.problem import Choice, Node, Pool, Problem
from seamwright.rack.relax import Relaxed
from seamwright.rack.settle import settle

_LISTED_PER_S, _TRIED_PER_S, _LISTING = 3_000_000, 20_000_000, 0.6
_KEPT = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Closed:
    """What choosing among the listed patterns gave: a plan or None, and a bound.

    Attributes:
        choice: costs less than was asked for.
        bound: no plan costs less.
        reach: every pattern that loses no more was listed; 0 where some were not.
        is_settled: no choice among the listed is better.
    """

    choice: Choice | None
    bound: float
    reach: float
    is_settled: bool


def close(
    problem: Problem,
    pool: Pool,
    root: Relaxed,
    *,
    needs: tuple[int, ...],
    reach: float,
    under: float,
    seconds: float,
    check: Callable[[], None],
    width: int,
) -> Closed:
    """Choose among all patterns that lose at most ``reach``, or some where they are too many.

    Args:
        problem, pool, root: the problem, columns known, and its linear program.
        needs: of each row.
        reach: as described above.
        under: cost of a plan that is known already.
        seconds: for all of it, about.
        check: may raise to give up.
        width: choices carried on from board to board.
    """
    start = monotonic()
    until = start + _LISTING * seconds
    pricer = Pricer(problem, pool, needs, Node())

    def late() -> bool:
        check()
        return monotonic() > until

    most = round(_LISTED_PER_S * _LISTING * seconds)
    parts = tuple(pricer.within(root.prices, reach, most=most, check=late))
    if pricer.missed:
        reach = 0.0
    left = max(0.1 * seconds, start + seconds - monotonic())
    settled = settle(
        problem,
        root.prices,
        parts,
        pool,
        needs=needs,
        under=under,
        width=width,
        work=round(_TRIED_PER_S * left),
    )
    choice = None
    if settled.choice is not None:
        fitted = cut_back(problem, pool, (c for c, _ in settled.choice))
        choice = min(settled.choice, fitted, key=problem.cost_of)
    _keep(problem, pool, parts)
    within = settled.bound
    return Closed(
        choice=choice,
        bound=min(within, root.bound + reach) if reach > 0 else root.bound,
        reach=reach,
        is_settled=within >= root.bound + reach,
    )


def _keep(problem: Problem, pool: Pool, parts: Iterable[Part]) -> None:
    """The patterns that lose least are remembered as columns."""
    offered = [(loss, part, n) for part in parts for n, loss in enumerate(part.loss[:_KEPT])]
    losses = np.array([loss for loss, _, _ in offered])
    for which in np.argsort(losses, kind="stable")[:_KEPT]:
        _, part, n = offered[which]
        pool.add(part.column(problem, n))
