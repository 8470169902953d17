"""Corners of equal blocks filled in a row: one double-ended filler between two neighbours.

Blocks whose corners are of another wood can be made without them, set in a row with a saw gap, and
filled from both sides: the filler between two neighbours is both their corners in one piece, with
the gap in the middle. The row is sawn apart through the fillers. The gap is the kerf, so that the
blade leaves every block at its size.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from seamwright.geometry import (
    ANGLE_DEG,
    ON_LINE_MM,
    Line,
    Motion,
    Point,
    Polygon,
    angle_between,
    bounds,
    distance,
)
from seamwright.plan import Limits
from seamwright.planner.cells import Cell
from seamwright.planner.settings import between

MOST_IN_A_ROW = 6
LEAST_FLAT_MM = 3.0
"""Fillers from both sides must not meet in the gap: the block keeps a flat end between them."""
_SQUARE_DEG = 90.0


@dataclass(frozen=True, slots=True, kw_only=True)
class RowFill:
    """How the corners of a block are filled in a row.

    Attributes:
        corners: the cells that are filled in, two or four.
        fillers: double-ended fillers of one gap, in the block's frame, right of the block.
        along_deg: direction of the row [°].
        length_mm, across_mm: the block along and across the row [mm].
        seams_deg: the two directions of the glue lines [°]; the fillers are pressed between
            them, anticlockwise from the first.
    """

    corners: tuple[Cell, ...]
    fillers: tuple[Cell, ...]
    along_deg: float
    length_mm: float
    across_mm: float
    seams_deg: tuple[float, float]

    def counts(self, limits: Limits) -> tuple[int, ...]:
        """Numbers of blocks in a row worth trying: two, and as many as clamps and glue allow."""
        sides = len(self.fillers)
        by_glue = (limits.seams_per_glue_up + 1 - sides) // (1 + sides)
        by_reach = int(limits.clamp_reach_mm / (1.2 * self.length_mm))
        most = min(by_glue, by_reach, MOST_IN_A_ROW)
        if self.across_mm > limits.clamp_reach_mm or most < 2:
            return ()
        return tuple(sorted({2, most}))


def filled_corners(cells: Sequence[Cell], hull: Polygon, kerf_mm: float) -> Iterator[RowFill]:
    """Ways to fill the corners of a rectangular block in a row, along either side.

    Args:
        cells: convex cells of the block.
        hull: its outline.
        kerf_mm: width of the saw gap.
    """
    triangles = [i for i, cell in enumerate(cells) if len(cell.polygon) == 3]
    if len(cells) < 3 or len(triangles) < 2 or not _is_rectangle(hull):
        return
    near = [i for i in triangles if _has_corner(cells[i].polygon, hull)]
    if len(near) < 2:
        return
    for i in (0, 1):
        a, b = hull[i], hull[i + 1]
        along = Line.through(a, b).angle_deg
        laid = Motion(turn_deg=-along)
        row = _along(cells, near, hull, laid, kerf_mm)
        if row is not None:
            yield row


def _has_corner(ring: Polygon, hull: Polygon) -> bool:
    """Whether a corner of the hull is a corner of a piece too."""
    for x, y in ring:
        for cx, cy in hull:
            if abs(x - cx) <= 2.0 * ON_LINE_MM and abs(y - cy) <= 2.0 * ON_LINE_MM:
                return True
    return False


def _along(
    cells: Sequence[Cell], near: Sequence[int], hull: Polygon, laid: Motion, kerf_mm: float
) -> RowFill | None:
    """The row along x after the block was turned by ``laid``; its triangles are ``near``."""
    rings = [(i, laid.polygon(cells[i].polygon)) for i in near]
    left, bottom, right, top = bounds(laid.polygon(hull))
    corners: list[Cell] = []
    fillers: list[Polygon] = []
    drawn: list[Cell] = []
    reach = 0.0
    for level in (top, bottom):
        one, other = (_corner(rings, (x, level)) for x in (left, right))
        if one is None or other is None or not _serve_together(cells, one, other):
            continue
        reach += one.across_mm
        corners += [cells[one.number], cells[other.number]]
        drawn.append(cells[other.number])
        fillers.append(_double(right, level, one, kerf_mm, up=level == top))
    slopes = {_slopes(filler) for filler in fillers}
    meet = len(fillers) == 2 and reach > top - bottom - LEAST_FLAT_MM
    if len(slopes) != 1 or len(corners) >= len(cells) or meet:
        return None
    back = laid.inverse()
    rising, falling = (back.undirected_deg(angle) for angle in slopes.pop())
    return RowFill(
        corners=tuple(corners),
        fillers=tuple(
            Cell(back.polygon(ring), cell.wood, cell.grain_deg, cell.patch)
            for ring, cell in zip(fillers, drawn, strict=True)
        ),
        along_deg=(-laid.turn_deg) % 360.0,
        length_mm=right - left,
        across_mm=top - bottom,
        seams_deg=between(rising, falling, back.undirected_deg(90.0)),
    )


@dataclass(frozen=True, slots=True)
class _Triangle:
    """A corner: number of its cell, and its legs along and across the row [mm]."""

    number: int
    along_mm: float
    across_mm: float


def _serve_together(cells: Sequence[Cell], one: _Triangle, other: _Triangle) -> bool:
    """Whether one piece of wood can be the right corner of a block and the left one of the next."""
    a, b = cells[one.number], cells[other.number]
    return (
        one.number != other.number
        and a.wood == b.wood
        and angle_between(a.grain_deg, b.grain_deg) <= ANGLE_DEG
        and abs(one.along_mm - other.along_mm) <= ON_LINE_MM
        and abs(one.across_mm - other.across_mm) <= ON_LINE_MM
    )


def _corner(rings: Sequence[tuple[int, Polygon]], at: Point) -> _Triangle | None:
    """The triangle in a corner of the block, if there is one."""
    for number, ring in rings:
        if not any(abs(x - at[0]) <= ON_LINE_MM and abs(y - at[1]) <= ON_LINE_MM for x, y in ring):
            continue
        others = [p for p in ring if distance(p, at) > ON_LINE_MM]
        flat = [abs(p[0] - at[0]) for p in others if abs(p[1] - at[1]) <= ON_LINE_MM]
        tall = [abs(p[1] - at[1]) for p in others if abs(p[0] - at[0]) <= ON_LINE_MM]
        if len(flat) == 1 and len(tall) == 1:
            return _Triangle(number, flat[0], tall[0])
    return None


def _double(right: float, level: float, legs: _Triangle, kerf_mm: float, *, up: bool) -> Polygon:
    """Both corners at a gap in one piece, anticlockwise, its narrow side in the gap.

    Edges 1 → 2 and 3 → 0 are the ones that are glued.
    """
    inner = level - legs.across_mm if up else level + legs.across_mm
    ring = (
        (right, inner),
        (right + kerf_mm, inner),
        (right + kerf_mm + legs.along_mm, level),
        (right - legs.along_mm, level),
    )
    return ring if up else (ring[1], ring[0], ring[3], ring[2])


def _slopes(filler: Polygon) -> tuple[float, float]:
    """Directions of the two glue lines of a filler [°], the flatter first."""
    sides = (Line.through(filler[1], filler[2]), Line.through(filler[3], filler[0]))
    low, high = sorted(round(side.undirected_deg, 6) for side in sides)
    return low, high


def _is_rectangle(hull: Polygon) -> bool:
    if len(hull) != 4:
        return False
    sides = [Line.through(a, b).angle_deg for a, b in zip(hull, hull[1:] + hull[:1], strict=True)]
    return all(
        abs((b - a) % 360.0 - _SQUARE_DEG) <= ANGLE_DEG
        for a, b in zip(sides, sides[1:] + sides[:1], strict=True)
    )
