"""What a drawing needs to know of a part, from the virtual bench."""

from __future__ import annotations

from collections.abc import Mapping

from seamwright.bench import Piece, Shelf, Solid
from seamwright.geometry import Point, bounds, centroid

__all__ = ["Piece", "Shelf", "Solid", "Solids", "box", "middle"]

Solids = Mapping[str, Solid]
"""The solid of every kind of part in a plan, by the kind's id."""


def box(solid: Solid) -> tuple[float, float, float, float]:
    """Smallest upright box around a part in its frame [mm]."""
    return bounds(solid.hull)


def middle(solid: Solid) -> Point:
    """Middle of a part: where its arrow is drawn, inside it whatever its shape."""
    return centroid(solid.hull)
