"""Matched colour: sticks of one mark all from one board.

The board is chosen before the plan: every board that can give all sticks of the mark by itself is
tried, the cheapest is taken, and the mark's sticks are then cut from it alone. The plan's bound
holds for that choice of boards.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from time import monotonic

from seamwright.rack.demand import Demand, Variant
from seamwright.rack.rules import CutRules
from seamwright.rack.search import Hunt
from seamwright.rack.task import Source, tasks_of

_TRY_S = 0.3


@dataclass(frozen=True, slots=True, kw_only=True)
class Matched:
    """Which board the sticks of a mark come from; "" where no single board can give them."""

    mark: str
    board: str


def match_sources(
    sources: list[Source],
    variants: list[tuple[Variant, ...]],
    demand: Demand,
    rules: CutRules,
    *,
    prices: dict[str, float],
    check: Callable[[], None],
) -> tuple[list[Source], tuple[Matched, ...]]:
    """Restrict the sticks of each mark to one board."""
    matched: list[Matched] = []
    for mark in dict.fromkeys(s.match for s in demand.sticks if s.match):
        mine = {n for n, s in enumerate(demand.sticks) if s.match == mark}
        taken = {m.board for m in matched}
        best: tuple[float, int] | None = None
        for n, source in enumerate(sources):
            check()
            if {s for s, _ in source.uses} >= mine and source.board.name not in taken:
                cost = _alone(source, mine, variants, demand, rules, prices=prices, check=check)
                if cost is not None and (best is None or cost < best[0]):
                    best = (cost, n)
        if best is None:
            matched.append(Matched(mark=mark, board=""))
            continue
        chosen = sources[best[1]]
        matched.append(Matched(mark=mark, board=chosen.board.name))
        sources = _only(sources, best[1], mine)
    return sources, tuple(matched)


def _only(sources: list[Source], chosen: int, mine: set[int]) -> list[Source]:
    out = []
    for n, source in enumerate(sources):
        others = tuple(use for use in source.uses if use[0] not in mine)
        if n == chosen:
            # of a size that can be bought, one board gives the matched sticks
            out.append(replace(source, limit=1))
            if source.limit > 1 and others:
                out.append(replace(source, limit=source.limit - 1, uses=others))
        elif others:
            out.append(replace(source, uses=others))
    return out


def _alone(
    source: Source,
    mine: set[int],
    variants: list[tuple[Variant, ...]],
    demand: Demand,
    rules: CutRules,
    *,
    prices: dict[str, float],
    check: Callable[[], None],
) -> float | None:
    """Cost of getting all matched sticks from one board, or None where it cannot give them."""
    alone = replace(source, limit=1, uses=tuple(u for u in source.uses if u[0] in mine))
    tasks = [
        t for t in tasks_of([alone], variants, demand, rules, prices=prices) if mine & set(t.sticks)
    ]
    if len(tasks) != 1:
        return None
    problem, until = tasks[0].problem, monotonic() + _TRY_S
    hunt = Hunt(problem, seed=1, until=until, check=check)
    while any(problem.short(problem.needs, hunt.best.choice)):
        if hunt.is_done or monotonic() > until:
            return None
        hunt.work(until)
    return hunt.best.cost
