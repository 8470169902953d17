"""Closing the gap: every pattern that a better plan could use, and the best choice among them.

At the prices of the linear program a plan costs at least the bound and what each of its patterns
loses. So a plan within ``reach`` of the bound uses no pattern that loses more than ``reach``; where
those are few enough to list, choosing among them proves the bound up to there, or the optimum
(route enumeration, as Baldacci, Christofides and Mingozzi 2008 do for routes).
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from time import monotonic

from seamwright.rack.beam import beam, cut_back
from seamwright.rack.fit import likely
from seamwright.rack.master import chosen
from seamwright.rack.pricer import Pricer, Sketch
from seamwright.rack.problem import Choice, Column, Node, Pool, Problem
from seamwright.rack.relax import Relaxed

_WORK_PER_S, _MOST_WORK, _TIMES = 5_000_000, 2_000_000, 20
_MOST_COLUMNS, _KEPT = 6_000, 200
_BEAMS = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Closed:
    """What choosing among the listed patterns gave: a plan or None, and a bound.

    Attributes:
        reach: every pattern that loses no more was listed; 0 where some were not.
        is_settled: none of the choices among the listed is better.
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
    best: Choice,
    seconds: float,
    check: Callable[[], None],
    most: int = _MOST_COLUMNS,
    rng: random.Random | None = None,
) -> Closed:
    """Choose among all patterns that lose at most ``reach``, or some where they are too many.

    Where more than ``most`` are listed, only those that lose least are chosen from; with ``rng`` a
    beam goes through all of them before that.
    """
    until = monotonic() + seconds
    pricer = Pricer(problem, pool, needs, Node())
    listed: dict[tuple[int, tuple[int, ...]], Sketch] = {}
    half = until - seconds / 2

    def late() -> bool:
        check()
        return len(listed) > _TIMES * most or monotonic() > half

    work = min(_MOST_WORK, round(_WORK_PER_S * seconds))
    for found in pricer.within(root.prices, reach, most=work, check=late):
        key = (found.place, found.gives)
        if key not in listed or found.cost < listed[key].cost:
            listed[key] = found
    ordered = sorted(listed.values(), key=lambda sketch: sketch.loss)
    if len(ordered) > most:
        reach = ordered[most].loss
    if pricer.missed:
        reach = 0.0
    if rng is not None:
        best = _beamed(problem, pool, root, ordered, best, rng)
    columns: dict[tuple[int, tuple[int, ...]], Sketch | Column] = {}
    for sketch in ordered[:most]:
        columns[sketch.place, sketch.gives] = sketch
    for column in (*likely(pool, root.prices.rows), *(c for c, _ in best)):
        key = (column.place, column.gives)
        if key not in columns or column.cost < columns[key].cost:
            columns[key] = column
    choice, bound = chosen(
        problem,
        tuple(columns.values()),
        needs=needs,
        seconds=until - monotonic(),
        start=best,
    )
    for sketch in ordered[:_KEPT]:
        pool.add(sketch.column(problem))
    settled = choice is not None and sum(c.cost * n for c, n in choice) <= bound * (1 + 1e-5)
    bound = min(bound, root.bound + reach)
    return Closed(
        choice=None if choice is None else [(_column(problem, c), n) for c, n in choice],
        bound=bound if reach > 0 else root.bound,
        reach=reach,
        is_settled=settled,
    )


def _beamed(
    problem: Problem,
    pool: Pool,
    root: Relaxed,
    listed: Sequence[Sketch],
    best: Choice,
    rng: random.Random,
) -> Choice:
    """The best choice, or a better one that a beam finds through what was listed."""
    for _ in range(_BEAMS):
        found = beam(problem, (*listed, *pool), root, rng)
        choice = cut_back(problem, pool, [_column(problem, c) for c in found])
        best = min(best, choice, key=problem.cost_of)
    return best


def _column(problem: Problem, found: Sketch | Column) -> Column:
    return found.column(problem) if isinstance(found, Sketch) else found
