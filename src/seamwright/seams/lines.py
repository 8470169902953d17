"""Every straight line that carries an edge, and which cells lie left of it, right of it, across it.

Sets of cells are integers used as bit sets: cell 0 is bit 0. Whether a line runs straight through
a region is then three ANDs, however many cells the region has.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from seamwright.geometry import ANGLE_DEG, ON_LINE_MM, Line, Polygon

_CHUNK = 256
_FEW = 24
"""So many cells of a set are told one by one as fast as all at once."""
Floats = NDArray[np.float64]
Edge = tuple[float, float, int]
"""Where an edge begins and ends along its line [mm], and the cell on its left."""


@dataclass(frozen=True, slots=True)
class Through:
    """A supporting line and the cells beside it.

    Attributes:
        line: the line, directed into the upper half plane (angle in [0, 180)).
        direction: number of its direction; equal numbers are parallel.
        left, right, crossed: cells wholly left, wholly right, on both sides (bit sets).
        carried: cells that have an edge on the line (bit set).
    """

    line: Line
    direction: int
    left: int
    right: int
    crossed: int
    carried: int

    def divides(self, region: int) -> bool:
        """Whether the line runs straight through a region along its seams, crossing no cell."""
        return not self.crossed & region and bool(self.left & region) and bool(self.right & region)


def supporting_lines(cells: Sequence[Polygon]) -> tuple[Through, ...]:
    """All lines that carry an edge of a cell, each once, sorted by direction and then offset.

    Args:
        cells: simple polygons [mm], anticlockwise.
    Returns:
        One entry for each distinct line; lines within the tolerance are one line.
    """
    return _supporting_lines(tuple(cells))


# an edit of wood or grain leaves all outlines as they were
@lru_cache(maxsize=64)
def _supporting_lines(cells: tuple[Polygon, ...]) -> tuple[Through, ...]:
    if not cells:
        return ()
    points, starts = _flatten(cells)
    ux, uy, offset, direction, line_of = _distinct_lines(points, starts)
    carried = _carriers(line_of, starts, len(ux))
    corners, corner_of = np.unique(points, axis=0, return_inverse=True)
    corner_of = corner_of.reshape(-1)
    entries: list[Through] = []
    for begin in range(0, len(ux), _CHUNK):
        part = slice(begin, begin + _CHUNK)
        above, below = _reach(corners, corner_of, starts, ux[part], uy[part], offset[part])
        left = _bit_sets(above & ~below)
        right = _bit_sets(below & ~above)
        crossed = _bit_sets(above & below)
        for i in range(len(left)):
            at = begin + i
            line = Line(float(ux[at]), float(uy[at]), float(offset[at]))
            entries.append(
                Through(line, int(direction[at]), left[i], right[i], crossed[i], carried[at])
            )
    return tuple(entries)


def edges_by_line(cells: Sequence[Polygon]) -> tuple[tuple[Line, tuple[Edge, ...]], ...]:
    """All lines that carry an edge, in the order of ``supporting_lines``, with their edges."""
    if not cells:
        return ()
    points, starts = _flatten(cells)
    ux, uy, offset, _, line_of = _distinct_lines(points, starts)
    along = ux[line_of] * points[:, 0] + uy[line_of] * points[:, 1]
    following = _following(starts, len(points))
    ends = ux[line_of] * points[following, 0] + uy[line_of] * points[following, 1]
    cell_of = np.searchsorted(starts, np.arange(len(points)), side="right") - 1
    edges: list[list[Edge]] = [[] for _ in ux]
    for line, begin, end, cell in zip(
        line_of.tolist(), along.tolist(), ends.tolist(), cell_of.tolist(), strict=True
    ):
        edges[line].append((begin, end, cell))
    lines = map(Line, ux.tolist(), uy.tolist(), offset.tolist())
    return tuple((line, tuple(on)) for line, on in zip(lines, edges, strict=True))


def _reach(
    corners: Floats,
    corner_of: NDArray[np.int64],
    starts: NDArray[np.int64],
    ux: Floats,
    uy: Floats,
    offset: Floats,
) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Which cells reach to the left and to the right of which lines: (cells, lines) each.

    Cells share corners: each corner is measured once, and its sign looked up for every cell.
    """
    sides = np.outer(corners[:, 1], ux) - np.outer(corners[:, 0], uy) - offset
    signs = (sides > ON_LINE_MM).view(np.int8) - (sides < -ON_LINE_MM).view(np.int8)
    sizes = np.diff(np.append(starts, len(corner_of)))
    high = signs[corner_of[starts]]
    low = high.copy()
    for k in range(1, int(sizes.max())):
        have = np.flatnonzero(sizes > k)
        rows = signs[corner_of[starts[have] + k]]
        high[have] = np.maximum(high[have], rows)
        low[have] = np.minimum(low[have], rows)
    return high > 0, low < 0


