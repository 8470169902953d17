"""Closing the gap: every pattern that a better plan could use, and the best choice among them.

At the prices of the linear program a plan costs at least the bound and what each of its patterns
loses. So a plan within ``reach`` of the bound uses no pattern that loses more than ``reach``; where
those are few enough to list, choosing among them proves the bound up to there, or the optimum
(route enumeration, as Baldacci, Christofides and Mingozzi 2008 do for routes).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from time import monotonic

from seamwright.rack.improve import likely
from seamwright.rack.master import chosen
from seamwright.rack.pricer import Pricer
from seamwright.rack.problem import Choice, Column, Node, Pool, Problem
from seamwright.rack.relax import Relaxed

_LABELS_PER_S = 80_000
_MOST_COLUMNS = 20_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Closed:
    """What choosing among the listed patterns gave: a plan or None, and a bound.

    Attributes:
        is_whole: every pattern within reach was listed.
    """

    choice: Choice | None
    bound: float
    is_whole: bool


def close(
    problem: Problem,
    pool: Pool,
    root: Relaxed,
    *,
    reach: float,
    best: Choice,
    seconds: float,
    check: Callable[[], None],
) -> Closed:
    """Choose among all patterns that lose at most ``reach``, or some where they are too many."""
    until = monotonic() + seconds
    pricer = Pricer(problem, pool, problem.needs, Node())
    columns: dict[tuple[int, tuple[int, ...]], Column] = {}
    whole = True
    for found in pricer.within(root.prices, reach, most=round(_LABELS_PER_S * seconds)):
        check()
        key = (found.place, found.gives)
        if key not in columns or found.cost < columns[key].cost:
            columns[key] = found
        if len(columns) > _MOST_COLUMNS or monotonic() > until - seconds / 2:
            whole = False
            break
    whole = whole and not pricer.missed
    for column in columns.values():
        pool.add(column)
    for column in (*likely(pool, root.prices.rows), *(c for c, _ in best)):
        columns.setdefault((column.place, column.gives), column)
    choice, bound = chosen(
        problem,
        columns.values(),
        needs=problem.needs,
        seconds=until - monotonic(),
        start=best,
    )
    bound = min(bound, root.bound + reach) if whole else root.bound
    return Closed(choice=choice, bound=bound, is_whole=whole)
