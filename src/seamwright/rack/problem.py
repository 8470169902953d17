"""One cutting problem: boards and demand rows that hang together, and columns found for it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from seamwright.rack.grid import Floats
from seamwright.rack.pattern import Pattern, Section
from seamwright.rack.price import Kind

Choice = list[tuple["Column", int]]


class Column(NamedTuple):
    """A pattern of one board as the master sees it: what it gives each row, what it costs."""

    place: int
    gives: tuple[int, ...]
    cost: float
    pattern: Pattern


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Boards and rows that hang together.

    A *place* is a board, or a size that can be bought, numbered through all kinds.

    Attributes:
        kinds: pricing by kind of board.
        needs: demand of each row, in the row's own units.
        missing: cost of one unit of each row left unmet.
        costs, limits, bought: per place.
    """

    kinds: tuple[Kind, ...]
    needs: tuple[int, ...]
    missing: tuple[float, ...]
    costs: tuple[float, ...]
    limits: tuple[int, ...]
    bought: tuple[bool, ...]

    def where(self, place: int) -> tuple[Kind, int]:
        """Kind of a place, and its index in the kind."""
        for kind in self.kinds:
            if place < len(kind.boards):
                return kind, place
            place -= len(kind.boards)
        raise IndexError(place)

    def part(self, places: Iterable[int]) -> tuple[Problem, tuple[int, ...]]:
        """The problem with some places only, and which place each of its places was."""
        wanted = sorted(set(places))
        kinds: list[Kind] = []
        kept: list[int] = []
        first = 0
        for kind in self.kinds:
            mine = [p - first for p in wanted if first <= p < first + len(kind.boards)]
            if mine:
                kinds.append(kind.part(mine))
                kept.extend(first + m for m in mine)
            first += len(kind.boards)
        part = replace(
            self,
            kinds=tuple(kinds),
            costs=tuple(self.costs[p] for p in kept),
            limits=tuple(self.limits[p] for p in kept),
            bought=tuple(self.bought[p] for p in kept),
        )
        return part, tuple(kept)

    def column(self, place: int, pattern: Pattern) -> Column:
        """A pattern of a place as a column."""
        kind, _ = self.where(place)
        gives, work = [0] * len(self.needs), 0.0
        for blank, count in zip(kind.menu.blanks, pattern.counts, strict=True):
            gives[blank.row] += blank.gives * count
            work += blank.work * count
        return Column(
            place=place,
            gives=tuple(gives),
            cost=self.costs[place] - pattern.credit + work,
            pattern=pattern,
        )

    def closed(self, place: int, sections: tuple[Section, ...]) -> Column:
        """The column of these sections, with every leftover they leave."""
        kind, b = self.where(place)
        return self.column(place, kind.closed(b, sections))

    def most(self, needs: tuple[int, ...]) -> tuple[int, ...]:
        """What one pattern may give each row: the need, and less than one blank more."""
        step = [1] * len(needs)
        for kind in self.kinds:
            for blank in kind.menu.blanks:
                step[blank.row] = max(step[blank.row], blank.gives)
        return tuple(n + s - 1 if n > 0 else 0 for n, s in zip(needs, step, strict=True))

    def made(self, choice: Choice) -> tuple[int, ...]:
        """What a choice gives each row."""
        total = np.zeros(len(self.needs), dtype=int)
        for column, times in choice:
            total += times * np.array(column.gives)
        return tuple(int(t) for t in total)

    def cost_of(self, choice: Choice) -> float:
        """Recounted cost of a choice, missing sticks included."""
        cost = sum(column.cost * times for column, times in choice)
        for need, made, missing in zip(self.needs, self.made(choice), self.missing, strict=True):
            cost += max(0, need - made) * missing
        return cost

    def short(self, needs: tuple[int, ...], choice: Choice) -> tuple[int, ...]:
        """What is still needed after a choice."""
        return tuple(max(0, n - m) for n, m in zip(needs, self.made(choice), strict=True))


class Pool:
    """Every column found: one per place and what it gives, the cheapest kept."""

    def __init__(self) -> None:
        self._columns: dict[tuple[int, tuple[int, ...]], Column] = {}
        self.dimmed: dict[int, Floats] = {}

    def add(self, column: Column) -> bool:
        """Keep a column if it is new or cheaper."""
        key = (column.place, column.gives)
        old = self._columns.get(key)
        if old is not None and old.cost <= column.cost + 1e-12:
            return False
        self._columns[key] = column
        return True

    def __iter__(self) -> Iterator[Column]:
        return iter(tuple(self._columns.values()))

    def __len__(self) -> int:
        return len(self._columns)


@dataclass(slots=True, kw_only=True)
class Best:
    """The best choice so far."""

    choice: Choice
    cost: float

    def offer(self, choice: Choice, cost: float) -> bool:
        """Take a better choice."""
        if cost < self.cost - 1e-9:
            self.choice, self.cost = choice, cost
            return True
        return False


@dataclass(frozen=True, slots=True, kw_only=True)
class Cap:
    """Limits on what the pattern of one place gives one row."""

    place: int
    row: int
    low: int
    high: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """Limits on top of a problem.

    Attributes:
        least_bought, most_bought: how many boards are bought.
        banned, forced: places not used, and used at least once.
        caps: what the pattern of one place gives one row.
    """

    least_bought: int = 0
    most_bought: int | None = None
    banned: frozenset[int] = frozenset()
    forced: frozenset[int] = frozenset()
    caps: tuple[Cap, ...] = ()

    def allows(self, place: int, gives: tuple[int, ...]) -> bool:
        """Whether a pattern with these counts may be used at the node."""
        if place in self.banned:
            return False
        return all(c.low <= gives[c.row] <= c.high for c in self.caps if c.place == place)

    def cap_of(self, place: int, row: int, most: int) -> Cap:
        """The cap of a place and row; none yet is 0 to ``most``."""
        for cap in self.caps:
            if (cap.place, cap.row) == (place, row):
                return cap
        return Cap(place=place, row=row, low=0, high=most)

    def with_cap(self, cap: Cap) -> Node:
        """The node with one cap set; a board that must give something must be used."""
        others = tuple(c for c in self.caps if (c.place, c.row) != (cap.place, cap.row))
        forced = self.forced | {cap.place} if cap.low > 0 else self.forced
        return replace(self, caps=(*others, cap), forced=forced)
