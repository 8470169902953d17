"""What a drawing needs to know of a part: its pieces and its depth."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Protocol

from seamwright.geometry import Point, Polygon, bounds


class Piece(Protocol):
    """One piece of wood in a part's frame."""

    @property
    def points(self) -> Polygon:
        """Outline [mm]."""

    @property
    def wood(self) -> str:
        """Letter of its wood."""

    @property
    def grain_deg(self) -> float:
        """Direction of its grain [°]."""


class Solid(Protocol):
    """A part: pieces that run through its depth."""

    @property
    def pieces(self) -> Sequence[Piece]:
        """Every piece, in the part's frame."""

    @property
    def depth_mm(self) -> float:
        """From show face to back [mm]."""


Solids = Mapping[str, Solid]
"""The solid of every kind of part in a plan, by the kind's id."""


class Shelf(Protocol):
    """What the virtual bench made of a plan."""

    @property
    def solids(self) -> tuple[tuple[str, Solid], ...]:
        """(kind, what one part of it is) for every kind made."""


def box(solid: Solid) -> tuple[float, float, float, float]:
    """Smallest upright box around a part in its frame [mm]."""
    return bounds(p for piece in solid.pieces for p in piece.points)


def middle(solid: Solid) -> Point:
    """Middle of that box: where the part's arrow is drawn."""
    x0, y0, x1, y1 = box(solid)
    return ((x0 + x1) / 2.0, (y0 + y1) / 2.0)
