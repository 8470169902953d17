"""Fill a polygon with lines that run with its grain."""

from __future__ import annotations

import math

from seamwright.geometry import Point, Polygon, bounds, cos_deg, sin_deg
from seamwright.pictures.looks import INK, Look
from seamwright.pictures.primitives import Ink, Item, Layer, Path

_FEWEST = 2
"""A patch too small for its wood's spacing still gets this many lines."""


_SHORTEST_MM = 0.15
_FINE_MM = 2.5
"""A patch narrower than this on the page gets thinner lines, or ink drowns the wood."""


def lines_across(
    polygon: Polygon, *, angle_deg: float, spacing_mm: float
) -> tuple[tuple[Point, Point], ...]:
    """Parallel lines inside a simple polygon, in one direction, evenly spaced.

    The lines lie on a fixed ladder through the origin, so neighbours with one grain run on.
    """
    c, s = cos_deg(angle_deg), sin_deg(angle_deg)
    turned = tuple([(c * x + s * y, c * y - s * x) for x, y in polygon])
    heights = [y for _, y in turned]
    low, high = min(heights), max(heights)
    spacing = min(spacing_mm, max(high - low, 1e-6) / _FEWEST)
    found: list[tuple[Point, Point]] = []
    rung = math.floor(low / spacing - 0.5)
    while (y := (rung + 0.5) * spacing) < high:
        rung += 1
        hits = sorted(_crossings(turned, y))
        found.extend(
            ((c * a - s * y, s * a + c * y), (c * b - s * y, s * b + c * y))
            for a, b in zip(hits[::2], hits[1::2], strict=False)
            if b - a > _SHORTEST_MM
        )
    return tuple(found)


def wood(polygon: Polygon, *, grain_deg: float, look: Look, edge_mm: float = 0.25) -> list[Item]:
    """A patch of wood: colour, hatch along the grain, ink outline. Points in page mm."""
    x0, y0, x1, y1 = bounds(polygon)
    thin = min(1.0, min(x1 - x0, y1 - y0) / _FINE_MM)
    items: list[Item] = [
        Path(points=polygon, closed=True, ink=Ink(fill=look.fill), layer=Layer.WOOD)
    ]
    hatch = look.hatch
    ink = Ink(line=look.line, width_mm=max(0.05, hatch.width_mm * thin), dash_mm=hatch.dash_mm)
    lines = lines_across(polygon, angle_deg=grain_deg, spacing_mm=hatch.spacing_mm)
    items.extend(Path(points=line, ink=ink, layer=Layer.GRAIN) for line in lines)
    if edge_mm:
        outline = Ink(line=INK, width_mm=max(0.08, edge_mm * thin))
        items.append(Path(points=polygon, closed=True, ink=outline, layer=Layer.WOOD))
    return items


def _crossings(polygon: Polygon, y: float) -> list[float]:
    hits = []
    for (ax, ay), (bx, by) in zip(polygon, polygon[1:] + polygon[:1], strict=True):
        if (ay > y) != (by > y):
            hits.append(ax + (bx - ax) * (y - ay) / (by - ay))
    return hits
