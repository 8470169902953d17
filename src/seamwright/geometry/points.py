"""Points of the plane, and the fine lattice they are kept on."""

from __future__ import annotations

import math

from seamwright.geometry.tolerance import LATTICE_PER_MM

Point = tuple[float, float]
"""x and y [mm]."""


def snap(value_mm: float) -> float:
    """The nearest lattice value [mm]: two ways to compute one place give one number.

    >>> snap(0.1 + 0.2) == snap(0.3), snap(-0.0)
    (True, 0.0)
    """
    return round(value_mm * LATTICE_PER_MM) / LATTICE_PER_MM


def snap_point(point: Point) -> Point:
    """The nearest lattice point."""
    return (snap(point[0]), snap(point[1]))


def distance(a: Point, b: Point) -> float:
    """Distance between two points [mm]."""
    return math.hypot(a[0] - b[0], a[1] - b[1])
