"""What every place of a problem gains at given prices: by tables, and where it matters exactly.

The tables that price all boards at once know no limits on copies: what they say is an upper bound,
and their patterns are cut back and refilled. The best pattern within the limits is looked for
exactly where that bound still decides something.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from seamwright.rack.contents import Contents
from seamwright.rack.fit import variants_of
from seamwright.rack.grid import Floats
from seamwright.rack.labels import Keys, TooManyError, keys_of
from seamwright.rack.listing import Part, part_of
from seamwright.rack.pattern import Pattern
from seamwright.rack.price import Priced
from seamwright.rack.problem import Column, Node, Pool, Problem
from seamwright.rack.proper import Whole, Won

_SMOOTH = 0.4
_FEW_LABELS = 150_000
_STEPS = 8
_SAME, _WIDE, _WIDE_SLACK = 1e-7, 0.3, 0.03


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices:
    """Prices of rows and of a bought board, and what every place can gain at them at most."""

    rows: Floats
    share: float
    best: Floats | None = None

    def towards(self, other: Prices | None) -> Prices:
        """Smoothed towards other prices."""
        if other is None:
            return self
        keep = _SMOOTH
        return Prices(
            rows=keep * other.rows + (1 - keep) * self.rows,
            share=keep * other.share + (1 - keep) * self.share,
        )


class Pricer:
    """Prices all places of a problem at a node, and knows the columns that may be used there."""

    def __init__(self, problem: Problem, pool: Pool, needs: tuple[int, ...], node: Node) -> None:
        self.problem, self.pool, self.needs, self.node = problem, pool, needs, node
        self.most = problem.most(needs)
        self.keys = keys_of(self.most)
        self.labels, self.missed, self.generous = 0, False, False
        self._kinds: list[tuple[int, Priced, Contents]] = []
        self._gives: list[tuple[int, ...]] = []
        self._credit: list[float] = []
        self._place: list[int] = []

    def takes(self, column: Column) -> bool:
        """Whether a column may be used here; it is remembered if so."""
        proper = all(g <= m for g, m in zip(column.gives, self.most, strict=True))
        if not (proper or self.generous) or not self.node.allows(column.place, column.gives):
            return False
        self._gives.append(column.gives)
        self._credit.append(self.problem.costs[column.place] - column.cost)
        self._place.append(column.place)
        return True

    def known(self, prices: Prices) -> Floats:
        """Most that the columns known of each place gain."""
        best = np.full(len(self.problem.costs), -np.inf)
        if self._gives:
            worth = np.array(self._gives) @ prices.rows + np.array(self._credit)
            np.maximum.at(best, np.array(self._place), worth)
        return best

    def rough(self, prices: Prices) -> tuple[Floats, list[Column]]:
        """The tables' upper bound of what each place gains, and columns made of their patterns."""
        problem, node = self.problem, self.node
        best, known = self._tables(prices), self.known(prices)
        fresh: list[Column] = []
        for first, priced, _ in self._kinds:
            for b in range(len(priced.kind.boards)):
                place = first + b
                # to the linear program what gains less than the board costs, or than a known
                # column, is of no use; choosing in whole numbers wants more to choose from
                free = self._cost(place, prices)
                least = known[place] if place in node.forced else max(known[place], free)
                if self.generous:
                    least = _WIDE * problem.costs[place]
                if best[place] > least + _SAME and place not in node.banned:
                    column = problem.column(place, priced.pattern(b))
                    # as it is for the pool, cut back and refilled for the linear program
                    fresh.extend((column, *variants_of(problem, column, self.needs)))
        return best, fresh

    def _tables(self, prices: Prices, *, least: float = 0.0) -> Floats:
        """Price all boards; the most each could gain if it knew no limits.

        Blanks worth no more than ``least`` are no part of what is searched for exactly.
        """
        self._kinds = []
        place, best = 0, []
        for kind in self.problem.kinds:
            priced = kind.solve(kind.worth(prices.rows))
            contents = Contents(priced, self.keys, most=_FEW_LABELS, least=least)
            self._kinds.append((place, priced, contents))
            best.append(priced.best)
            place += len(kind.boards)
        return np.concatenate(best)

    def _cost(self, place: int, prices: Prices) -> float:
        """What using a place costs, less what a bought board is worth at a node that buys some."""
        return self.problem.costs[place] - (prices.share if self.problem.bought[place] else 0.0)

    def exact(self, prices: Prices, best: Floats) -> tuple[Floats, list[Column]]:
        """The bound made exact where it decides something, and the columns that reach it.

        Where partial patterns are too many the bound stays, and ``missed`` is set.
        """
        known = self.known(prices)
        best, fresh, self.missed = best.copy(), [], False
        for first, priced, contents in self._kinds:
            for b in range(len(priced.kind.boards)):
                place = first + b
                free = self._cost(place, prices)
                if place in self.node.forced:
                    free = float(best[place]) - _WIDE * self.problem.costs[place]
                floor = max(float(known[place]), free) + _SAME
                if place not in self.node.banned and best[place] > floor:
                    best[place], found = self._best_of(
                        priced, b, contents, place, prices, floor=floor, top=float(best[place])
                    )
                    fresh.extend(found)
        return best, fresh

    def _best_of(
        self,
        priced: Priced,
        b: int,
        contents: Contents,
        place: int,
        prices: Prices,
        *,
        floor: float,
        top: float,
    ) -> tuple[float, list[Column]]:
        """Most that a place gains above a floor, at most ``top``, and columns found on the way."""
        limits, low = self._box(place)
        contents.left = _FEW_LABELS
        try:
            found = Whole(contents, b, limits).best(floor, low)
            return self._settled(place, found, floor, top)
        except TooManyError:
            if not self.labels:
                return top, []
        whole, least, fresh = self._dimmed(priced, b, place, prices, floor, limits)
        top = min(top, least)
        if top <= floor:
            return top, fresh
        good = whole.likely(floor, low)
        if good is not None:
            floor = good[0]
            fresh.append(self.problem.closed(place, good[1]))
        try:
            best, more = self._settled(place, whole.best(floor, low), floor, top)
            return best, fresh + more
        except TooManyError:
            self.missed = True
            return top, fresh

    def _settled(
        self, place: int, found: Won | None, floor: float, top: float
    ) -> tuple[float, list[Column]]:
        if found is None:
            return min(top, floor), []
        return min(top, found[0]), [self.problem.closed(place, found[1])]

    def within(
        self, prices: Prices, reach: float, *, most: int, check: Callable[[], bool]
    ) -> Iterator[Part]:
        """Every pattern that loses at most ``reach`` at prices whose bound was found.

        Where more work than ``most`` were needed, or ``check`` says that time is up, only some
        come, and ``missed`` is set.
        """
        assert prices.best is not None
        problem, self.missed = self.problem, False
        # blanks worth nothing, or less than the work of gluing them, may be in the best plan
        self._tables(prices, least=-math.inf)
        for first, priced, contents in self._kinds:
            for b in range(len(priced.kind.boards)):
                place = first + b
                par = max(self._cost(place, prices), float(prices.best[place]))
                floor = par - reach - _SAME
                if priced.best[b] <= floor:
                    continue
                if check():
                    self.missed = True
                    return
                whole = Whole(contents, b, self.keys)
                if priced.best[b] - floor > _WIDE_SLACK * abs(floor):
                    whole, _, _ = self._dimmed(
                        priced, b, place, prices, floor, self.keys, least=-math.inf
                    )
                # no place may take all of it: the next wants some too
                whole.contents.left, most = most - most // 2, most // 2
                try:
                    found = list(whole.all(floor))
                    most += whole.contents.left
                except TooManyError:
                    self.missed = True
                    found = whole.some(floor)
                if any(len(listed.worth) for listed in found):
                    cost = problem.costs[place]
                    yield part_of(place, whole, found, cost=cost, par=par, paid=prices.rows)

    def _dimmed(
        self,
        priced: Priced,
        b: int,
        place: int,
        prices: Prices,
        floor: float,
        limits: Keys,
        *,
        least: float = 0.0,
    ) -> tuple[Whole, float, list[Column]]:
        """Prices of rows a board would give too much of lowered until it hardly does.

        A Lagrangian relaxation of the limits, by Polyak's steps; it gives an upper bound of what
        the board gains, and prices at which little is overlooked when searching.
        """
        kind, rows = priced.kind.part([b]), prices.rows
        most = np.array(self.most, dtype=float)
        share = self.pool.dimmed.get(place, np.zeros(len(most)))
        best: tuple[float, Priced, Floats] | None = None
        fresh: dict[tuple[int, ...], Pattern] = {}
        for step in range(_STEPS):
            lower = rows - share * rows
            now = kind.solve(kind.worth(lower))
            top = float(now.best[0] + (share * rows) @ most)
            if best is None or top < best[0]:
                best = (top, now, share)
            if step == 0 and top > float(priced.best[b]):
                # what was of use at other prices is none here
                share = np.zeros(len(most))
                continue
            pattern = now.pattern(0)
            column = self.problem.column(place, pattern)
            over = (np.array(column.gives) - most) * rows
            over[(share <= 0) & (over < 0)] = 0.0
            size = float(over @ over)
            if top <= floor or size <= _SAME:
                break
            fresh.setdefault(pattern.counts, pattern)
            share = np.clip(share + (top - floor) / size * over, 0.0, 1.0)
        assert best is not None
        self.pool.dimmed[place] = best[2]
        dimmed = best[2] * rows
        contents = Contents(best[1], self.keys, most=self.labels, least=least)
        whole = Whole(contents, 0, limits, dimmed=dimmed, back=float(dimmed @ most))
        columns = [self.problem.column(place, pattern) for pattern in fresh.values()]
        fit = [v for c in columns for v in variants_of(self.problem, c, self.needs)]
        return whole, best[0], fit

    def _box(self, place: int) -> tuple[Keys, tuple[int, ...]]:
        mine = [c for c in self.node.caps if c.place == place]
        if not mine:
            return self.keys, ()
        high, low = list(self.most), [0] * len(self.most)
        for cap in mine:
            high[cap.row], low[cap.row] = min(high[cap.row], cap.high), cap.low
        return self.keys.narrowed(tuple(high)), tuple(low)

    def bound(self, prices: Prices, best: Floats) -> float:
        """What demand is worth at these prices, less what boards can gain."""
        problem, node, share = self.problem, self.node, prices.share
        bound = float(np.dot(prices.rows, self.needs))
        bound += share * (node.least_bought if share >= 0 else (node.most_bought or 0))
        for place, cost in enumerate(problem.costs):
            if place in node.banned:
                continue
            loss = cost - float(best[place])
            loss -= share if problem.bought[place] else 0.0
            if place in node.forced and loss > 0:
                bound += loss
            else:
                bound += problem.limits[place] * min(0.0, loss)
        return bound
