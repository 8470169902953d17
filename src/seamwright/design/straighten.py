"""Lay corners on the edges they meet, so that seams shared by many patches are straight."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

import numpy as np
import shapely

from seamwright.geometry import WELD_MM, Line, Point, Polygon, bounds, distance, snap_point

_TRUE_MM = 1e-6
"""A point this close to an edge already lies on it; moving it would only add rounding."""

_ROUNDS = 30
"""Laying a seam straight moves the ends of others: repeat, but not for ever."""

Edge = tuple[Point, Point]


def straightened(rings: Sequence[Polygon]) -> dict[Point, Point]:
    """Where corners go that lie within reach of an edge without being one of its ends.

    Moving each corner onto its edge one by one never ends where corners of both sides alternate
    along a seam, as between rows of bricks. So edges are first gathered into seams, and all
    corners of a seam are laid on the line between its two outermost ones.

    Args:
        rings: polygons whose near points have been made one.
    Returns:
        New places of the corners that move; empty where all lie true.
    """
    edges = _edges(rings)
    meetings = _meetings(rings, edges)
    if all(_off(point, edge) <= _TRUE_MM for point, edge in meetings):
        return {}
    seams = _seams(edges, meetings)
    places = {point: point for seam in seams for point in seam}
    for _ in range(_ROUNDS):
        if not _lay_straight(seams, places):
            break
    return {old: snap_point(new) for old, new in places.items() if new != old}


def _edges(rings: Sequence[Polygon]) -> list[Edge]:
    return list(
        dict.fromkeys(
            (min(a, b), max(a, b))
            for ring in rings
            if len(ring) > 2
            for a, b in zip(ring, ring[1:] + ring[:1], strict=True)
        )
    )


def _meetings(rings: Sequence[Polygon], edges: list[Edge]) -> list[tuple[Point, Edge]]:
    """Each corner with each edge it lies within reach of, between its ends."""
    if not edges:
        return []
    points = list(dict.fromkeys(p for ring in rings for p in ring))
    tree = shapely.STRtree(shapely.linestrings(np.array(edges)))
    near = tree.query(shapely.points(np.array(points)), predicate="dwithin", distance=WELD_MM)
    found = []
    for index, number in near.T.tolist():
        point, edge = points[index], edges[number]
        if point not in edge and _is_between(point, edge):
            found.append((point, edge))
    return found


def _is_between(point: Point, edge: Edge) -> bool:
    (ax, ay), (bx, by) = edge
    dx, dy = bx - ax, by - ay
    along = (point[0] - ax) * dx + (point[1] - ay) * dy
    return 0.0 < along < dx * dx + dy * dy


def _off(point: Point, edge: Edge) -> float:
    return abs(Line.through(*edge).side(point))


def _seams(edges: list[Edge], meetings: list[tuple[Point, Edge]]) -> list[set[Point]]:
    """The corners of each seam: edges that run on in each other, and corners that end on them."""
    at: dict[Point, list[Edge]] = defaultdict(list)
    for edge in edges:
        at[edge[0]].append(edge)
        at[edge[1]].append(edge)
    leader = {edge: edge for edge in edges}

    def find(edge: Edge) -> Edge:
        while leader[edge] != edge:
            leader[edge] = leader[leader[edge]]
            edge = leader[edge]
        return edge

    for point, edge in meetings:
        line = Line.through(*edge)
        for other in at[point]:
            end = other[1] if other[0] == point else other[0]
            if abs(line.side(end)) <= 2.0 * WELD_MM < distance(point, end):
                leader[find(other)] = find(edge)
    corners: dict[Edge, set[Point]] = defaultdict(set)
    for point, edge in meetings:
        corners[find(edge)] |= {point, *edge}
    for edge in edges:
        if find(edge) in corners:
            corners[find(edge)] |= set(edge)
    return list(corners.values())


def _lay_straight(seams: list[set[Point]], places: dict[Point, Point]) -> bool:
    """Lay every seam once; whether anything moved by more than rounding."""
    moved = False
    for seam in seams:
        x0, y0, x1, y1 = bounds(seam)
        axis = 0 if x1 - x0 >= y1 - y0 else 1
        ordered = sorted(seam, key=lambda corner: places[corner][axis])
        first, last = places[ordered[0]], places[ordered[-1]]
        if first == last:
            continue
        line = Line.through(first, last)
        for corner in ordered[1:-1]:
            x, y = places[corner]
            off = line.side((x, y))
            if abs(off) > _TRUE_MM / 10.0:
                places[corner] = (x + line.uy * off, y - line.ux * off)
                moved = True
    return moved
