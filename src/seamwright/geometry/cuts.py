"""Straight cuts through simple polygons, with and without the width of the saw."""

from __future__ import annotations

from seamwright.geometry.lines import Line
from seamwright.geometry.points import Point
from seamwright.geometry.polygons import Polygon, area
from seamwright.geometry.tolerance import ON_CUT_MM


def clip(polygon: Polygon, line: Line) -> tuple[Polygon, ...]:
    """What lies to the left of a line.

    A polygon may be hollow (not convex): then several parts may remain. A polygon that only
    touches the line gives itself or nothing, never a flat part.

    Args:
        polygon: a simple polygon, anticlockwise.
        line: the cut; its left side stays.
    Returns:
        The remaining parts, each a simple anticlockwise polygon.
    """
    sides = [_settled(line.side(p)) for p in polygon]
    if min(sides) >= 0.0:
        return (polygon,)
    if max(sides) <= 0.0:
        return ()
    return tuple(part for part in _joined(_chains(polygon, sides), line) if area(part) > 0.0)


def split(polygon: Polygon, line: Line) -> tuple[tuple[Polygon, ...], tuple[Polygon, ...]]:
    """The parts to the left and to the right of a line with no width."""
    return clip(polygon, line), clip(polygon, line.reversed())


def cut_band(
    polygon: Polygon, line: Line, kerf_mm: float
) -> tuple[tuple[Polygon, ...], tuple[Polygon, ...], tuple[Polygon, ...]]:
    """Saw along a line: what stays left of it, what the blade turns to dust, what falls off right.

    Args:
        polygon: a simple polygon, anticlockwise.
        line: the left face of the cut.
        kerf_mm: width of the cut, to the right of the line [mm], not negative.
    Returns:
        (left parts, dust, right parts).
    """
    right_face = line.shifted(-kerf_mm).reversed()
    left = clip(polygon, line)
    right = clip(polygon, right_face)
    dust: list[Polygon] = []
    for part in clip(polygon, line.reversed()):
        dust.extend(clip(part, right_face.reversed()))
    return left, tuple(dust), right


def _settled(side_mm: float) -> float:
    return 0.0 if abs(side_mm) <= ON_CUT_MM else side_mm


def _chains(polygon: Polygon, sides: list[float]) -> list[list[Point]]:
    """The runs of the outline left of the cut, each from the cut and back to it."""
    count = len(polygon)
    first = next(i for i in range(count) if sides[i] <= 0.0 < sides[(i + 1) % count])
    chains: list[list[Point]] = []
    for step in range(count):
        i, j = (first + step) % count, (first + step + 1) % count
        a, b = polygon[i], polygon[j]
        if sides[i] <= 0.0 < sides[j]:
            chains.append([a if sides[i] == 0.0 else _between(a, b, sides[i], sides[j])])
        if sides[j] > 0.0:
            chains[-1].append(b)
        elif sides[i] > 0.0:
            chains[-1].append(b if sides[j] == 0.0 else _between(a, b, sides[i], sides[j]))
    return chains


def _between(a: Point, b: Point, side_a: float, side_b: float) -> Point:
    """Where an edge crosses the cut; the same point whichever way the edge is walked."""
    if b < a:
        a, b, side_a, side_b = b, a, side_b, side_a
    t = side_a / (side_a - side_b)
    return (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))


def _joined(chains: list[list[Point]], line: Line) -> list[Polygon]:
    """Close the chains along the cut.

    Walked anticlockwise, a part left of the cut follows the cut forwards: from where a chain comes
    back to the cut to the next place further along where a chain leaves it. In order along the
    cut, ends and starts therefore take turns; where several lie at one place, the one whose turn
    it is comes first.
    """
    if len(chains) == 1:
        return [tuple(chains[0])]
    ends = [(_along(line, chain[-1]), k) for k, chain in enumerate(chains)]
    starts = [(_along(line, chain[0]), k) for k, chain in enumerate(chains)]
    following: dict[int, int] = {}
    ends.sort()
    starts.sort()
    for end, start in zip(ends, starts, strict=True):
        following[end[1]] = start[1]
    parts: list[Polygon] = []
    unused = set(following)
    while unused:
        k = min(unused)
        ring: list[Point] = []
        while k in unused:
            unused.discard(k)
            ring.extend(chains[k])
            k = following[k]
        parts.append(_undoubled(ring))
    return parts


def _along(line: Line, point: Point) -> float:
    return line.ux * point[0] + line.uy * point[1]


def _undoubled(ring: list[Point]) -> Polygon:
    return tuple(p for i, p in enumerate(ring) if p != ring[i - 1])
