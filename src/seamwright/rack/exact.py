"""The best guillotine cutting of one small plate, any number of stages, exactly.

Too slow for long boards; it is the measure the staged way of cutting is held against.
Without flaws: dynamic program over the sums of sizes (Herz 1972; Beasley 1985). With flaws:
the same over rectangles in place, where a piece starts at the plate's edge or a flaw's far edge,
plus sums of sizes.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateItem:
    """A rectangle that may be cut any number of times; not turned."""

    length: int
    width: int
    value: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateFlaw:
    """A rectangle of the plate that no item may hold."""

    x: int
    y: int
    length: int
    width: int


def best_plate(
    *, length: int, width: int, items: tuple[PlateItem, ...], flaws: tuple[PlateFlaw, ...] = ()
) -> int:
    """Largest total value of items cut from a plate, without kerf.

    Example:
        >>> best_plate(length=10, width=5, items=(PlateItem(length=5, width=5, value=3),))
        6
    """
    fit = tuple(i for i in items if i.length <= length and i.width <= width and i.value > 0)
    if not fit:
        return 0
    if flaws:
        return _flawed(length, width, fit, flaws)
    return _clear(length, width, fit)


def sums(sizes: Iterable[int], limit: int, starts: Iterable[int] = (0,)) -> list[int]:
    """Starts plus all sums of sizes, up to a limit, ascending."""
    reach = np.zeros(limit + 1, dtype=bool)
    reach[[s for s in starts if s <= limit]] = True
    for at in range(limit + 1):
        if reach[at]:
            for size in sizes:
                if at + size <= limit:
                    reach[at + size] = True
    return [int(n) for n in np.flatnonzero(reach)]


def _clear(length: int, width: int, items: tuple[PlateItem, ...]) -> int:
    xs = np.array(sums({i.length for i in items}, length))
    ys = np.array(sums({i.width for i in items}, width))
    best = np.zeros((len(xs), len(ys)), dtype=np.int64)
    for item in items:
        best[xs >= item.length] = np.where(
            ys >= item.width,
            np.maximum(best[xs >= item.length], item.value),
            best[xs >= item.length],
        )
    for i in range(1, len(xs)):
        halves_x = np.arange(1, np.searchsorted(xs, xs[i] // 2, side="right"))
        rest_x = np.searchsorted(xs, xs[i] - xs[halves_x], side="right") - 1
        for j in range(1, len(ys)):
            halves_y = np.arange(1, np.searchsorted(ys, ys[j] // 2, side="right"))
            rest_y = np.searchsorted(ys, ys[j] - ys[halves_y], side="right") - 1
            top = max(best[i, j], best[i - 1, j], best[i, j - 1])
            if halves_x.size:
                top = max(top, int((best[halves_x, j] + best[rest_x, j]).max()))
            if halves_y.size:
                top = max(top, int((best[i, halves_y] + best[i, rest_y]).max()))
            best[i, j] = top
    return int(best[-1, -1])


def _flawed(
    length: int, width: int, items: tuple[PlateItem, ...], flaws: tuple[PlateFlaw, ...]
) -> int:
    xs = sums({i.length for i in items}, length, {0, *(f.x + f.length for f in flaws)})
    ys = sums({i.width for i in items}, width, {0, *(f.y + f.width for f in flaws)})
    xs, ys = sorted({*xs, length}), sorted({*ys, width})
    nx, ny = len(xs), len(ys)
    # best[i0, i1, j0, j1]: the rectangle from (xs[i0], ys[j0]) to (xs[i1], ys[j1])
    best = np.zeros((nx, nx, ny, ny), dtype=np.int64)
    for item in items:
        for i0, x in enumerate(xs):
            for j0, y in enumerate(ys):
                if _is_clear(item, x, y, flaws):
                    i1 = bisect_left(xs, x + item.length)
                    j1 = bisect_left(ys, y + item.width)
                    part = best[i0, i1:, j0, j1:]
                    np.maximum(part, item.value, out=part)
    for span in range(1, nx):
        at = np.arange(nx - span)
        here = best[at, at + span]
        for k in range(1, span):
            np.maximum(here, best[at, at + k] + best[at + k, at + span], out=here)
        for tall in range(1, ny):
            low = np.arange(ny - tall)
            top = here[:, low, low + tall]
            for k in range(1, tall):
                np.maximum(top, here[:, low, low + k] + here[:, low + k, low + tall], out=top)
            here[:, low, low + tall] = top
        best[at, at + span] = here
    return int(best[0, nx - 1, 0, ny - 1])


def _is_clear(item: PlateItem, x: int, y: int, flaws: tuple[PlateFlaw, ...]) -> bool:
    return not any(
        f.x < x + item.length and f.x + f.length > x and f.y < y + item.width and f.y + f.width > y
        for f in flaws
    )
