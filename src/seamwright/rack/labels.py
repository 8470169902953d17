"""Partial patterns while the best whole ones are searched for: counts in one number, and chains.

Counts of all rows live in one whole number, a field of bits per row, so that adding two and
comparing them with every limit are one operation each.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass
from typing import NamedTuple, TypeVar

from seamwright.rack.places import Spans

TINY = 1e-9


class TooManyError(Exception):
    """More partial patterns than allowed."""


@dataclass(frozen=True, slots=True)
class Keys:
    """Counts of rows packed into one whole number.

    Attributes:
        shifts: first bit of each row's field.
        comp, guard: a key breaks a limit where ``(key + comp) & guard`` is not 0.
    """

    shifts: tuple[int, ...]
    comp: int
    guard: int

    def unpacked(self, key: int) -> tuple[int, ...]:
        """Count of each row.

        Example:
            >>> keys = keys_of((3, 7))
            >>> keys.unpacked((2 << keys.shifts[0]) + (5 << keys.shifts[1]))
            (2, 5)
        """
        return tuple(
            (key >> at) & ((1 << (top + 1)) - 1)
            for at, top in zip(self.shifts, self._tops(), strict=True)
        )

    def narrowed(self, limits: tuple[int, ...]) -> Keys:
        """The same fields with limits no higher."""
        comp = 0
        for at, limit, top in zip(self.shifts, limits, self._tops(), strict=True):
            comp |= ((1 << top) - 1 - limit) << at
        return Keys(self.shifts, comp, self.guard)

    def _tops(self) -> list[int]:
        ends = (*self.shifts[1:], self.guard.bit_length())
        return [b - a - 1 for a, b in zip(self.shifts, ends, strict=True)]


def keys_of(limits: tuple[int, ...]) -> Keys:
    """Fields wide enough for twice each limit."""
    at, shifts, comp, guard = 0, [], 0, 0
    for limit in limits:
        bits = limit.bit_length()
        shifts.append(at)
        comp |= ((1 << bits) - 1 - limit) << at
        guard |= 1 << (at + bits)
        at += bits + 1
    return Keys(tuple(shifts), comp, guard)


class Laid(NamedTuple):
    """A strip beside others in a clear span: width index and its blanks."""

    before: Laid | None
    width: int
    blanks: tuple[int, ...]


class Ripped(NamedTuple):
    """A strip of a zone: width index, where across, clear spans along and the blanks of each."""

    before: Ripped | None
    width: int
    y: int
    spans: Spans
    blanks: tuple[tuple[int, ...], ...]


class Step(NamedTuple):
    """A section, or a zone where ``zone`` is not negative, and what it holds."""

    before: Step | None
    zone: int
    section: int
    start: int
    case: int
    spans: tuple[Laid | None, ...]
    strips: Ripped | None


C = TypeVar("C")
Labels = dict[int, tuple[float, C | None]]
"""Partial patterns that end at one position: worth and chain by key."""
Filling = tuple[float, int, tuple[int, ...]]
"""Worth, key and blanks of a clear length of a strip."""
Fillings = tuple[float, int, tuple[tuple[int, ...], ...]]
"""Worth, key and blanks of every clear span along a strip."""
Laying = tuple[float, int, Laid | None]
"""Worth, key and strips of a clear span across a section."""
Layings = tuple[float, int, tuple[Laid | None, ...]]
"""Worth, key and strips of every clear span across a section."""
Ripping = tuple[float, int, Ripped | None]
"""Worth, key and strips of a zone."""


def put(
    rows: dict[int, Labels[C]],
    heap: list[int],
    at: int,
    key: int,
    worth: float,
    chain: C | None,
) -> None:
    """Keep a partial pattern if it is the best with its counts at its position."""
    row = rows.get(at)
    if row is None:
        rows[at] = {key: (worth, chain)}
        heapq.heappush(heap, at)
        return
    old = row.get(key)
    if old is None or old[0] < worth - TINY:
        row[key] = (worth, chain)


def best_of(row: Labels[C], width: int) -> Labels[C]:
    """The most worthy of partial patterns; all where ``width`` is 0."""
    if not width or len(row) <= width:
        return row
    return dict(sorted(row.items(), key=lambda t: -t[1][0])[:width])
