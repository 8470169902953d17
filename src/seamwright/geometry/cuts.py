"""Straight cuts through simple polygons, with and without the width of the saw."""

from __future__ import annotations

from seamwright.geometry.lines import Line
from seamwright.geometry.points import Point
from seamwright.geometry.polygons import Polygon, area, drop_collinear

_FLAT_MM2 = 1e-9


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
    sides = [line.side(p) for p in polygon]
    if min(sides) >= 0.0:
        return (polygon,)
    if max(sides) <= 0.0:
        return ()
    kept = _half_plane(polygon, sides)
    if sum(1 for a, b in zip(sides, sides[1:] + sides[:1], strict=True) if a * b < 0.0) <= 2 and (
        _changes(sides) <= 2
    ):
        return (kept,) if area(kept) > _FLAT_MM2 else ()
    return tuple(p for p in _separate(kept, line) if area(p) > _FLAT_MM2)


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


def _changes(sides: list[float]) -> int:
    signs = [s > 0.0 for s in sides if s != 0.0]
    return sum(1 for a, b in zip(signs, signs[1:] + signs[:1], strict=True) if a != b)


def _half_plane(polygon: Polygon, sides: list[float]) -> Polygon:
    kept: list[Point] = []
    count = len(polygon)
    for i in range(count):
        a, b = polygon[i], polygon[(i + 1) % count]
        sa, sb = sides[i], sides[(i + 1) % count]
        if sa >= 0.0:
            kept.append(a)
        if (sa > 0.0 > sb) or (sa < 0.0 < sb):
            t = sa / (sa - sb)
            kept.append((a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])))
    return tuple(kept)


def _separate(kept: Polygon, line: Line) -> tuple[Polygon, ...]:
    """Take the ring that Sutherland–Hodgman leaves apart where it runs along the cut.

    The ring's points on the cut, in order along it, pair up: inside the polygon between the first
    and second, between the third and fourth, and so on. Following the ring, and jumping along the
    cut from each point to its partner, gives the parts.
    """
    on_cut = [abs(line.side(p)) <= 1e-9 for p in kept]
    order = sorted(
        (i for i, on in enumerate(on_cut) if on),
        key=lambda i: line.ux * kept[i][0] + line.uy * kept[i][1],
    )
    partner: dict[int, int] = {}
    for a, b in zip(order[::2], order[1::2], strict=False):
        partner[a], partner[b] = b, a
    parts: list[Polygon] = []
    unused = set(range(len(kept)))
    while unused:
        start = min(unused)
        ring: list[Point] = []
        i = start
        while i in unused:
            unused.discard(i)
            ring.append(kept[i])
            following = (i + 1) % len(kept)
            if on_cut[i] and on_cut[following]:
                following = partner.get(i, following)
            i = following
        cleaned = drop_collinear(tuple(ring), tolerance_mm=1e-9)
        if cleaned:
            parts.append(cleaned)
    return tuple(parts)
