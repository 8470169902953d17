"""Shapes as the bench sees them: thinnest measure, equal parts, faces along a line."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from seamwright.bench.model import Piece
from seamwright.bench.tolerance import CONTACT_MM, GRAIN_DEG, TOUCH_MM
from seamwright.geometry import (
    Line,
    Motion,
    Point,
    Polygon,
    angle_between,
    area,
    bounds,
    cos_deg,
    cut_band,
    distance,
    drop_collinear,
    sin_deg,
)

Interval = tuple[float, float]
"""From and to along a line [mm]."""


def thinnest_mm(hull: Polygon) -> float:
    """Smallest distance between two parallel lines that hold a convex shape between them [mm]."""
    widths = []
    for a, b in zip(hull, hull[1:] + hull[:1], strict=True):
        line = Line.through(a, b)
        widths.append(max(line.side(p) for p in hull))
    return min(widths, default=0.0)


def longest_mm(hull: Polygon) -> float:
    """Longest side of the upright box around a shape [mm]."""
    x0, y0, x1, y1 = bounds(hull)
    return max(x1 - x0, y1 - y0)


def is_crumb(polygon: Polygon) -> bool:
    """Whether a shape is thinner on the average than anything the bench can tell from nothing."""
    around = sum(distance(a, b) for a, b in zip(polygon, polygon[1:] + polygon[:1], strict=True))
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
            dust.extend(piece.cut_to(p) for p in lost)
            for points, side in [(p, left) for p in stays] + [(p, right) for p in falls]:
                (dust if is_crumb(points) else side).append(piece.cut_to(points))
    return left, dust, right


def _band(
    points: Polygon, sides: list[float], line: Line, kerf_mm: float
) -> tuple[tuple[Polygon, ...], tuple[Polygon, ...], tuple[Polygon, ...]]:
    """Left part, dust and right part of one polygon whose distances from the line are known.

    Where each face of the cut crosses the outline twice, which is nearly always, one walk round
    the outline will do; a hollow polygon that a face crosses more often goes to the kernel.
    """
    beyond = [-side - kerf_mm for side in sides]
    if _crossings(sides) > 2 or _crossings(beyond) > 2:
        return cut_band(points, line, kerf_mm)
    past = _keep(points, [-side for side in sides])
    parts = (
        _keep(points, sides),
        _keep(past, [line.side(p) + kerf_mm for p in past]),
        _keep(points, beyond),
    )
    left, dust, right = ((part,) if part else () for part in parts)
    return left, dust, right


def _keep(points: Polygon, values: list[float]) -> Polygon:
    """The part of an outline where the values, linear between its points, are not negative."""
    if not points or max(values) <= 0.0:
        return ()
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


def _crossings(sides: list[float]) -> int:
    signs = [side > 0.0 for side in sides if side]
    return sum(a != b for a, b in zip(signs, signs[1:] + signs[:1], strict=True))


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


def faces_on(rings: Iterable[Polygon], line: Line) -> tuple[Interval, ...]:
    """Where outlines run along a line: merged intervals, measured along it [mm].

    The line must not pass through the inside of what the outlines bound.
    """
    runs: list[Interval] = []
    for ring in rings:
        sides = [abs(line.side(p)) <= TOUCH_MM for p in ring]
        if sum(sides) < 2:
            continue
        count = len(ring)
        for i in range(count):
            following = (i + 1) % count
            if sides[i] and sides[following]:
                s = line.ux * ring[i][0] + line.uy * ring[i][1]
                t = line.ux * ring[following][0] + line.uy * ring[following][1]
                runs.append((min(s, t), max(s, t)))
    return merged(runs)


def merged(runs: Iterable[Interval]) -> tuple[Interval, ...]:
    """Intervals joined where they touch, in order."""
    joined: list[Interval] = []
    for start, end in sorted(runs):
        if end - start <= TOUCH_MM:
            continue
        if joined and start <= joined[-1][1] + TOUCH_MM:
            joined[-1] = (joined[-1][0], max(end, joined[-1][1]))
        else:
            joined.append((start, end))
    return tuple(joined)


def shared(a: Iterable[Interval], b: Sequence[Interval]) -> tuple[Interval, ...]:
    """Where intervals of both lists lie."""
    return merged(
        (max(s, u), min(t, v)) for s, t in a for u, v in b if min(t, v) - max(s, u) > TOUCH_MM
    )


def length(runs: Iterable[Interval]) -> float:
    """Summed length [mm]."""
    return sum(end - start for start, end in runs)


def on_line(line: Line, s: float) -> Point:
    """The point of a line this far along it [mm]."""
    return (line.ux * s - line.uy * line.offset, line.uy * s + line.ux * line.offset)


def groups(count: int, links: Iterable[tuple[int, int]]) -> list[list[int]]:
    """Which of ``count`` things hang together, given which pairs do."""
    root = list(range(count))

    def find(i: int) -> int:
        while root[i] != i:
            root[i] = root[root[i]]
            i = root[i]
        return i

    for a, b in links:
        root[find(a)] = find(b)
    together: dict[int, list[int]] = {}
    for i in range(count):
        together.setdefault(find(i), []).append(i)
    return list(together.values())


def as_shapes(polygons: Sequence[Polygon]) -> NDArray[np.object_]:
    """Shapely polygons, made in one go."""
    if not polygons:
        return np.empty(0, dtype=object)
    sizes = [len(points) + 1 for points in polygons]
    flat = np.array([p for points in polygons for p in (*points, points[0])], dtype=float)
    rings = shapely.linearrings(flat, indices=np.repeat(np.arange(len(sizes)), sizes))
    return np.asarray(shapely.polygons(rings), dtype=object)


def separate_parts(pieces: Sequence[Piece]) -> int:
    """How many parts that do not touch along a real length the pieces make."""
    wide = shapely.buffer(
        as_shapes([piece.points for piece in pieces]), TOUCH_MM, join_style="mitre"
    )
    left, right = shapely.STRtree(wide).query(wide, predicate="intersects")
    first = left < right
    left, right = left[first], right[first]
    # two shapes widened by w that share an edge of length c overlap by about 2·w·c
    overlap = shapely.area(shapely.intersection(wide[left], wide[right]))
    touching = overlap >= 2.0 * TOUCH_MM * CONTACT_MM
    pairs = zip(left[touching].tolist(), right[touching].tolist(), strict=True)
    return len(groups(len(pieces), pairs))
