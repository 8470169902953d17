"""Rigid motions: turn a part on the bench, turn it over, set it down."""

from __future__ import annotations

from dataclasses import dataclass

from seamwright.geometry.angles import cos_deg, direction_deg, fold_deg, sin_deg
from seamwright.geometry.points import Point
from seamwright.geometry.polygons import Polygon


@dataclass(frozen=True, slots=True, kw_only=True)
class Motion:
    """Turn over (mirror y → −y) if ``over``, then turn anticlockwise, then move.

    A part whose pattern runs right through shows its mirror picture when turned over.

    Attributes:
        turn_deg: anticlockwise turn [°].
        over: whether the part is turned over first, about its x axis.
        x_mm, y_mm: where the part's origin comes to lie [mm].
    """

    turn_deg: float = 0.0
    over: bool = False
    x_mm: float = 0.0
    y_mm: float = 0.0

    @property
    def matrix(self) -> tuple[float, float, float, float, float, float]:
        """(a, b, c, d, e, f) with x' = a·x + b·y + e and y' = c·x + d·y + f."""
        c, s = cos_deg(self.turn_deg), sin_deg(self.turn_deg)
        if self.over:
            return (c, s, s, -c, self.x_mm, self.y_mm)
        return (c, -s, s, c, self.x_mm, self.y_mm)

    def point(self, p: Point) -> Point:
        """Where a point of the part comes to lie."""
        c, s = cos_deg(self.turn_deg), sin_deg(self.turn_deg)
        x, y = p[0], -p[1] if self.over else p[1]
        return (c * x - s * y + self.x_mm, s * x + c * y + self.y_mm)

    def polygon(self, polygon: Polygon) -> Polygon:
        """The moved polygon, kept in anticlockwise order."""
        c, s = cos_deg(self.turn_deg), sin_deg(self.turn_deg)
        dx, dy = self.x_mm, self.y_mm
        if self.over:
            return tuple([(c * x + s * y + dx, s * x - c * y + dy) for x, y in reversed(polygon)])
        # a list first: half as slow as a generator, and planning lives on this line
        return tuple([(c * x - s * y + dx, s * x + c * y + dy) for x, y in polygon])

    def undirected_deg(self, angle_deg: float) -> float:
        """Where an undirected line of the part (its grain, a seam) points afterwards [°]."""
        return fold_deg((-angle_deg if self.over else angle_deg) + self.turn_deg)

    def after(self, first: Motion) -> Motion:
        """One motion that does ``first`` and then this one."""
        if first is IDENTITY and 0.0 <= self.turn_deg < 360.0:
            return self
        if self is IDENTITY and 0.0 <= first.turn_deg < 360.0:
            return first
        x, y = self.point((first.x_mm, first.y_mm))
        turn = -first.turn_deg if self.over else first.turn_deg
        return Motion(
            turn_deg=(turn + self.turn_deg) % 360.0,
            over=self.over != first.over,
            x_mm=x,
            y_mm=y,
        )

    def inverse(self) -> Motion:
        """The motion that puts everything back."""
        turn = self.turn_deg if self.over else -self.turn_deg
        back = Motion(turn_deg=turn % 360.0, over=self.over)
        x, y = back.point((self.x_mm, self.y_mm))
        return Motion(turn_deg=turn % 360.0, over=self.over, x_mm=-x, y_mm=-y)

    @classmethod
    def carrying(
        cls, a: Point, b: Point, *, to_a: Point, to_b: Point, over: bool = False
    ) -> Motion:
        """The motion that lays the segment a–b onto to_a–to_b (equal lengths are assumed)."""
        ay, by = (-a[1], -b[1]) if over else (a[1], b[1])
        turn = (
            direction_deg(to_b[0] - to_a[0], to_b[1] - to_a[1])
            - direction_deg(b[0] - a[0], by - ay)
        ) % 360.0
        c, s = cos_deg(turn), sin_deg(turn)
        return cls(
            turn_deg=turn,
            over=over,
            x_mm=to_a[0] - (c * a[0] - s * ay),
            y_mm=to_a[1] - (s * a[0] + c * ay),
        )


IDENTITY = Motion()