def _flatten(cells: Sequence[Polygon]) -> tuple[Floats, NDArray[np.int64]]:
    sizes = np.array([len(cell) for cell in cells])
    starts = np.concatenate(([0], np.cumsum(sizes)[:-1])).astype(np.int64)
    points = np.array([point for cell in cells for point in cell], dtype=np.float64)
    return points, starts


def _following(starts: NDArray[np.int64], count: int) -> NDArray[np.int64]:
    """For each point the number of the next one of its cell."""
    following = np.arange(1, count + 1)
    following[np.append(starts[1:], count) - 1] = starts
    return following


def _distinct_lines(
    points: Floats, starts: NDArray[np.int64]
) -> tuple[Floats, Floats, Floats, NDArray[np.int64], NDArray[np.int64]]:
    ahead = points[_following(starts, len(points))]
    delta = ahead - points
    length = np.hypot(delta[:, 0], delta[:, 1])
    ux, uy = delta[:, 0] / length, delta[:, 1] / length
    backwards = (uy < -1e-12) | ((np.abs(uy) <= 1e-12) & (ux < 0.0))
    ux, uy = np.where(backwards, -ux, ux), np.where(backwards, -uy, uy)
    uy = np.where(uy < 0.0, 0.0, uy)
    angle = np.degrees(np.arctan2(uy, ux))
    angle = np.where(angle > 180.0 - ANGLE_DEG / 2.0, angle - 180.0, angle)
    direction, representative = _directions(angle, length)
    ux, uy = ux[representative], uy[representative]
    middle = (points + ahead) / 2.0
    offset = ux * middle[:, 1] - uy * middle[:, 0]
    order = np.lexsort((offset, direction))
    new = np.ones(len(order), dtype=bool)
    new[1:] = (np.diff(direction[order]) != 0) | (np.diff(offset[order]) > ON_LINE_MM)
    keep = order[new]
    line_of = np.empty(len(order), dtype=np.int64)
    line_of[order] = np.cumsum(new) - 1
    return ux[keep], uy[keep], offset[keep], direction[keep], line_of


def _carriers(line_of: NDArray[np.int64], starts: NDArray[np.int64], count: int) -> list[int]:
    """For each line the cells with an edge on it, as bit sets; edge i starts at point i."""
    carried = [0] * count
    cell_of = np.searchsorted(starts, np.arange(len(line_of)), side="right") - 1
    for line, cell in zip(line_of.tolist(), cell_of.tolist(), strict=True):
        carried[line] |= 1 << cell
    return carried


def _directions(angle: Floats, length: Floats) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Number the directions; the longest edge of each stands for all of it."""
    order = np.argsort(angle, kind="stable")
    steps = np.concatenate(([0], (np.diff(angle[order]) > ANGLE_DEG).astype(np.int64)))
    number = np.empty(len(angle), dtype=np.int64)
    number[order] = np.cumsum(steps)
    longest = np.lexsort((-length, number))
    first = np.concatenate(([True], np.diff(number[longest]) != 0))
    return number, longest[first][number]


def _bit_sets(cells: NDArray[np.bool_]) -> list[int]:
    """For each line (column) the cells (rows) that are true."""
    packed = np.ascontiguousarray(np.packbits(cells, axis=0, bitorder="little").T)
    return [int.from_bytes(row.tobytes(), "little") for row in packed]


def members(region: int) -> list[int]:
    """The cells of a bit set, ascending.

    >>> members(0b10110)
    [1, 2, 4]
    """
    if region.bit_count() > _FEW:
        packed = np.frombuffer(region.to_bytes(-(-region.bit_length() // 8), "little"), np.uint8)
        return np.flatnonzero(np.unpackbits(packed, bitorder="little")).tolist()
    found = []
    while region:
        low = region & -region
        found.append(low.bit_length() - 1)
        region ^= low
    return found
