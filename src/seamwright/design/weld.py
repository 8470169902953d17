"""Make points that are meant to be one point one point, and lay points on the edges they meet."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely

from seamwright.geometry import (
    WELD_MM,
    Point,
    Polygon,
    anticlockwise,
    distance,
    drop_collinear,
    snap_point,
)

_TRUE_MM = 1e-6
"""A point this close to an edge already lies on it; moving it would only add rounding."""

_ROUNDS = 4
"""Laying a point on an edge may bring it within reach of another: repeat, but not for ever."""


def welded(polygons: Sequence[Polygon]) -> tuple[Polygon, ...]:
    """The polygons with points closer than ``WELD_MM`` made one.

    A point as close to another polygon's edge is laid on that edge. The first point seen is the
    one that stays, so exact drawings come through unchanged, snapped to the lattice. Points on a
    straight edge of their own polygon are dropped.

    Returns:
        One polygon each, anticlockwise; empty where nothing is left of it.
    """
    rings = _joined(polygons)
    for _ in range(_ROUNDS):
        laid = _laid_on_edges(rings)
        if not laid:
            break
        rings = _joined([tuple(laid.get(p, p) for p in ring) for ring in rings])
    return tuple(anticlockwise(drop_collinear(ring)) for ring in rings)


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


def _laid_on_edges(polygons: Sequence[Polygon]) -> dict[Point, Point]:
    """Where points go that lie within reach of an edge without being one of its ends."""
    points = list(dict.fromkeys(p for ring in polygons for p in ring))
    edges = list(
        dict.fromkeys(
            (min(a, b), max(a, b))
            for ring in polygons
            if len(ring) > 2
            for a, b in zip(ring, ring[1:] + ring[:1], strict=True)
        )
    )
    if not edges:
        return {}
    tree = shapely.STRtree(shapely.linestrings(np.array(edges)))
    near = tree.query(shapely.points(np.array(points)), predicate="dwithin", distance=WELD_MM)
    moved: dict[Point, Point] = {}
    for index, edge in near.T.tolist():
        point, (a, b) = points[index], edges[edge]
        if point in (a, b) or point in moved:
            continue
        foot = _foot(point, a, b)
        if foot is not None and distance(point, foot) > _TRUE_MM:
            moved[point] = foot
    return moved


def _foot(point: Point, a: Point, b: Point) -> Point | None:
    """The nearest point of a segment's inside, or None beyond its ends."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    t = ((point[0] - a[0]) * dx + (point[1] - a[1]) * dy) / (dx * dx + dy * dy)
    return snap_point((a[0] + t * dx, a[1] + t * dy)) if 0.0 < t < 1.0 else None
