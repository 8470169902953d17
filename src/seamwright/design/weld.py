"""Make points that are meant to be one point one point, and lay points on the edges they meet."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

from seamwright.design.straighten import straightened
from seamwright.geometry import (
    WELD_MM,
    Point,
    Polygon,
    anticlockwise,
    distance,
    drop_collinear,
    snap_point,
)


def welded(polygons: Sequence[Polygon]) -> tuple[Polygon, ...]:
    """The polygons with points closer than ``WELD_MM`` made one.

    A point as close to another polygon's edge is laid on that edge. The first point seen is the
    one that stays, so exact drawings come through unchanged, snapped to the lattice. Points on a
    straight edge of their own polygon are dropped, within the same reach: a neighbour's corner
    there is then laid on the edge, and the seam stays straight.

    Returns:
        One polygon each, anticlockwise; empty where nothing is left of it.
    """
    rings = [_without_idle_points(ring) for ring in _joined(polygons)]
    moved = straightened(rings)
    if moved:
        rings = _joined([tuple(moved.get(p, p) for p in ring) for ring in rings])
    return tuple(_tidy(ring) for ring in rings)


# an edit leaves most outlines as they were, and the screens edit the same board again and again
@lru_cache(maxsize=1 << 14)
def _without_idle_points(ring: Polygon) -> Polygon:
    return drop_collinear(ring, tolerance_mm=WELD_MM)


@lru_cache(maxsize=1 << 14)
def _tidy(ring: Polygon) -> Polygon:
    return anticlockwise(drop_collinear(ring))


def _joined(polygons: Sequence[Polygon]) -> list[Polygon]:
    """Every point replaced by the first one seen within reach."""
    cells: dict[tuple[int, int], list[Point]] = {}
    known: dict[Point, Point] = {}

    def first(point: Point) -> Point:
        if point in known:
            return known[point]
        cx, cy = math.floor(point[0] / WELD_MM), math.floor(point[1] / WELD_MM)
        for x in (cx, cx - 1, cx + 1):
            for y in (cy, cy - 1, cy + 1):
                for other in cells.get((x, y), ()):
                    if distance(point, other) <= WELD_MM:
                        known[point] = other
                        return other
        cells.setdefault((cx, cy), []).append(point)
        known[point] = point
        return point

    joined = []
    for polygon in polygons:
        ring: list[Point] = []
        for point in map(snap_point, polygon):
            there = first(point)
            if not ring or ring[-1] != there:
                ring.append(there)
        while len(ring) > 1 and ring[0] == ring[-1]:
            ring.pop()
        joined.append(tuple(ring))
    return joined
