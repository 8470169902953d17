"""Parts too small for the sled: the other ways to hold them, and the blanks they are cut from.

A single piece may stay part of a longer blank until its last cut; a carrier holds smaller parts
than the sled does; by hand a part is sawn over-size and shot to the line. Each is an option of its
own with its own minutes, so the exact choice says which is taken.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from seamwright.geometry import (
    ON_LINE_MM,
    Line,
    Motion,
    Polygon,
    angle_between,
    bounds,
    distance,
    sin_deg,
)
from seamwright.plan import Hold, Shop
from seamwright.planner.bars import LEAST_SLANT_DEG
from seamwright.planner.cells import Cell, narrowest_mm
from seamwright.planner.options import Kind, TrimDown
from seamwright.planner.trims import OverBuilt

_NEAR = 1e-9


def is_held(trim: TrimDown, made: Kind, over: Kind, depth_mm: float, shop: Shop) -> bool:
    """Whether the shop can hold a part that is trimmed so.

    Args:
        trim: the way to trim it.
        made, over: what it makes, and the larger part it is trimmed from.
        depth_mm: of both.
        shop: limits and jigs.
    """
    small, deepest = shop.small_parts, shop.saws.table_depth_mm
    if trim.hold is Hold.SLED:
        fits = over.narrowest_mm >= shop.limits.part_min_mm - _NEAR
    elif trim.hold is Hold.LONG_END:
        fits = made.narrowest_mm >= shop.limits.slice_min_mm - _NEAR
    elif trim.hold is Hold.CARRIER:
        deepest -= small.carrier_base_mm
        fits = small.carriers > 0 and over.narrowest_mm >= small.carrier_min_mm - _NEAR
    else:
        deepest = small.hand_depth_mm
        fits = (
            small.shooting_boards > 0
            and made.narrowest_mm >= small.hand_min_mm - _NEAR
            and longest_edge_mm(made.hull) <= small.hand_long_mm + _NEAR
        )
    return fits and depth_mm <= deepest + _NEAR


def longest_edge_mm(hull: Polygon) -> float:
    """Longest side of an outline [mm]."""
    return max(distance(a, b) for a, b in pairwise((*hull, hull[0])))


def otherwise_held(trim: TrimDown, over_narrowest_mm: float, shop: Shop) -> list[TrimDown]:
    """The same trim in the shop's jigs, where the part is too small for the sled."""
    if over_narrowest_mm >= shop.limits.part_min_mm - _NEAR:
        return []
    jigs = (
        (Hold.CARRIER, shop.small_parts.carriers),
        (Hold.HAND, shop.small_parts.shooting_boards),
    )
    return [replace(trim, hold=hold) for hold, count in jigs if count]


def is_too_narrow(cell: Cell, shop: Shop) -> bool:
    """Whether no strip is ripped as narrow as a piece is across its grain."""
    _, low, _, high = bounds(Motion(turn_deg=-cell.grain_deg).polygon(cell.polygon))
    return high - low < shop.limits.stick_min_width_mm - _NEAR


def blanks(cell: Cell, hull: Polygon, shop: Shop) -> list[tuple[OverBuilt, Hold]]:
    """Larger blanks along the grain that one small piece is cut from, each with how it is held.

    Args:
        cell: the piece.
        hull: its outline, anticlockwise [mm].
        shop: limits, tail and jigs.
    """
    limits = shop.limits
    laid = Motion(turn_deg=-cell.grain_deg)
    ring = laid.polygon(hull)
    x0, y0, x1, y1 = bounds(ring)
    found: list[tuple[OverBuilt, Hold]] = []
    wide, long = y1 - y0, x1 - x0
    thin = narrowest_mm(hull) < limits.slice_min_mm - _NEAR
    narrow = wide < limits.stick_min_width_mm - _NEAR
    if not thin and not narrow and min(wide, long) < limits.part_min_mm - _NEAR:
        found += [(b, Hold.LONG_END) for b in _long_ends(cell, ring, laid.inverse(), shop)]
    if (thin or narrow) and shop.small_parts.shooting_boards:
        wider = max(wide, limits.stick_min_width_mm, limits.slice_min_mm)
        longer = max(long, limits.slice_min_mm)
        box: Polygon = ((x0, y0), (x0 + longer, y0), (x0 + longer, y0 + wider), (x0, y0 + wider))
        cuts = _cuts(ring, box)
        # a box that fits tightly is what any piece is trimmed from
        if wider > wide or longer > long:
            found.append((_built(cell, box, cuts, laid.inverse()), Hold.HAND))
    return found


def _long_ends(cell: Cell, ring: Polygon, back: Motion, shop: Shop) -> list[OverBuilt]:
    """Blanks with an end to hold: where one edge alone looks that way, its cut frees the piece."""
    x0, y0, x1, y1 = bounds(ring)
    found = []
    for ahead in (True, False):
        facing = [
            (a, b)
            for a, b in pairwise((*ring, ring[0]))
            if (b[1] - a[1] if ahead else a[1] - b[1]) > ON_LINE_MM
        ]
        if len(facing) != 1:
            continue
        freeing = Line.through(*facing[0])
        lean = angle_between(freeing.undirected_deg, 0.0)
        if lean < LEAST_SLANT_DEG:
            continue
        end = shop.allowances.tail_mm + shop.saws.table_kerf_mm / sin_deg(lean)
        left, right = (x0, x1 + end) if ahead else (x0 - end, x1)
        box: Polygon = ((left, y0), (right, y0), (right, y1), (left, y1))
        others = [line for line in _cuts(ring, box) if line != freeing]
        found.append(_built(cell, box, [*others, freeing], back))
    return found


def _cuts(ring: Polygon, box: Polygon) -> list[Line]:
    """Edges of an outline that do not lie on the sides of a box round it."""
    x0, y0, x1, y1 = bounds(box)

    def on_a_side(a: tuple[float, float], b: tuple[float, float]) -> bool:
        return any(
            abs(a[axis] - side) <= ON_LINE_MM and abs(b[axis] - side) <= ON_LINE_MM
            for axis, side in ((0, x0), (0, x1), (1, y0), (1, y1))
        )

    return [Line.through(a, b) for a, b in pairwise((*ring, ring[0])) if not on_a_side(a, b)]


def _built(cell: Cell, box: Polygon, cuts: Sequence[Line], back: Motion) -> OverBuilt:
    hull = back.polygon(box)
    moved = tuple(_moved(line, back) for line in cuts)
    return OverBuilt(cells=(replace(cell, polygon=hull),), hull=hull, cuts=moved)


def _moved(line: Line, motion: Motion) -> Line:
    point = (-line.uy * line.offset, line.ux * line.offset)
    ahead = (point[0] + line.ux, point[1] + line.uy)
    return Line.through(motion.point(point), motion.point(ahead))
