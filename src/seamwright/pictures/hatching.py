"""Fill a polygon with lines that run with its grain."""

from __future__ import annotations

import math

from seamwright.geometry import Motion, Point, Polygon, bounds
from seamwright.pictures.looks import Look
from seamwright.pictures.primitives import Ink, Item, Layer, Path

_FEWEST = 2
"""A patch too small for its wood's spacing still gets this many lines."""


def lines_across(
    polygon: Polygon, *, angle_deg: float, spacing_mm: float
) -> tuple[tuple[Point, Point], ...]:
    """Parallel lines inside a simple polygon, in one direction, evenly spaced.

    The lines lie on a fixed ladder through the origin, so neighbours with one grain run on.
    """
    turned = Motion(turn_deg=-angle_deg).polygon(polygon)
    _, low, _, high = bounds(turned)
    spacing = min(spacing_mm, max(high - low, 1e-6) / _FEWEST)
    back = Motion(turn_deg=angle_deg)
    found: list[tuple[Point, Point]] = []
    rung = math.floor(low / spacing - 0.5)
    while (y := (rung + 0.5) * spacing) < high:
        rung += 1
        hits = sorted(_crossings(turned, y))
        found.extend(
            (back.point((a, y)), back.point((b, y)))
            for a, b in zip(hits[::2], hits[1::2], strict=False)
            if b - a > 0.15
        )
    return tuple(found)


def wood(polygon: Polygon, *, grain_deg: float, look: Look, edge_mm: float = 0.25) -> list[Item]:
    """A patch of wood: colour, hatch along the grain, ink outline. Points in page mm."""
    items: list[Item] = [
        Path(points=polygon, closed=True, ink=Ink(fill=look.fill), layer=Layer.WOOD)
    ]
    hatch = look.hatch
    ink = Ink(line=look.line, width_mm=hatch.width_mm, dash_mm=hatch.dash_mm)
    lines = lines_across(polygon, angle_deg=grain_deg, spacing_mm=hatch.spacing_mm)
    items.extend(Path(points=line, ink=ink, layer=Layer.GRAIN) for line in lines)
    if edge_mm:
        outline = Ink(line="#22262b", width_mm=edge_mm)
        items.append(Path(points=polygon, closed=True, ink=outline, layer=Layer.WOOD))
    return items


def _crossings(polygon: Polygon, y: float) -> list[float]:
    hits = []
    for (ax, ay), (bx, by) in zip(polygon, polygon[1:] + polygon[:1], strict=True):
        if (ay > y) != (by > y):
            hits.append(ax + (bx - ax) * (y - ay) / (by - ay))
    return hits
