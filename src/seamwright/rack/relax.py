"""Column generation at a node: the linear program's value, and a bound proven at every round.

The bound is Lagrange's: at any prices no plan costs less than what demand is worth, less what
every board can gain. Prices are smoothed towards the best so far (Wentges 1997), which needs
fewer rounds.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, replace
from time import monotonic

import numpy as np

from seamwright.rack.fit import variants_of
from seamwright.rack.grid import Floats
from seamwright.rack.master import Master
from seamwright.rack.price import Kind, Priced
from seamwright.rack.problem import Cap, Column, Node, Pool, Problem

_SMOOTH = 0.4
_MOST_LINKS = 12
_FEW_PLACES = 14


@dataclass(frozen=True, slots=True, kw_only=True)
class Relaxed:
    """The linear program at a node.

    Attributes:
        bound: no whole-number plan of the node costs less.
        value: of the linear program over the columns found.
        weights: columns in use and how much of each.
        prices: of one unit of each row.
        broken: limits from below cannot be met with the columns found.
    """

    bound: float
    value: float
    weights: tuple[tuple[Column, float], ...]
    prices: Floats
    broken: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices:
    """Prices of rows, of a bought board, and of each cap."""

    rows: Floats
    extra: Floats

    def towards(self, other: Prices | None) -> Prices:
        """Smoothed towards other prices."""
        if other is None:
            return self
        keep = _SMOOTH
        return Prices(
            rows=keep * other.rows + (1 - keep) * self.rows,
            extra=keep * other.extra + (1 - keep) * self.extra,
        )


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
) -> Relaxed:
    """Solve the linear program at a node.

    Stops at ``until`` (monotonic seconds), when bound and value meet within ``target``
    (relative), or when the bound reaches ``cutoff``. ``check`` may raise to give up.
    """
    needs = problem.needs if needs is None else needs
    node = node or Node()
    master = Master(problem, needs, node)
    for column in pool:
        if node.allows(column):
            master.add(column)
    rows, skip = len(needs), len(needs) + len(problem.limits)
    most = np.array(problem.missing)
    bound, centre = -float("inf"), None
    while True:
        check()
        value, duals, values = master.solve()
        raw = Prices(rows=np.clip(duals[:rows], 0.0, most), extra=duals[skip:])
        for n, cap in enumerate(node.caps, 1):
            if cap.per_use:
                raw.extra[n] = min(0.0, raw.extra[n])
        added = False
        for prices in (raw.towards(centre), raw):
            lower, fresh = _price_all(problem, needs, node, prices)
            if lower > bound:
                bound, centre = lower, prices
            for column in fresh:
                if pool.add(column) and node.allows(column):
                    master.add(column)
                    added = True
            if added or centre is None or monotonic() > until:
                break
        met = value - bound <= target * max(1e-9, abs(value)) or bound >= cutoff
        if not added or met or monotonic() > until:
            return Relaxed(
                bound=bound - 1e-9 * abs(bound),
                value=value,
                weights=master.weights(values),
                prices=raw.rows,
                broken=master.broken(values),
            )


def tighten(
    problem: Problem,
    pool: Pool,
    relaxed: Relaxed,
    *,
    node: Node,
    rounds: int,
    until: float,
    check: Callable[[], None],
    cutoff: float = float("inf"),
) -> tuple[Relaxed, Node]:
    """Raise a node's bound with the limits "who gives must be used" that are broken there."""
    for _ in range(rounds):
        links = _broken_links(problem, relaxed, node)
        if not links or monotonic() > until or relaxed.bound >= cutoff:
            break
        node = replace(node, caps=(*node.caps, *links))
        again = relax(
            problem, pool, node=node, until=until, check=check, cutoff=cutoff, target=1e-4
        )
        relaxed = replace(again, bound=max(again.bound, relaxed.bound))
    return relaxed, node


def _broken_links(problem: Problem, relaxed: Relaxed, node: Node) -> tuple[Cap, ...]:
    uses: dict[int, float] = defaultdict(float)
    gives: dict[tuple[int, int], float] = defaultdict(float)
    for column, weight in relaxed.weights:
        uses[column.place] += weight
        for row, count in enumerate(column.gives):
            if count:
                gives[column.place, row] += weight * count
    have = {(c.place, c.row) for c in node.caps if c.per_use}
    broken = []
    for (place, row), amount in gives.items():
        over = amount - problem.needs[row] * uses[place]
        if over > 1e-3 * problem.needs[row] and (place, row) not in have:
            broken.append((-over * problem.missing[row], place, row))
    broken.sort()
    return tuple(
        Cap(place=p, row=r, low=-math.inf, high=0.0, per_use=problem.needs[r])
        for _, p, r in broken[:_MOST_LINKS]
    )


def lagrange_bound(
    problem: Problem, needs: tuple[int, ...], node: Node, prices: Prices, best: Floats
) -> float:
    """What demand is worth at these prices, less what boards can gain."""
    share = float(prices.extra[0])
    toll = [0.0] * len(problem.costs)
    bound = float(np.dot(prices.rows, needs))
    bound += share * (node.least_bought if share >= 0 else (node.most_bought or 0))
    for sigma, cap in zip(prices.extra[1:], node.caps, strict=True):
        limit = cap.low if sigma > 0 else cap.high
        if sigma and math.isinf(limit):
            return -math.inf
        bound += float(sigma) * limit if sigma else 0.0
        toll[cap.place] += float(sigma) * cap.per_use
    for place, cost in enumerate(problem.costs):
        if place in node.banned:
            continue
        loss = cost + toll[place] - float(best[place])
        loss -= share if problem.bought[place] else 0.0
        if place in node.forced and loss > 0:
            bound += loss
        else:
            bound += problem.limits[place] * min(0.0, loss)
    return bound


def _price_all(
    problem: Problem, needs: tuple[int, ...], node: Node, prices: Prices
) -> tuple[float, list[Column]]:
    best = np.zeros(len(problem.costs))
    fresh: list[Column] = []
    place = 0
    capped = {cap.place for cap in node.caps}
    for kind in problem.kinds:
        per_blank = np.array([prices.rows[b.row] * b.gives for b in kind.menu.blanks])
        common = kind.solve(per_blank)
        for b in range(len(kind.boards)):
            if place not in node.banned:
                priced, at = common, b
                if place in capped:
                    priced = _price_capped(kind, b, place, node, prices, per_blank=per_blank)
                    at = 0
                best[place] = priced.best[at]
                if place in node.forced or best[place] > 0.3 * problem.costs[place]:
                    column = problem.column(place, priced.pattern(at))
                    fresh.append(column)
                    # worth their time only where few boards make the limits on use bite
                    if len(problem.costs) <= _FEW_PLACES:
                        fresh.extend(variants_of(problem, column, needs))
            place += 1
    return lagrange_bound(problem, needs, node, prices, best), fresh


def _price_capped(
    kind: Kind, b: int, place: int, node: Node, prices: Prices, *, per_blank: Floats
) -> Priced:
    own = per_blank.copy()
    for sigma, cap in zip(prices.extra[1:], node.caps, strict=True):
        if cap.place == place:
            for i, blank in enumerate(kind.menu.blanks):
                if blank.row == cap.row:
                    closed = cap.high == 0 and not cap.per_use
                    own[i] = 0.0 if closed else own[i] + sigma * blank.gives
    return kind.part([b]).solve(own)
