"""What a drawing needs to know of a part, from the virtual bench."""

from __future__ import annotations

from collections.abc import Mapping

from seamwright.bench import Piece, Shelf, Solid
from seamwright.geometry import Point, bounds

__all__ = ["Piece", "Shelf", "Solid", "Solids", "box", "middle"]

Solids = Mapping[str, Solid]
"""The solid of every kind of part in a plan, by the kind's id."""


def box(solid: Solid) -> tuple[float, float, float, float]:
    """Smallest upright box around a part in its frame [mm]."""
    return bounds(solid.hull)


def middle(solid: Solid) -> Point:
    """Middle of that box: where the part's arrow is drawn."""
    x0, y0, x1, y1 = box(solid)
    return ((x0 + x1) / 2.0, (y0 + y1) / 2.0)
