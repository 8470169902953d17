"""Upright convex prisms: a piece of wood as it stands in space."""

from __future__ import annotations

from dataclasses import dataclass, replace

from seamwright.geometry import (
    Line,
    Point,
    Polygon,
    anticlockwise,
    area,
    clip,
    drop_collinear,
    is_convex,
)

_THIN_MM2 = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Prism:
    """A convex outline, from a lower to an upper height.

    Attributes:
        outline: anticlockwise, convex [mm].
        low_mm, high_mm: heights [mm].
        wood: letter of its wood.
        grain_deg: direction of its grain [°].
        part: which part of the scene it belongs to.
        sides: for each edge of the outline whether it is a face of the piece (True) or only a cut
            made for sorting.
        capped: whether (bottom, top) are faces of the piece.
    """

    outline: Polygon
    low_mm: float
    high_mm: float
    wood: str
    grain_deg: float
    part: int = 0
    sides: tuple[bool, ...] = ()
    capped: tuple[bool, bool] = (True, True)

    def side_is_face(self, index: int) -> bool:
        """Whether an edge's side is a real face."""
        return self.sides[index] if self.sides else True

    def halved_by(self, line: Line) -> tuple[Prism, ...]:
        """The parts left and right of an upright plane; the cut is not a face."""
        return tuple(
            self._cut_to(piece, line)
            for side in (line, line.reversed())
            for piece in clip(self.outline, side)
            if area(piece) > _THIN_MM2
        )

    def halved_at(self, height_mm: float) -> tuple[Prism, ...]:
        """The parts below and above a level plane; the cut is not a face."""
        if not self.low_mm < height_mm < self.high_mm:
            return (self,)
        return (
            replace(self, high_mm=height_mm, capped=(self.capped[0], False)),
            replace(self, low_mm=height_mm, capped=(False, self.capped[1])),
        )

    def _cut_to(self, outline: Polygon, line: Line) -> Prism:
        edges = zip(outline, outline[1:] + outline[:1], strict=True)
        sides = tuple(
            not (abs(line.side(a)) < 1e-7 and abs(line.side(b)) < 1e-7) and self._was_face(a, b)
            for a, b in edges
        )
        return replace(self, outline=outline, sides=sides)

    def _was_face(self, a: Point, b: Point) -> bool:
        """Whether an edge of a cut outline lies on a real face of this one."""
        middle = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
        ring = self.outline
        nearest = min(
            range(len(ring)),
            key=lambda i: abs(Line.through(ring[i], ring[(i + 1) % len(ring)]).side(middle)),
        )
        return self.side_is_face(nearest)


def convex_parts(polygon: Polygon) -> tuple[Polygon, ...]:
    """A simple polygon as convex parts: cut on at each inward corner until none is left."""
    ring = drop_collinear(anticlockwise(polygon), tolerance_mm=1e-7)
    if not ring or is_convex(ring):
        return (ring,) if ring else ()
    for i in range(len(ring)):
        before, here, after = ring[i - 1], ring[i], ring[(i + 1) % len(ring)]
        line = Line.through(before, here)
        if line.side(after) < -1e-7:
            halves = (*clip(ring, line), *clip(ring, line.reversed()))
            return tuple(part for half in halves for part in convex_parts(half))
    return (ring,)
