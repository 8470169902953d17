"""Directed straight lines."""

from __future__ import annotations

import math
from dataclasses import dataclass

from seamwright.geometry.angles import cos_deg, direction_deg, fold_deg, sin_deg
from seamwright.geometry.points import Point


@dataclass(frozen=True, slots=True)
class Line:
    """A directed line: all points p with ``ux·p.y − uy·p.x == offset``.

    Attributes:
        ux, uy: unit direction [-].
        offset: signed distance of the line from the origin [mm]; the left side is positive.
    """

    ux: float
    uy: float
    offset: float

    @classmethod
    def through(cls, a: Point, b: Point) -> Line:
        """The line from a to b.

        Raises:
            ValueError: a and b are the same point.
        """
        dx, dy = b[0] - a[0], b[1] - a[1]
        length = math.hypot(dx, dy)
        if length == 0.0:
            raise ValueError(f"no line through one point {a}")
        ux, uy = dx / length, dy / length
        return cls(ux, uy, ux * a[1] - uy * a[0])

    @classmethod
    def at_angle(cls, point: Point, angle_deg: float) -> Line:
        """The line through a point in a direction [° from x, anticlockwise]."""
        ux, uy = cos_deg(angle_deg), sin_deg(angle_deg)
        return cls(ux, uy, ux * point[1] - uy * point[0])

    @property
    def angle_deg(self) -> float:
        """Direction [°] in [0, 360)."""
        return direction_deg(self.ux, self.uy)

    @property
    def undirected_deg(self) -> float:
        """Direction without its arrow [°] in [0, 180)."""
        return fold_deg(self.angle_deg)

    def side(self, point: Point) -> float:
        """Signed distance of a point [mm]: positive to the left, zero on the line."""
        return self.ux * point[1] - self.uy * point[0] - self.offset

    def reversed(self) -> Line:
        """The same line the other way round: left and right change places."""
        return Line(-self.ux, -self.uy, -self.offset)

    def shifted(self, left_mm: float) -> Line:
        """The parallel line this far to the left [mm]."""
        return Line(self.ux, self.uy, self.offset + left_mm)

    def crossing(self, other: Line) -> Point | None:
        """Where two lines cross, or None where they are parallel.

        >>> Line.at_angle((2.0, 0.0), 90.0).crossing(Line.at_angle((0.0, 3.0), 0.0))
        (2.0, 3.0)
        """
        det = self.ux * other.uy - self.uy * other.ux
        if abs(det) < 1e-12:
            return None
        x = (other.ux * self.offset - self.ux * other.offset) / det
        y = (other.uy * self.offset - self.uy * other.offset) / det
        return (x, y)
