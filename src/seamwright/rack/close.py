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
from seamwright.rack.problem import Choice, Column, Node, Pool, Problem
from seamwright.rack.relax import Relaxed
from seamwright.rack.settle import Settled, settle

_LISTED_PER_S, _TRIED_PER_S, _LISTING, _LEAST_LEFT = 3_000_000, 20_000_000, 0.6, 0.1
_MOST_LISTED = 6_000_000
_KEPT, _PROOF_WIDTH, _TINY = 100, 100_000, 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Closed:
    """What choosing among the listed patterns gave: a plan or None, and a bound.

    Attributes:
        choice: costs less than was asked for.
        bound: no plan costs less.
        reach: every pattern that loses no more was listed; 0 where some were not.
        is_settled: the bound is as good as the reach allows.
        parts: what was listed.
    """

    choice: Choice | None
    bound: float
    reach: float
    is_settled: bool
    parts: tuple[Part, ...]


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
    pace: float = 1.0,
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
        pace: share of a processor that is to be had.
    """
    start = monotonic()
    until = start + _LISTING * seconds
    pricer = Pricer(problem, pool, needs, Node())

    def late() -> bool:
        check()
        return monotonic() > until

    def best(columns: Iterable[Column], under: float, width: int) -> Settled:
        left = max(_LEAST_LEFT * seconds, start + seconds - monotonic())
        work = round(pace * _TRIED_PER_S * left)
        return settle(
            problem, root.prices, parts, columns, needs=needs, under=under, width=width, work=work
        )

    most = min(_MOST_LISTED, round(pace * _LISTED_PER_S * _LISTING * seconds))
    parts = tuple(pricer.within(root.prices, reach, most=most, check=late))
    _keep(problem, pool, parts)
    reach = 0.0 if pricer.missed else reach
    settled, top = Settled(choice=None, bound=root.bound), root.bound + reach
    if reach > 0:
        # what loses more than the reach is of no use to the bound, and there is much of it
        settled = best((), min(under, top), _PROOF_WIDTH)
    bound = min(settled.bound, top)
    if settled.choice is None and under > top:
        settled = best(pool, under, width)
    choice = settled.choice
    if choice is not None:
        fitted = cut_back(problem, pool, (c for c, _ in choice))
        choice = min(choice, fitted, key=problem.cost_of)
    return Closed(
        choice=choice,
        bound=max(root.bound, bound),
        reach=reach,
        is_settled=reach > 0 and bound >= min(under, top) - _TINY * abs(top),
        parts=parts,
    )


def _keep(problem: Problem, pool: Pool, parts: Iterable[Part]) -> None:
    """The patterns that lose least are remembered as columns."""
    offered = [(loss, part, n) for part in parts for n, loss in enumerate(part.loss[:_KEPT])]
    losses = np.array([loss for loss, _, _ in offered])
    for which in np.argsort(losses, kind="stable")[:_KEPT]:
        _, part, n = offered[which]
        pool.add(part.column(problem, n))
