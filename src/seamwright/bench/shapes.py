"""Pieces as the bench handles them: measured, sawn, moved, compared."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from seamwright.bench.model import Piece
from seamwright.bench.tolerance import GRAIN_DEG, ROUNDING_MM, TOUCH_MM
from seamwright.geometry import (
    Line,
    Motion,
    Point,
    Polygon,
    angle_between,
    area,
    bounds,
    cos_deg,
    distance,
    drop_collinear,
    sin_deg,
)

_PLACES = 9
"""Decimals of a millimetre that are kept: less is rounding (``ROUNDING_MM``)."""


def thinnest_mm(hull: Polygon) -> float:
    """Smallest distance between two parallel lines that hold a convex shape between them [mm]."""
    if not hull:
        return 0.0
    least = math.inf
    ax, ay = hull[-1]
    for bx, by in hull:
        dx, dy = bx - ax, by - ay
        size = math.hypot(dx, dy)
        if size > 0.0:
            most = max([dx * (y - ay) - dy * (x - ax) for x, y in hull])
            least = min(least, most / size)
        ax, ay = bx, by
    return least


def standing_mm(hull: Polygon) -> float:
    """Height of a convex part that stands on its longest edge [mm]; the least where several are."""
    edges = list(zip(hull, hull[1:] + hull[:1], strict=True))
    longest = max((math.dist(a, b) for a, b in edges), default=0.0)
    heights = [
        max(Line.through(a, b).side(p) for p in hull)
        for a, b in edges
        if math.dist(a, b) > longest - TOUCH_MM
    ]
    return min(heights, default=0.0)


def longest_mm(hull: Polygon) -> float:
    """Longest side of the upright box around a shape [mm]."""
    x0, y0, x1, y1 = bounds(hull)
    return max(x1 - x0, y1 - y0)


def is_crumb(polygon: Polygon) -> bool:
    """Whether a shape is thinner on the average than anything the bench can tell from nothing."""
    around = 0.0
    ax, ay = polygon[-1]
    for bx, by in polygon:
        around += abs(bx - ax) + abs(by - ay)
        ax, ay = bx, by
    return 2.0 * area(polygon) <= TOUCH_MM * around


def saw(
    pieces: Iterable[Piece], line: Line, kerf_mm: float
) -> tuple[list[Piece], list[Piece], list[Piece]]:
    """Saw through pieces along a line.

    Args:
        pieces: what lies on the saw.
        line: left face of the cut.
        kerf_mm: width of the cut, to the right [mm].
    Returns:
        (what stays left, dust, what falls to the right). Crumbs go to the dust.
    """
    left: list[Piece] = []
    dust: list[Piece] = []
    right: list[Piece] = []
    ux, uy, offset = line.ux, line.uy, line.offset
    for piece in pieces:
        sides = [ux * y - uy * x - offset for x, y in piece.points]
        nearest, furthest = max(sides), min(sides)
        if furthest >= 0.0:
            left.append(piece)
        elif nearest <= -kerf_mm:
            right.append(piece)
        else:
            stays, lost, falls = _band(piece.points, sides, line, kerf_mm)
            for points, heap in ((stays, left), (lost, dust), (falls, right)):
                if points:
                    (dust if is_crumb(points) else heap).append(piece.cut_to(points))
    return left, dust, right


def _band(
    points: Polygon, sides: list[float], line: Line, kerf_mm: float
) -> tuple[Polygon, Polygon, Polygon]:
    """Left part, dust and right part of one polygon whose distances from the line are known.

    Pieces are convex: a stick is, and a cut leaves of it what lies on one side of a line.
    """
    past = keep(points, [-side for side in sides])
    return (
        keep(points, sides),
        keep(past, [line.side(p) + kerf_mm for p in past]),
        keep(points, [-side - kerf_mm for side in sides]),
    )


def keep(points: Polygon, values: list[float]) -> Polygon:
    """The part of an outline where the values, linear between its points, are not negative."""
    if not points or max(values) <= ROUNDING_MM:
        return ()
    # a corner a rounding error off the cut lies on it: no second corner beside it
    values = [value if abs(value) > ROUNDING_MM else 0.0 for value in values]
    kept: list[Point] = []
    p, v = points[-1], values[-1]
    for q, w in zip(points, values, strict=True):
        if v * w < 0.0:
            t = v / (v - w)
            kept.append((p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])))
        if w >= 0.0:
            kept.append(q)
        p, v = q, w
    return tuple(kept)


def moved_pieces(pieces: Iterable[Piece], motion: Motion) -> tuple[Piece, ...]:
    """Pieces after a motion, worked out once for all of them."""
    c, s = cos_deg(motion.turn_deg), sin_deg(motion.turn_deg)
    dx, dy = motion.x_mm, motion.y_mm
    grains: dict[float, float] = {}
    moved: list[Piece] = []
    for piece in pieces:
        points = piece.points
        if motion.over:
            points = tuple([(c * x + s * y + dx, s * x - c * y + dy) for x, y in points[::-1]])
        elif s or c != 1.0:
            points = tuple([(c * x - s * y + dx, s * x + c * y + dy) for x, y in points])
        elif dx or dy:
            points = tuple([(x + dx, y + dy) for x, y in points])
        grain = piece.grain_deg
        if grain not in grains:
            grains[grain] = motion.undirected_deg(grain)
        moved.append(
            Piece(points=points, wood=piece.wood, grain_deg=grains[grain], stick=piece.stick)
        )
    return tuple(moved)


def snapped(pieces: Iterable[Piece]) -> tuple[Piece, ...]:
    """Pieces without the last bits of binary arithmetic: the same whichever bar they came off."""
    return tuple(
        [
            piece.cut_to(
                tuple([(round(x, _PLACES) + 0.0, round(y, _PLACES) + 0.0) for x, y in piece.points])
            )
            for piece in pieces
        ]
    )


def total_area(pieces: Iterable[Piece]) -> float:
    """Summed area [mm²]."""
    return sum(area(piece.points) for piece in pieces)


def are_equal(a: Sequence[Piece], b: Sequence[Piece]) -> bool:
    """Whether two lists of pieces are the same wood in the same places, in any order."""
    if len(a) != len(b):
        return False
    rest = list(b)
    for piece in a:
        for index, other in enumerate(rest):
            if _same_piece(piece, other):
                del rest[index]
                break
        else:
            return False
    return True


def _same_piece(a: Piece, b: Piece) -> bool:
    return (
        a.wood == b.wood
        and angle_between(a.grain_deg, b.grain_deg) <= GRAIN_DEG
        and (
            _same_ring(a.points, b.points)
            or _same_ring(
                drop_collinear(a.points, tolerance_mm=TOUCH_MM),
                drop_collinear(b.points, tolerance_mm=TOUCH_MM),
            )
        )
    )


def _same_ring(a: Polygon, b: Polygon) -> bool:
    if len(a) != len(b) or not a:
        return False
    count = len(a)
    start = min(range(count), key=lambda i: distance(a[0], b[i]))
    return all(distance(a[i], b[(start + i) % count]) <= TOUCH_MM for i in range(count))
