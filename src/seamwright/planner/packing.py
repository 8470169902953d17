"""Which slices come off which bar: as few bars as will hold them, as even as they go.

Only lengths count here. Slices of one pitch are alike; a bar holds slices up to its room. Bars are
filled in cutting order where that needs no bar more, so that most bars are alike; otherwise the
longest slices are laid first, and where a sure bound leaves hope for a bar less, all ways to lay
them are tried, up to a limit that only very mixed bars reach.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

Sizes = tuple[tuple[float, int], ...]
"""(pitch [mm], how many), longest first."""

Share = tuple[int, ...]
"""How many of each size come off one bar."""

_NEAR = 1e-6
"""A bar may be over-full by this [mm]: rounding of sums."""
_MOST_TRIALS = 4_000
_MOST_SLICES = 60
"""Slices laid down in a search, and slices in it, before what is known is good enough."""
_MOST_SUMS = 2_000
_PITCH_DIGITS = 9
"""Pitches that agree to so many decimals of a millimetre are one."""


def sizes_of(drawn: Mapping[float, int]) -> Sizes:
    """What is drawn from a pool, in one order: pitches [mm] with how many of each."""
    summed: dict[float, int] = {}
    for pitch, count in drawn.items():
        key = round(pitch, _PITCH_DIGITS)
        summed[key] = summed.get(key, 0) + count
    return tuple(sorted(((p, n) for p, n in summed.items() if n), reverse=True))


def fullest_mm(room_mm: float, pitches_mm: set[float]) -> float:
    """No bar holds slices of more pitch than this [mm], however they are mixed."""
    return _fullest_mm(room_mm, frozenset(pitches_mm))


@lru_cache(maxsize=10_000)
def _fullest_mm(room_mm: float, pitches_mm: frozenset[float]) -> float:
    sums = {0.0}
    fresh = {0.0}
    while fresh:
        fresh = {
            round(s + p, _PITCH_DIGITS)
            for s in fresh
            for p in pitches_mm
            if s + p <= room_mm + _NEAR
        } - sums
        sums |= fresh
        if len(sums) > _MOST_SUMS:
            return room_mm
    return max(sums)


@lru_cache(maxsize=50_000)
def shared_out(room_mm: float, short_mm: float, sizes: Sizes) -> tuple[tuple[Share, int], ...]:
    """Slices shared out over bars.

    Args:
        room_mm: pitch that one bar holds [mm]; no size is longer.
        short_mm: a bar with less pitch than this is made as long as if it had it [mm].
        sizes: what is wanted.
    Returns:
        (share, how many bars have it): as few bars as were found to do, then with as little
        length wasted on short ones.
    """
    if sizes and int((room_mm + _NEAR) / sizes[0][0]) < 1:
        raise ValueError(f"no bar of {room_mm} mm holds a slice of {sizes[0][0]} mm")
    total = sum(pitch * count for pitch, count in sizes)
    if total <= room_mm + _NEAR:
        return ((tuple(count for _, count in sizes), 1),)
    filled = min(_in_order(sizes, room_mm), _longest_first(sizes, room_mm), key=len)
    least = math.ceil(total / fullest_mm(room_mm, {pitch for pitch, _ in sizes}) - 1e-9)
    while len(filled) > least:
        fewer = _Laying(room_mm, 0.0, sizes, len(filled) - 1).best()
        if fewer is None:
            break
        filled = fewer
    even = _evened(filled, room_mm, sizes)
    if _wasted(even, short_mm, sizes) > _NEAR:
        better = _Laying(room_mm, short_mm, sizes, len(even)).best()
        if better is not None:
            even = min(even, better, key=lambda shares: _wasted(shares, short_mm, sizes))
    counted: dict[Share, int] = {}
    for share in even:
        counted[share] = counted.get(share, 0) + 1
    return tuple(counted.items())


def pitch_of(share: Share, sizes: Sizes) -> float:
    """Pitch of the slices on one bar together [mm]."""
    return sum(pitch * count for (pitch, _), count in zip(sizes, share, strict=True))


def _wasted(shares: Sequence[Share], short_mm: float, sizes: Sizes) -> float:
    return sum(max(0.0, short_mm - pitch_of(share, sizes)) for share in shares)


def _evened(filled: list[Share], room_mm: float, sizes: Sizes) -> list[Share]:
    """As many bars, the fullest of them as empty as filling them in some order makes it."""
    total = sum(pitch * count for pitch, count in sizes)
    best, found = filled, False
    for fill in (_in_order, _longest_first):
        low, high = max(total / len(filled), sizes[0][0]), room_mm
        if found or len(fill(sizes, high)) > len(filled):
            continue
        best, found = fill(sizes, high), True
        for _ in range(30):
            middle = (low + high) / 2.0
            trial = fill(sizes, middle)
            if len(trial) <= len(best):
                best, high = trial, middle
            else:
                low = middle
    return best


def _in_order(sizes: Sizes, room_mm: float) -> list[Share]:
    """Fill one bar after the other."""
    shares: list[Share] = []
    share, left = [0] * len(sizes), room_mm
    for at, (pitch, count) in enumerate(sizes):
        rest = count
        while rest:
            fits = min(rest, int((left + _NEAR) / pitch))
            share[at] += fits
            left -= fits * pitch
            rest -= fits
            if rest:
                shares.append(tuple(share))
                share, left = [0] * len(sizes), room_mm
    return [*shares, tuple(share)]


def _longest_first(sizes: Sizes, room_mm: float) -> list[Share]:
    """Lay every slice on the first bar that has room for it."""
    shares: list[list[int]] = []
    rooms: list[float] = []
    for at, (pitch, count) in enumerate(sizes):
        rest = count
        for bar, left in enumerate(rooms):
            fits = min(rest, int((left + _NEAR) / pitch))
            shares[bar][at] += fits
            rooms[bar] -= fits * pitch
            rest -= fits
        each = int((room_mm + _NEAR) / pitch)
        while rest:
            fits = min(rest, each)
            shares.append([fits if i == at else 0 for i in range(len(sizes))])
            rooms.append(room_mm - fits * pitch)
            rest -= fits
    return [tuple(share) for share in shares]


class _Laying:
    """Every way to lay slices on so many bars, the longest first, alike bars tried once."""

    def __init__(self, room_mm: float, short_mm: float, sizes: Sizes, bars: int) -> None:
        self.room_mm, self.short_mm, self.sizes = room_mm, short_mm, sizes
        self.left = [count for _, count in sizes]
        self.rest = sum(pitch * count for pitch, count in sizes)
        self.loads = [0.0] * bars
        self.shares = [[0] * len(sizes) for _ in range(bars)]
        self.trials = 0
        self.found: list[Share] | None = None
        self.wasted = math.inf

    def best(self) -> list[Share] | None:
        """The way that wastes least; the best met where there are too many; None for none."""
        fits = self.rest <= len(self.loads) * self.room_mm + _NEAR
        if fits and sum(self.left) <= _MOST_SLICES:
            self._lay(0, 0)
        return self.found

    def _lay(self, at: int, first: int) -> None:
        """Lay the next slice; of one size, each on the same bar as the last one or a later one."""
        while at < len(self.left) and not self.left[at]:
            at, first = at + 1, 0
        if at == len(self.left):
            wasted = sum(max(0.0, self.short_mm - load) for load in self.loads)
            if wasted < self.wasted - _NEAR:
                self.wasted = wasted
                self.found = [tuple(share) for share in self.shares]
            return
        pitch = self.sizes[at][0]
        tried: set[tuple[int, ...]] = set()
        for bar in range(first, len(self.loads)):
            alike = tuple(self.shares[bar])
            if alike in tried or self.loads[bar] + pitch > self.room_mm + _NEAR:
                continue
            tried.add(alike)
            self.trials += 1
            if self.trials > _MOST_TRIALS or self.wasted <= _NEAR or self._is_short():
                return
            self._move(at, bar, 1)
            self._lay(at, bar)
            self._move(at, bar, -1)

    def _is_short(self) -> bool:
        """Whether bars stay shorter than is worth it whatever is laid on them."""
        short = sum(max(0.0, self.short_mm - load) for load in self.loads)
        return short - self.rest >= self.wasted - _NEAR

    def _move(self, at: int, bar: int, sign: int) -> None:
        pitch = self.sizes[at][0]
        self.left[at] -= sign
        self.shares[bar][at] += sign
        self.loads[bar] += sign * pitch
        self.rest -= sign * pitch


@dataclass(frozen=True, slots=True)
class Wanted:
    """Slices wanted from a pool.

    Attributes:
        node: number of the node they become.
        pitch_mm: bar used up by one [mm].
        count: how many.
    """

    node: int
    pitch_mm: float
    count: int


Load = tuple[tuple[int, int], ...]
"""(node, slices) along one bar, in cutting order."""


def pack(
    wanted: Sequence[Wanted], share_out: Callable[[Sizes], tuple[tuple[Share, int], ...]]
) -> list[tuple[Load, int]]:
    """Which node's slices come off which bar.

    Args:
        wanted: slices in cutting order; their node numbers differ.
        share_out: how many of each size come off each bar.
    Returns:
        (load, how many bars have it); the loads together are exactly what is wanted.
    """
    drawn: dict[float, int] = {}
    for want in wanted:
        drawn[want.pitch_mm] = drawn.get(want.pitch_mm, 0) + want.count
    sizes = sizes_of(drawn)
    size_of = {
        want.node: min(range(len(sizes)), key=lambda i, p=want.pitch_mm: abs(sizes[i][0] - p))  # type: ignore[misc]
        for want in wanted
    }
    left = {want.node: want.count for want in wanted}
    counted: dict[Load, int] = {}
    for share, bars in share_out(sizes):
        for _ in range(bars):
            rooms = list(share)
            load = []
            for want in wanted:
                taken = min(left[want.node], rooms[size_of[want.node]])
                if taken:
                    load.append((want.node, taken))
                    left[want.node] -= taken
                    rooms[size_of[want.node]] -= taken
            counted[tuple(load)] = counted.get(tuple(load), 0) + 1
    return list(counted.items())
