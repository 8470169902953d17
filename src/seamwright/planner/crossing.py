"""Strips side by side whose grain does not run along them: glued longer than needed, then sawn.

Two squares side by side, their grain aslant to the seam, are a slice of two long strips with such
grain. A strip like that comes off a wide board at an angle, so it can be no longer than the board
is wide; what several parts save is that all their seams are glued at once.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from seamwright.geometry import (
    ON_LINE_MM,
    Line,
    Motion,
    Polygon,
    angle_between,
    area,
    bounds,
    cos_deg,
    sin_deg,
)
from seamwright.plan import Shop
from seamwright.planner.bars import LEAST_SLANT_DEG
from seamwright.planner.cells import Cell
from seamwright.planner.options import Kind
from seamwright.planner.recalling import children
from seamwright.planner.rows import is_rectangle
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

    def __init__(self, kinds: Sequence[Kind], drawn: Iterable[Cell]) -> None:
        self._kinds = kinds
        self._drawn = Counter(_alike(cell) for cell in drawn)
        self._users: dict[int, dict[int, int]] = {}
        self._known: dict[int, bool] = {}
        for number, kind in enumerate(kinds):
            for option in kind.options:
                for child, times in Counter(children(option)).items():
                    users = self._users.setdefault(child, {})
                    users[number] = max(users.get(number, 0), times)

    def __call__(self, number: int) -> bool:
        """Whether two of a kind may be needed."""
        if number not in self._known:
            self._known[number] = False
            kind = self._kinds[number]
            inside = Counter(_alike(kind.world.cells[i]) for i in members(kind.region))
            if all(sort in self._drawn for sort in inside):
                self._known[number] = all(self._drawn[s] >= 2 * n for s, n in inside.items())
            else:
                users = self._users.get(number, {})
                self._known[number] = any(n > 1 or self(user) for user, n in users.items())
        return self._known[number]


def _alike(cell: Cell) -> tuple[str, int]:
    """The same for patches that could be one part: wood and area."""
    return cell.wood, round(area(cell.polygon) * 10.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class LongStrips:
    """Strips that a rectangular part is one of several slices of.

    Attributes:
        strips: in order across the seams, in the part's frame; the first slice is the part. Their
            ends are as they come off the board, along the grain.
        count: slices that the set gives.
        along_deg: direction of the seams in the part's frame [°].
        across_mm: the set across its seams [mm].
        length_mm: one slice along the seams [mm].
        least_mm: width of the outer strip that is narrower [mm].
    """

    strips: tuple[Cell, ...]
    count: int
    along_deg: float
    across_mm: float
    length_mm: float
    least_mm: float


def long_strips(cells: Sequence[Cell], hull: Polygon, shop: Shop) -> Iterator[LongStrips]:
    """Sets of two slices, and of as many as the width of boards allows.

    Seams between end grain are left out: a set that is held together by them is not sawn.

    Args:
        cells: convex cells that tile the part, in its frame [mm]; two or more.
        hull: its outline.
        shop: kerf, allowance at the ends, width of boards.
    """
    limits = shop.limits
    if len(cells) - 1 > limits.seams_per_glue_up or not is_rectangle(hull):
        return
    if not all(is_rectangle(cell.polygon) for cell in cells):
        return
    for a, b in ((hull[0], hull[1]), (hull[1], hull[2])):
        along = Line.through(a, b).angle_deg
        laid = Motion(turn_deg=-along)
        left, _, right, _ = bounds(laid.polygon(hull))
        rows = [(bounds(laid.polygon(cell.polygon)), cell) for cell in cells]
        if any(abs(x0 - left) + abs(x1 - right) > ON_LINE_MM for (x0, _, x1, _), _ in rows):
            continue
        if any(angle_between(cell.grain_deg, along) > MOST_ACROSS_DEG for cell in cells):
            continue
        rows.sort(key=lambda row: row[0][1])
        if rows[-1][0][3] - rows[0][0][1] > limits.clamp_reach_mm:
            continue
        yield from _sets(rows, along, right - left, shop)


def _sets(
    rows: Sequence[tuple[tuple[float, float, float, float], Cell]],
    along_deg: float,
    length_mm: float,
    shop: Shop,
) -> Iterator[LongStrips]:
    end, pitch = shop.allowances.square_end_mm, length_mm + shop.saws.table_kerf_mm
    back = Motion(turn_deg=along_deg)
    longest = min(_longest_mm(y1 - y0, cell, along_deg, shop) for (_, y0, _, y1), cell in rows)
    most = min(int((longest - 2.0 * end) / pitch + 1e-9), MOST_FROM_A_SET)
    x0 = rows[0][0][0] - end
    for count in sorted({2, most}) if most >= 2 else ():
        x1 = x0 + 2.0 * end + count * pitch
        yield LongStrips(
            strips=tuple(
                replace(
                    cell, polygon=back.polygon(_strip(x0, x1, y0, y1, cell.grain_deg - along_deg))
                )
                for (_, y0, _, y1), cell in rows
            ),
            count=count,
            along_deg=along_deg,
            across_mm=rows[-1][0][3] - rows[0][0][1],
            length_mm=length_mm,
            least_mm=min(row[0][3] - row[0][1] for row in (rows[0], rows[-1])),
        )


def _strip(x0: float, x1: float, y0: float, y1: float, grain_deg: float) -> Polygon:
    """A strip along x whose ends, sawn along its grain, lie outside x0 and x1."""
    if angle_between(grain_deg, 0.0) < LEAST_SLANT_DEG:
        return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    lean = (y1 - y0) * cos_deg(grain_deg) / sin_deg(grain_deg)
    low, high = x0 - max(lean, 0.0), x1 - min(lean, 0.0)
    return ((low, y0), (high, y0), (high + lean, y1), (low + lean, y1))


def _longest_mm(wide_mm: float, cell: Cell, along_deg: float, shop: Shop) -> float:
    """How long a strip of this width a board gives whose grain it crosses [mm]."""
    board = shop.limits.stock_width_mm - 2.0 * shop.allowances.rough_face_mm
    angle = angle_between(cell.grain_deg, along_deg)
    across = sin_deg(angle)
    if across < 1e-6:
        return shop.limits.stick_length_mm
    return (board - wide_mm * cos_deg(angle)) / across
