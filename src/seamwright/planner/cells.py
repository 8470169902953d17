"""From the drawing to cells that can be sawn and glued: what has to change before planning.

Cells are the drawn patches, unless a patch must be cut by an added seam (because the drawing
locks, or because no board is wide enough for it). Wood is left outside the outline where all of
the pattern can simply run on.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum
from functools import lru_cache

from seamwright.design import Drawing
from seamwright.errors import Fault, PlanError
from seamwright.geometry import (
    ON_LINE_MM,
    Line,
    Polygon,
    area,
    clip,
    cos_deg,
    drop_collinear,
    fold_deg,
    sin_deg,
    split,
)
from seamwright.plan import Shop
from seamwright.planner.depths import depths
from seamwright.seams import AddedSeam, Freed, free, halve, locked_groups, untouched

SAME_MM2 = 1e-3
"""Outlines that differ by less than this cover each other: far more than rounding makes."""


class Locks(Enum):
    """What to do with patches that lock each other."""

    ADD_SEAMS = "add seams"
    """Cut patches along existing lines until straight seams free everything."""
    SET_IN = "set in"
    """Leave the drawing as it is and push parts into inside corners."""
    HALF_STARS = "half-stars"
    """Cut stars straight through their centres, and nothing else where that is enough."""


@dataclass(frozen=True, slots=True)
class Cell:
    """One piece of wood to be made: convex outline [mm], wood, grain [°], patch it belongs to."""

    polygon: Polygon
    wood: str
    grain_deg: float
    patch: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cells:
    """A drawing made ready for planning.

    Attributes:
        cells: the pieces, the edge allowance included.
        outline: their common outline [mm].
        edge_mm: wood left outside the drawn outline on every side [mm]; 0 where the pattern
            cannot simply run on.
        added: seams that were added because the drawing locks.
        fewest: whether fewer would not do.
        widened: names of patches that are glued up wider than any board.
    """

    cells: tuple[Cell, ...]
    outline: Polygon
    edge_mm: float
    added: tuple[AddedSeam, ...]
    fewest: bool
    widened: tuple[str, ...]


def prepare(drawing: Drawing, shop: Shop, *, locks: Locks = Locks.ADD_SEAMS) -> Cells:
    """Cells of a drawing for a shop.

    Args:
        drawing: a checked drawing with a convex outline.
        shop: its stock width and edge allowance count here.
        locks: what to do where the drawing does not come apart along straight seams.
    Raises:
        PlanError: half-star seams are asked for, and no star locks.
    """
    freed = _freed([patch.points for patch in drawing.patches], locks)
    drawn = [drawing.patches[i] for i in freed.origin]
    cells = [
        Cell(_clean(polygon), patch.wood, patch.grain_deg, patch.name)
        for polygon, patch in zip(freed.cells, drawn, strict=True)
    ]
    edge = shop.allowances.edge_mm
    outline = drop_collinear(drawing.outline)
    least = shop.limits.part_min_mm
    grown = _grown(cells, outline, edge, least_mm=least) if edge > 0.0 else None
    if grown is not None and _locks_more(grown[0], cells, locks):
        grown = None
    if grown is None:
        edge = 0.0
    else:
        cells, outline = grown
    widened: list[str] = []
    narrow: list[Cell] = []
    widest = widest_stick_mm(drawing.thickness_mm, shop)
    for cell in cells:
        parts = _board_widths(cell, widest)
        if len(parts) > 1:
            widened.append(cell.patch)
        narrow.extend(parts)
    return Cells(
        cells=tuple(narrow),
        outline=outline,
        edge_mm=edge,
        added=freed.added,
        fewest=freed.fewest,
        widened=tuple(dict.fromkeys(widened)),
    )


def _freed(rings: Sequence[Polygon], locks: Locks) -> Freed:
    if locks is Locks.SET_IN:
        return untouched(rings)
    fewest = free(rings)
    if locks is Locks.ADD_SEAMS:
        return fewest
    halved = halve(rings)
    if halved is None:
        raise PlanError(
            Fault(
                "P115",
                "the drawing",
                "has no star that locks, so there is nothing to divide by half-star seams",
                "take the cheapest plan, or another of those that 'ways' shows",
            )
        )
    return replace(halved, fewest=fewest.fewest and len(halved.added) == len(fewest.added))


# an edit leaves most cells as they were
@lru_cache(maxsize=1 << 13)
def _clean(polygon: Polygon) -> Polygon:
    return drop_collinear(polygon)


def widest_stick_mm(thickness_mm: float, shop: Shop) -> float:
    """Widest stick for flat parts of a board; thick ones are sawn from boards stood on edge [mm].

    Raises:
        PlanError: no board that is bought leaves anything after it is planed.
    """
    limits, rough = shop.limits, 2.0 * shop.allowances.rough_face_mm
    flat = depths(thickness_mm, 1, shop).flat_mm
    lies_flat = flat + rough <= limits.stock_thickness_mm + 1e-9
    widest = (limits.stock_width_mm if lies_flat else limits.stock_thickness_mm) - rough
    if widest < limits.stick_min_width_mm:
        least = limits.stick_min_width_mm + rough
        raise PlanError(
            Fault(
                "P103",
                "the shop",
                f"gives sticks {max(widest, 0.0):.1f} mm wide at the most and rips none under "
                f"{limits.stick_min_width_mm:.1f} mm",
                f"raise limits.stock_thickness and limits.stock_width to {up(least)} mm or more",
            )
        )
    return widest


def narrowest_mm(hull: Polygon) -> float:
    """Smallest width of a convex outline between parallels [mm]."""
    return min(height for _, height in _edges_and_heights(hull))


def standing_mm(hull: Polygon) -> float:
    """Height of a part stood on its longest edge [mm]; the least where several are as long."""
    edges = _edges_and_heights(hull)
    longest = max(edges)[0]
    return min(height for length, height in edges if length > longest - 1e-3)


def _edges_and_heights(hull: Polygon) -> list[tuple[float, float]]:
    """Length of each edge of a convex outline, and how far the outline reaches from it [mm]."""
    found = []
    ax, ay = hull[-1]
    for bx, by in hull:
        dx, dy = bx - ax, by - ay
        length = math.hypot(dx, dy)
        most = max([dx * (y - ay) - dy * (x - ax) for x, y in hull])
        found.append((length, most / length))
        ax, ay = bx, by
    return found


def up(size_mm: float) -> str:
    """A size in words, rounded up to a tenth of a millimetre: what is advised must work."""
    return f"{math.ceil(size_mm * 10.0 - 1e-6) / 10.0:.1f}"


def _grown(
    cells: Sequence[Cell], outline: Polygon, edge_mm: float, *, least_mm: float
) -> tuple[list[Cell], Polygon] | None:
    """Let every cell on the outline run on by the allowance.

    None where they would collide, or where the board is too small to be trimmed afterwards.
    """
    sides = tuple(
        Line.through(a, b) for a, b in zip(outline, outline[1:] + outline[:1], strict=True)
    )
    wider = _outset(sides, edge_mm)
    if narrowest_mm(wider) < least_mm:
        return None
    edge = _edge(sides, wider)
    grown: list[Cell] = []
    total = 0.0
    for cell in cells:
        run_on = _run_on(cell, edge)
        if run_on is None:
            return None
        grown.append(run_on[0])
        total += run_on[1]
    if abs(total - area(wider)) > SAME_MM2:
        return None
    return grown, wider


def _locks_more(grown: Sequence[Cell], cells: Sequence[Cell], locks: Locks) -> bool:
    """Seams that run together just outside the outline may cross there, and lock."""
    after = locked_groups([cell.polygon for cell in grown])
    if not after or locks is not Locks.SET_IN:
        return bool(after)
    return len(after) > len(locked_groups([cell.polygon for cell in cells]))


def _outset(sides: Sequence[Line], edge_mm: float) -> Polygon:
    moved = [side.shifted(-edge_mm) for side in sides]
    corners = [moved[i - 1].crossing(moved[i]) for i in range(len(moved))]
    return tuple(corner for corner in corners if corner is not None)


@dataclass(frozen=True, slots=True, eq=False)
class _Edge:
    """The sides of an outline, and a wider outline; the same one whenever it is asked for again."""

    sides: tuple[Line, ...]
    wider: Polygon


@lru_cache(maxsize=16)
def _edge(sides: tuple[Line, ...], wider: Polygon) -> _Edge:
    return _Edge(sides, wider)


@lru_cache(maxsize=1 << 13)
def _run_on(cell: Cell, edge: _Edge) -> tuple[Cell, float] | None:
    """The cell with what lies on the given sides let go, within a wider outline; and its area."""
    polygon = cell.polygon
    kept: list[Line] = []
    loose = False
    for a, b in zip(polygon, polygon[1:] + polygon[:1], strict=True):
        if any(abs(s.side(a)) <= ON_LINE_MM and abs(s.side(b)) <= ON_LINE_MM for s in edge.sides):
            loose = True
        else:
            kept.append(Line.through(a, b))
    if not loose:
        return cell, area(polygon)
    result = edge.wider
    for line in kept:
        parts = clip(result, line)
        if len(parts) != 1:
            return None
        result = parts[0]
    result = drop_collinear(result)
    return (replace(cell, polygon=result), area(result)) if result else None


@lru_cache(maxsize=1 << 13)
def _board_widths(cell: Cell, widest_mm: float) -> tuple[Cell, ...]:
    """Strips along the grain, each from one board."""
    across = fold_deg(cell.grain_deg + 90.0)
    nx, ny = cos_deg(across), sin_deg(across)
    reach = [nx * x + ny * y for x, y in cell.polygon]
    low, high = min(reach), max(reach)
    count = max(1, math.ceil((high - low) / widest_mm - 1e-9))
    strips: list[Cell] = []
    rest = cell.polygon
    for i in range(1, count):
        at = low + (high - low) * i / count
        line = Line.at_angle((nx * at, ny * at), cell.grain_deg)
        left, right = split(rest, line)
        ahead = line.side((nx * high, ny * high)) > 0.0
        strips.append(replace(cell, polygon=drop_collinear((right if ahead else left)[0])))
        rest = (left if ahead else right)[0]
    return (*strips, replace(cell, polygon=drop_collinear(rest)))
