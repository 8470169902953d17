"""Cut a large drawing into pages that overlap and share registration marks."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from seamwright.geometry import Line, Point, Polygon, area, bounds, clip
from seamwright.papers.pages import Page

OVERLAP_MM = 12.0
LEFT_MM, RIGHT_MM, TOP_MM, BOTTOM_MM = 12.0, 24.0, 24.0, 26.0
"""Margins of a template page: bars along the right and the bottom, heading on top [mm]."""

_AT = (0.2, 0.8)
"""Marks stand in the middle of an overlap, at these shares of a page's length along it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tile:
    """One page of a template.

    Attributes:
        column, row: place, from 0, rows upwards.
        window: x_min, y_min, x_max, y_max of what it shows, in the template's frame [mm].
    """

    column: int
    row: int
    window: tuple[float, float, float, float]

    @property
    def name(self) -> str:
        """Letter of the row, from the bottom, and number of the column."""
        return f"{chr(ord('A') + self.row % 26)}{self.column + 1}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tiling:
    """How a template is cut into pages.

    Attributes:
        sideways: pages lie on their side.
        page_mm: width and height of a page as it lies [mm].
        columns, rows: of the whole grid.
        tiles: the pages with something on them, row by row from the top.
        marks: registration marks in the template's frame [mm].
    """

    sideways: bool
    page_mm: tuple[float, float]
    columns: int
    rows: int
    tiles: tuple[Tile, ...]
    marks: tuple[Point, ...]


def tiling(outlines: Sequence[Polygon], page: Page) -> Tiling:
    """The fewest pages that show all outlines, upright or sideways.

    Args:
        outlines: what must be shown [mm].
        page: paper.
    """
    upright = _grid(outlines, (page.width_mm, page.height_mm), sideways=False)
    lying = _grid(outlines, (page.height_mm, page.width_mm), sideways=True)
    return min((upright, lying), key=lambda t: (len(t.tiles), t.columns * t.rows, t.sideways))


def _grid(outlines: Sequence[Polygon], page_mm: tuple[float, float], *, sideways: bool) -> Tiling:
    x0, y0, x1, y1 = bounds(p for outline in outlines for p in outline)
    wide = page_mm[0] - LEFT_MM - RIGHT_MM
    high = page_mm[1] - TOP_MM - BOTTOM_MM
    columns, rows = _count(x1 - x0, wide), _count(y1 - y0, high)
    step_x, step_y = wide - OVERLAP_MM, high - OVERLAP_MM
    left = (x0 + x1 - (columns - 1) * step_x - wide) / 2.0
    low = (y0 + y1 - (rows - 1) * step_y - high) / 2.0
    tiles = [
        Tile(column=c, row=r, window=_window(left + c * step_x, low + r * step_y, wide, high))
        for r in reversed(range(rows))
        for c in range(columns)
    ]
    between_columns = [left + c * step_x + OVERLAP_MM / 2.0 for c in range(1, columns)]
    between_rows = [low + r * step_y + OVERLAP_MM / 2.0 for r in range(1, rows)]
    along_x = [left + c * step_x + s * wide for c in range(columns) for s in _AT]
    along_y = [low + r * step_y + s * high for r in range(rows) for s in _AT]
    marks = [
        *((x, y) for x in between_columns for y in along_y),
        *((x, y) for y in between_rows for x in along_x),
    ]
    shown = tuple(t for t in tiles if any(inside(o, t.window) for o in outlines))
    return Tiling(
        sideways=sideways,
        page_mm=page_mm,
        columns=columns,
        rows=rows,
        tiles=shown,
        marks=tuple(marks),
    )


def _window(x: float, y: float, wide: float, high: float) -> tuple[float, float, float, float]:
    return (x, y, x + wide, y + high)


def _count(length_mm: float, room_mm: float) -> int:
    if length_mm <= room_mm:
        return 1
    return math.ceil((length_mm - OVERLAP_MM) / (room_mm - OVERLAP_MM) - 1e-9)


def inside(polygon: Polygon, window: tuple[float, float, float, float]) -> tuple[Polygon, ...]:
    """The parts of a polygon within a window."""
    x0, y0, x1, y1 = window
    left, low, right, high = bounds(polygon)
    if left >= x1 or right <= x0 or low >= y1 or high <= y0:
        return ()
    parts: tuple[Polygon, ...] = (polygon,)
    if left >= x0 and right <= x1 and low >= y0 and high <= y1:
        return parts
    for a, b in (
        ((x0, y0), (x1, y0)),
        ((x1, y0), (x1, y1)),
        ((x1, y1), (x0, y1)),
        ((x0, y1), (x0, y0)),
    ):
        line = Line.through(a, b)
        parts = tuple(kept for part in parts for kept in clip(part, line))
    return tuple(part for part in parts if area(part) > 1e-6)


def stretch(
    a: Point, b: Point, window: tuple[float, float, float, float]
) -> tuple[Point, Point] | None:
    """The part of a segment within a window, or None (Liang and Barsky's clipping)."""
    x0, y0, x1, y1 = window
    dx, dy = b[0] - a[0], b[1] - a[1]
    start, end = 0.0, 1.0
    for speed, gap in (
        (-dx, a[0] - x0),
        (dx, x1 - a[0]),
        (-dy, a[1] - y0),
        (dy, y1 - a[1]),
    ):
        if speed == 0.0:
            if gap < 0.0:
                return None
        elif speed < 0.0:
            start = max(start, gap / speed)
        else:
            end = min(end, gap / speed)
    if start >= end:
        return None
    return ((a[0] + dx * start, a[1] + dy * start), (a[0] + dx * end, a[1] + dy * end))
