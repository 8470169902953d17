"""Whether something fits inside an outline."""

from __future__ import annotations

from collections.abc import Iterable

from seamwright.geometry import Line, Point, Polygon


def holds(outline: Polygon, spots: Iterable[Point], *, margin_mm: float = 0.0) -> bool:
    """Whether all spots lie inside a convex outline, at least a margin from its edges.

    Args:
        outline: convex, anticlockwise.
        spots: points to test.
        margin_mm: least distance from every edge [mm]; negative to allow a little outside.
    """
    lines = [
        Line.through(a, b)
        for a, b in zip(outline, outline[1:] + outline[:1], strict=True)
        if a != b
    ]
    return all(line.side(spot) >= margin_mm for spot in spots for line in lines)
