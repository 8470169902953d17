"""Strips side by side whose grain does not run along them: glued longer than needed, then sawn.

Two squares side by side, their grain aslant to the seam, are a slice of two long strips with such
grain. A strip like that comes off a wide board at an angle, so it can be no longer than the board
is wide; what several parts save is that all their seams are glued at once.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

from seamwright.geometry import (
    ON_LINE_MM,
    Line,
    Motion,
    Polygon,
    angle_between,
    area,
    cos_deg,
    distance,
    sin_deg,
)
from seamwright.plan import Shop
from seamwright.planner.bars import LEAST_SLANT_DEG
from seamwright.planner.cells import Cell
from seamwright.planner.options import Kind
from seamwright.planner.recalling import needs
from seamwright.seams import members

MOST_FROM_A_SET = 12
MOST_ACROSS_DEG = 60.0
"""A seam nearer to end grain than this is too weak to be sawn through (common practice, no
source)."""


class Repeats:
    """Which kinds a board may hold twice, by the patches in them.

    A kind with patches that were never drawn is made to be trimmed down: it may be needed as often
    as what is made of it.
    """

    def __init__(self, kinds: Mapping[int, Kind], drawn: Iterable[Cell]) -> None:
        self._kinds = kinds
        self._drawn = Counter(_alike(cell) for cell in drawn)
        self._known: dict[int, bool] = {}

    @cached_property
    def _users(self) -> dict[int, dict[int, int]]:
        """For each kind those that are made of it, and of how many at the most."""
        found: dict[int, dict[int, int]] = {}
        for number, kind in self._kinds.items():
            for child, times in needs(kind).items():
                found.setdefault(child, {})[number] = times
        return found

    def __call__(self, number: int) -> bool:
        """Whether two of a kind may be needed."""
        if number not in self._known:
            self._known[number] = False
            kind = self._kinds[number]
            inside = _inside(kind)
            drawn = self._drawn
            if all(sort in drawn for sort in inside):
                self._known[number] = all(drawn[s] >= 2 * n for s, n in inside.items())
            else:
                users = self._users.get(number, {})
                self._known[number] = any(n > 1 or self(user) for user, n in users.items())
        return self._known[number]


def _inside(kind: Kind) -> Mapping[tuple[str, int], int]:
    """The patches in a kind by what could be one part, counted once for all drawings."""
    if kind.sorts is None:
        cells = kind.world.cells
        kind.sorts = Counter([_alike(cells[i]) for i in members(kind.region)])
    return kind.sorts


def _alike(cell: Cell) -> tuple[str, int]:
    """The same for patches that could be one part: wood and area."""
    return cell.wood, _size(cell.polygon)


# an edit leaves most outlines as they were
@lru_cache(maxsize=1 << 13)
def _size(outline: Polygon) -> int:
    return round(area(outline) * 10.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class LongStrips:
    """Strips that a part between two parallel faces is one of several slices of.

    Attributes:
        strips: in order across the seams, in the part's frame; the first slice is the part. Their
            ends are as they come off the board, along the grain.
        count: slices that the set gives.
        along_deg: direction of the seams in the part's frame [°].
        angle_deg: angle of the faces to the seams [°].
        across_mm: the set across its seams [mm].
        length_mm: one slice along the seams [mm].
        pitch_mm: from one slice to the next [mm].
        least_mm: width of the outer strip that is narrower [mm].
        at: motion from a frame in which the slice's first face meets the lower edge at the origin,
            seams along x, into the part's frame.
    """

    strips: tuple[Cell, ...]
    count: int
    along_deg: float
    angle_deg: float
    across_mm: float
    length_mm: float
    pitch_mm: float
    least_mm: float
    at: Motion


def long_strips(cells: Sequence[Cell], hull: Polygon, shop: Shop) -> Iterator[LongStrips]:
    """Sets of two slices, and of as many as the width of boards allows.

    Seams between end grain are left out: a set that is held together by them is not sawn.

    Args:
        cells: convex cells that tile the part, in its frame [mm]; two or more.
        hull: its outline, anticlockwise.
        shop: kerf, allowance at the ends, width of boards.
    """
    if len(cells) - 1 > shop.limits.seams_per_glue_up or len(hull) != 4:
        return
    if any(len(cell.polygon) != 4 for cell in cells):
        return
    for ring in (hull, hull[1:] + hull[:1]):
        along = Line.through(ring[0], ring[1]).angle_deg
        if any(angle_between(cell.grain_deg, along) > MOST_ACROSS_DEG for cell in cells):
            continue
        part = _laid_out(cells, ring, along)
        if part is not None and part.high_mm <= shop.limits.clamp_reach_mm:
            yield from _sets(part, along, shop)


@dataclass(frozen=True, slots=True)
class _Row:
    """A piece from face to face, between two heights [mm]; its grain from the seams [°]."""

    cell: Cell
    low: float
    high: float
    grain_deg: float


@dataclass(frozen=True, slots=True)
class _Laid:
    """A part with its seams along x, its first corner at the origin.

    Attributes:
        rows: its pieces, from low to high.
        length_mm, high_mm: along and across the seams.
        slope: by how much its faces move along x for each millimetre up.
        at: motion from here into the part's frame.
    """

    rows: tuple[_Row, ...]
    length_mm: float
    high_mm: float
    slope: float
    at: Motion


def _laid_out(cells: Sequence[Cell], ring: Polygon, along_deg: float) -> _Laid | None:
    """A part with its first edge along x, where all pieces run from face to face."""
    laid = Motion.carrying(ring[0], ring[1], to_a=(0.0, 0.0), to_b=(distance(*ring[:2]), 0.0))
    _, (length, _), (right, high), (left, top) = laid.polygon(ring)
    if max(abs(right - left - length), abs(top - high)) > ON_LINE_MM:
        return None
    if not LEAST_SLANT_DEG <= _face_deg(left / high) <= 180.0 - LEAST_SLANT_DEG:
        return None
    rows = []
    for cell in cells:
        corners = laid.polygon(cell.polygon)
        low, up = min(y for _, y in corners), max(y for _, y in corners)
        wanted = [(left * y / high + x, y) for y in (low, up) for x in (0.0, length)]
        if any(min(distance(p, q) for p in corners) > 2.0 * ON_LINE_MM for q in wanted):
            return None
        rows.append(_Row(cell, low, up, cell.grain_deg - along_deg))
    rows.sort(key=lambda row: row.low)
    return _Laid(tuple(rows), length, high, left / high, laid.inverse())


def _face_deg(slope: float) -> float:
    return math.degrees(math.atan2(1.0, slope))


def _sets(part: _Laid, along_deg: float, shop: Shop) -> Iterator[LongStrips]:
    angle = _face_deg(part.slope)
    pitch = part.length_mm + shop.saws.table_kerf_mm / sin_deg(angle)
    end = shop.allowances.square_end_mm
    board = shop.limits.stock_width_mm - 2.0 * shop.allowances.rough_face_mm
    rooms = [_room_mm(row, part.slope, end, board) for row in part.rows]
    most = int(min(MOST_FROM_A_SET, min(rooms) / pitch + 1e-9))
    for count in sorted({2, most}) if most >= 2 else ():
        yield LongStrips(
            strips=tuple(
                replace(
                    row.cell,
                    polygon=part.at.polygon(_strip(row, part.slope, -end, count * pitch + end)),
                )
                for row in part.rows
            ),
            count=count,
            along_deg=along_deg,
            angle_deg=angle,
            across_mm=part.high_mm,
            length_mm=part.length_mm,
            pitch_mm=pitch,
            least_mm=min(row.high - row.low for row in (part.rows[0], part.rows[-1])),
            at=part.at,
        )


def _strip(row: _Row, slope: float, start_mm: float, stop_mm: float) -> Polygon:
    """A strip that reaches from one slanted line to another.

    Args:
        row: the piece that it is in the first slice.
        slope: of the lines.
        start_mm, stop_mm: where they cross y = 0.
    """
    lean = 0.0
    if angle_between(row.grain_deg, 0.0) >= LEAST_SLANT_DEG:
        lean = (row.high - row.low) * cos_deg(row.grain_deg) / sin_deg(row.grain_deg)
    ends = ((row.low, 0.0), (row.high, lean))
    left = min(start_mm + slope * y - shift for y, shift in ends)
    right = max(stop_mm + slope * y - shift for y, shift in ends)
    return ((left, row.low), (right, row.low), (right + lean, row.high), (left + lean, row.high))


def _room_mm(row: _Row, slope: float, end_mm: float, board_mm: float) -> float:
    """Length for slices in the longest strip that a board gives [mm]."""
    angle = angle_between(row.grain_deg, 0.0)
    if angle < 1e-6:
        return math.inf
    (left, _), (right, _), *_ = _strip(row, slope, -end_mm, end_mm)
    wide = 0.0 if angle >= LEAST_SLANT_DEG else (row.high - row.low) * cos_deg(angle)
    return (board_mm - wide) / sin_deg(angle) - (right - left)
