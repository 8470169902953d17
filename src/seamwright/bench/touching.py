"""How outlines lie to each other: faces along a line, edges in common, areas in common.

All by plain clipping and projection. A general overlay of polygons is not used: on outlines equal
but for the last bit it can be wrong by a whole corner, and every good plan gives such outlines.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from seamwright.bench.shapes import keep
from seamwright.bench.tolerance import CONTACT_MM, TOUCH_MM
from seamwright.geometry import Line, Point, Polygon, area, bounds, distance

Indices = NDArray[np.int64]
"""Indices into a list."""

Boxes = NDArray[np.float64]
"""Upright boxes, a row each."""

_FEW = 16
"""Outlines that are measured one by one."""
_MANY_PAIRS = 250_000
"""Beyond so many pairs of boxes a tree is quicker than looking at each."""

Interval = tuple[float, float]
"""From and to along a line [mm]."""


def faces_on(rings: Iterable[Polygon], line: Line) -> tuple[Interval, ...]:
    """Where outlines run along a line: merged intervals, measured along it [mm].

    The line must not pass through the inside of what the outlines bound.
    """
    ux, uy, offset = line.ux, line.uy, line.offset
    runs: list[Interval] = []
    for ring in rings:
        sides = [abs(ux * y - uy * x - offset) <= TOUCH_MM for x, y in ring]
        if sum(sides) < 2:
            continue
        count = len(ring)
        for i in range(count):
            following = (i + 1) % count
            if sides[i] and sides[following]:
                s = ux * ring[i][0] + uy * ring[i][1]
                t = ux * ring[following][0] + uy * ring[following][1]
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


def common_area(outline: Polygon, cutter: Polygon) -> float:
    """Area two outlines have in common [mm²].

    Args:
        outline: any simple polygon.
        cutter: a convex polygon, anticlockwise.
    """
    ring = outline
    ax, ay = cutter[-1]
    for bx, by in cutter:
        dx, dy = bx - ax, by - ay
        values = [dx * (y - ay) - dy * (x - ax) for x, y in ring]
        if min(values) < 0.0:
            ring = keep(ring, values)
            if not ring:
                return 0.0
        ax, ay = bx, by
    return area(ring)


def near_pairs(
    first: Sequence[Polygon], second: Sequence[Polygon], *, reach_mm: float = TOUCH_MM
) -> tuple[Indices, Indices]:
    """Index pairs of outlines whose upright boxes, each widened by a reach, meet."""
    return near_boxes(boxes(first), boxes(second), reach_mm=reach_mm)


def boxes(outlines: Sequence[Sequence[Point]]) -> Boxes:
    """The upright boxes around outlines: (left, bottom, right, top) of each [mm].

    Raises:
        ValueError: an outline has no points.
    """
    if len(outlines) < _FEW:
        return np.array([bounds(points) for points in outlines], dtype=float).reshape(-1, 4)
    sizes = np.array([len(points) for points in outlines])
    if not sizes.all():
        raise ValueError("an outline without points has no box")
    at = np.array([point for points in outlines for point in points], dtype=float)
    first = np.concatenate(([0], np.cumsum(sizes)[:-1]))
    return np.hstack((np.minimum.reduceat(at, first), np.maximum.reduceat(at, first)))


def near_boxes(
    first: Boxes, second: Boxes, *, reach_mm: float = TOUCH_MM
) -> tuple[Indices, Indices]:
    """Index pairs of upright boxes that meet, each widened by a reach."""
    if not len(first) or not len(second):
        return np.empty(0, dtype=np.int64), np.empty(0, dtype=np.int64)
    widen = np.array([-reach_mm, -reach_mm, reach_mm, reach_mm])
    one, other = first + widen, second + widen
    if len(one) * len(other) <= _MANY_PAIRS:
        (x0, y0, x1, y1), (u0, v0, u1, v1) = one.T.copy(), other.T.copy()
        beside = np.flatnonzero((y0[:, None] <= v1) & (y1[:, None] >= v0))
        left, right = np.divmod(beside, len(other))
        meet = (x0[left] <= u1[right]) & (x1[left] >= u0[right])
        return left[meet], right[meet]
    left, right = shapely.STRtree(shapely.box(*other.T)).query(shapely.box(*one.T))
    return left, right


def edge_in_common(a: Polygon, b: Polygon) -> float:
    """Length along which the outlines of two pieces that do not overlap touch [mm]."""
    longest = 0.0
    for p, q in zip(a, a[1:] + a[:1], strict=True):
        if distance(p, q) > TOUCH_MM:
            line = Line.through(p, q)
            start = line.ux * p[0] + line.uy * p[1]
            edge = ((start, start + distance(p, q)),)
            longest = max(longest, length(shared(edge, faces_on([b], line))))
    return longest


def separate_parts(outlines: Sequence[Polygon]) -> int:
    """How many parts that do not touch along a real length the outlines make."""
    left, right = near_pairs(outlines, outlines)
    touching = [
        (i, j)
        for i, j in zip(left.tolist(), right.tolist(), strict=True)
        if i < j and edge_in_common(outlines[i], outlines[j]) >= CONTACT_MM
    ]
    return len(groups(len(outlines), touching))
