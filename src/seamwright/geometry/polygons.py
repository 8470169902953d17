"""Simple polygons: area, convexity, hull, a point inside."""

from __future__ import annotations

import math
from collections.abc import Iterable

from seamwright.geometry.lines import Line
from seamwright.geometry.points import Point
from seamwright.geometry.tolerance import ON_LINE_MM

Polygon = tuple[Point, ...]
"""Three or more points in order, the first not repeated at the end."""


def signed_area(polygon: Polygon) -> float:
    """Area [mm²], negative where the points run clockwise; 0 for fewer than three points."""
    total = 0.0
    if not polygon:
        return total
    # relative to the first point: keeps precision far from the origin
    x0, y0 = polygon[0]
    px, py = polygon[-1][0] - x0, polygon[-1][1] - y0
    for x, y in polygon:
        qx, qy = x - x0, y - y0
        total += px * qy - qx * py
        px, py = qx, qy
    return total / 2.0


def area(polygon: Polygon) -> float:
    """Area [mm²], never negative."""
    return abs(signed_area(polygon))


def anticlockwise(polygon: Polygon) -> Polygon:
    """The polygon with its points in anticlockwise order."""
    return polygon if signed_area(polygon) >= 0.0 else polygon[::-1]


def centroid(polygon: Polygon) -> Point:
    """Centre of area [mm]; the mean of the points where the area is zero.

    >>> centroid(((0.0, 0.0), (4.0, 0.0), (4.0, 2.0), (0.0, 2.0)))
    (2.0, 1.0)
    """
    x0, y0 = polygon[0]
    twice = sx = sy = 0.0
    px, py = polygon[-1][0] - x0, polygon[-1][1] - y0
    for x, y in polygon:
        qx, qy = x - x0, y - y0
        cross = px * qy - qx * py
        twice += cross
        sx += (px + qx) * cross
        sy += (py + qy) * cross
        px, py = qx, qy
    if twice == 0.0:
        return (
            sum(p[0] for p in polygon) / len(polygon),
            sum(p[1] for p in polygon) / len(polygon),
        )
    return (x0 + sx / (3.0 * twice), y0 + sy / (3.0 * twice))


def bounds(points: Iterable[Point]) -> tuple[float, float, float, float]:
    """Smallest upright box (x_min, y_min, x_max, y_max) [mm] around the points.

    Raises:
        ValueError: there are no points.
    """
    listed = list(points)
    xs = [p[0] for p in listed]
    ys = [p[1] for p in listed]
    return (min(xs), min(ys), max(xs), max(ys))


def drop_collinear(polygon: Polygon, *, tolerance_mm: float = ON_LINE_MM) -> Polygon:
    """The polygon without doubled points and without points on a straight edge.

    A polygon that shrinks to a line or a point gives an empty tuple.
    """
    points = list(polygon)
    changed = True
    while changed and len(points) >= 3:
        kept: list[Point] = []
        left_out: list[Point] = []
        for i, here in enumerate(points):
            before = kept[-1] if kept else points[-1]
            after = points[i + 1] if i + 1 < len(points) else (kept or points)[0]
            left_out.append(here)
            if not all(_is_idle(before, p, after, tolerance_mm) for p in left_out):
                kept.append(here)
                left_out.clear()
        changed = len(kept) < len(points)
        points = kept
    return tuple(points) if len(points) >= 3 else ()


def _is_idle(before: Point, here: Point, after: Point, tolerance_mm: float) -> bool:
    """Whether a point could be left out without changing the shape."""
    dx, dy = after[0] - before[0], after[1] - before[1]
    ahead, aside = here[0] - before[0], here[1] - before[1]
    length = math.hypot(dx, dy)
    return (
        length <= tolerance_mm
        or math.hypot(ahead, aside) <= tolerance_mm
        or abs(dx * aside - dy * ahead) <= tolerance_mm * length
    )


def is_convex(polygon: Polygon, *, tolerance_mm: float = ON_LINE_MM) -> bool:
    """Whether no corner turns inwards by more than the tolerance; the order may be either way.

    A straight or empty polygon is convex.
    """
    ring = anticlockwise(drop_collinear(polygon, tolerance_mm=tolerance_mm))
    count = len(ring)
    for i in range(count):
        line = Line.through(ring[i], ring[(i + 1) % count])
        if line.side(ring[(i + 2) % count]) < -tolerance_mm:
            return False
    return True


def convex_hull(points: Iterable[Point], *, tolerance_mm: float = ON_LINE_MM) -> Polygon:
    """Convex hull, anticlockwise, without points on its straight edges.

    Points that all lie on one line have no hull: an empty tuple.

    Reference:
        Andrew 1979, "Another efficient algorithm for convex hulls in two dimensions" (from memory).
    """
    ordered = sorted(set(points))
    if len(ordered) < 3:
        return ()
    lower = _half_hull(ordered)
    upper = _half_hull(ordered[::-1])
    return drop_collinear(tuple(lower[:-1] + upper[:-1]), tolerance_mm=tolerance_mm)


def _half_hull(ordered: list[Point]) -> list[Point]:
    chain: list[Point] = []
    for p in ordered:
        while len(chain) >= 2:
            (ax, ay), (bx, by) = chain[-2], chain[-1]
            if (bx - ax) * (p[1] - ay) - (by - ay) * (p[0] - ax) > 0.0:
                break
            chain.pop()
        chain.append(p)
    return chain


def inner_point(polygon: Polygon) -> Point:
    """A point well inside a simple polygon: the centroid where that is inside, else the middle of
    the longest horizontal chord among a few heights."""
    middle = centroid(polygon)
    if is_convex(polygon):
        return middle
    _, y_min, _, y_max = bounds(polygon)
    best: tuple[float, Point] = (-1.0, middle)
    for part in range(1, 16):
        y = y_min + (y_max - y_min) * (part / 16.0 + 0.003)
        hits = sorted(_crossings(polygon, y))
        for left, right in zip(hits[::2], hits[1::2], strict=False):
            if right - left > best[0]:
                best = (right - left, ((left + right) / 2.0, y))
    return best[1]


def _crossings(polygon: Polygon, y: float) -> list[float]:
    hits = []
    for (ax, ay), (bx, by) in zip(polygon, polygon[1:] + polygon[:1], strict=True):
        if (ay > y) != (by > y):
            hits.append(ax + (bx - ax) * (y - ay) / (by - ay))
    return hits
