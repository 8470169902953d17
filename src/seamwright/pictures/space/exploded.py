"""A glue-up pulled apart along its glue lines, seen from the side, in wood."""

from __future__ import annotations

from dataclasses import dataclass

from seamwright.geometry import (
    IDENTITY,
    Motion,
    Point,
    angle_between,
    bounds,
    cos_deg,
    direction_deg,
    sin_deg,
)
from seamwright.pictures.dimensions import SMALL_MM, sign
from seamwright.pictures.hatching import lines_across
from seamwright.pictures.looks import INK, Look, Looks, mixed
from seamwright.pictures.primitives import (
    Ink,
    Item,
    Layer,
    Path,
    Picture,
    Text,
    Weight,
    framed,
    text_box,
)
from seamwright.pictures.solids import Solid, Solids, middle
from seamwright.pictures.space.camera import Camera, Place
from seamwright.pictures.space.order import painter_order
from seamwright.pictures.space.prisms import Prism, convex_parts
from seamwright.plan import Laminate

_SHARE = 0.35
"""Gap between neighbours, as a share of the mean part's reach across the glue lines."""
_FULL_INK = 0.35
"""Page millimetres per millimetre from which lines are drawn at full width."""
_END_GRAIN_DEG = 30.0
"""A side whose direction is within this of square to the grain shows its ends."""


def exploded(
    step: Laminate,
    *,
    solids: Solids,
    looks: Looks,
    width_mm: float,
    height_mm: float,
    camera: Camera | None = None,
    name_mm: float = SMALL_MM,
) -> Picture:
    """The parts of a glue-up, a little apart, each with its name.

    Args:
        step: the glue-up.
        solids: every kind of part.
        looks: of the woods.
        width_mm, height_mm: room on the page [mm].
        camera: where from; a little to the right and above by default.
        name_mm: letter size of the parts' names; 0 leaves them out.
    """
    view = camera or Camera()
    prisms = apart(step, solids)
    spots = [view.seen((x, y, z)) for p in prisms for x, y in p.outline for z in (p.low_mm, 0.0)]
    wide = max(x for x, _ in spots) - min(x for x, _ in spots)
    high = max(y for _, y in spots) - min(y for _, y in spots)
    scale = min((width_mm - 4.0) / wide, (height_mm - 4.0) / high, 1.4)
    items: list[Item] = []
    pen = _Pen(view=view, scale=scale, fine=max(0.3, min(1.0, scale / _FULL_INK)))
    for prism in painter_order(prisms, view):
        items += pen.drawn(prism, looks[prism.wood])
    if name_mm:
        items += _names(step, solids, view, scale, name_mm)
    return framed(
        items, title=f"{step.makes} pulled apart: {len(step.parts)} parts in their places"
    )


def apart(step: Laminate, solids: Solids, *, share: float = _SHARE) -> tuple[Prism, ...]:
    """Every piece of a glue-up as a prism, its part moved away along the glue lines' normal.

    Heights run from minus the depth to 0, the show face.

    Args:
        step: the glue-up.
        solids: every kind of part.
        share: gap between neighbours, as a share of the mean part's reach across the glue lines.
    """
    gaps = offsets(step, solids, share)
    made: list[Prism] = []
    for index, (placed, move) in enumerate(zip(step.parts, gaps, strict=True)):
        solid = solids[placed.part]
        shift = Motion(x_mm=move[0], y_mm=move[1]).after(placed.at)
        made.extend(prisms_of(solid, at=shift, part=index))
    return tuple(made)


def prisms_of(solid: Solid, *, at: Motion = IDENTITY, part: int = 0) -> tuple[Prism, ...]:
    """A part's pieces as prisms below the level of its show face."""
    return tuple(
        Prism(
            outline=outline,
            low_mm=-solid.depth_mm,
            high_mm=0.0,
            wood=piece.wood,
            grain_deg=at.undirected_deg(piece.grain_deg),
            part=part,
        )
        for piece in solid.pieces
        for outline in convex_parts(at.polygon(piece.points))
    )


def offsets(step: Laminate, solids: Solids, share: float = _SHARE) -> list[Point]:
    """How far each part is moved, ordered by where its middle lies across the glue lines."""
    nx, ny = cos_deg(step.seams_deg + 90.0), sin_deg(step.seams_deg + 90.0)
    across = []
    for placed in step.parts:
        x, y = placed.at.point(middle(solids[placed.part]))
        across.append(x * nx + y * ny)
    spots = [
        x * nx + y * ny
        for placed in step.parts
        for piece in solids[placed.part].pieces
        for x, y in placed.at.polygon(piece.points)
    ]
    gap = share * (max(spots) - min(spots)) / len(step.parts)
    rank = {
        index: place
        for place, index in enumerate(sorted(range(len(across)), key=across.__getitem__))
    }
    return [(nx * gap * rank[i], ny * gap * rank[i]) for i in range(len(across))]


def _names(
    step: Laminate, solids: Solids, view: Camera, scale: float, name_mm: float
) -> list[Item]:
    """Every part's name on its show face, or none at all where two would collide."""
    names: list[Text] = []
    for placed, move in zip(step.parts, offsets(step, solids), strict=True):
        x, y = placed.at.point(middle(solids[placed.part]))
        px, py = view.seen((x + move[0], y + move[1], 0.0))
        at = (px * scale, py * scale)
        names.append(sign(at, placed.part, size_mm=name_mm, weight=Weight.BOLD))
    boxes = [bounds(text_box(name)) for name in names]
    for index, (a0, b0, a1, b1) in enumerate(boxes):
        for c0, d0, c1, d1 in boxes[index + 1 :]:
            if min(a1, c1) > max(a0, c0) and min(b1, d1) > max(b0, d0):
                return []
    return list(names)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pen:
    """Draws faces: where from, how large, and how fine the ink is."""

    view: Camera
    scale: float
    fine: float

    def drawn(self, prism: Prism, look: Look) -> list[Item]:
        """The faces of a prism that look at the viewer."""
        tx, ty, _ = self.view.towards
        items: list[Item] = []
        ring = prism.outline
        for index, (a, b) in enumerate(zip(ring, ring[1:] + ring[:1], strict=True)):
            facing = (b[1] - a[1]) * tx - (b[0] - a[0]) * ty
            if facing > 1e-9 and prism.side_is_face(index):
                items += self._side(prism, (a, b), look)
        if prism.capped[1]:
            items += self._top(prism, look)
        return items

    def _top(self, prism: Prism, look: Look) -> list[Item]:
        z = prism.high_mm
        face = tuple(self._put((x, y, z)) for x, y in prism.outline)
        items: list[Item] = [Path(points=face, closed=True, ink=Ink(fill=look.fill))]
        hatch = look.hatch
        ink = Ink(line=look.line, width_mm=hatch.width_mm * self.fine, dash_mm=hatch.dash_mm)
        spacing = hatch.spacing_mm / self.scale
        lines = lines_across(prism.outline, angle_deg=prism.grain_deg, spacing_mm=spacing)
        items.extend(
            Path(points=(self._put((*a, z)), self._put((*b, z))), ink=ink, layer=Layer.GRAIN)
            for a, b in lines
        )
        items.append(Path(points=face, closed=True, ink=self._edge()))
        return items

    def _side(self, prism: Prism, edge: tuple[Point, Point], look: Look) -> list[Item]:
        """An upright face: shaded; ends of the grain dotted, long grain ruled."""
        (ax, ay), (bx, by) = edge
        along = direction_deg(bx - ax, by - ay)
        ends = angle_between(along, prism.grain_deg) > 90.0 - _END_GRAIN_DEG
        shade = mixed(look.fill, "#2a1c12", 0.34 if ends else 0.18)
        low, high = prism.low_mm, prism.high_mm
        face = tuple(
            self._put(place)
            for place in ((ax, ay, low), (bx, by, low), (bx, by, high), (ax, ay, high))
        )
        items: list[Item] = [Path(points=face, closed=True, ink=Ink(fill=shade))]
        ink = Ink(
            line=mixed(shade, look.line, 0.75),
            width_mm=(0.3 if ends else 0.13) * self.fine,
            dash_mm=(0.3, 0.9) if ends else look.hatch.dash_mm,
        )
        rows = max(1, round((high - low) * self.scale / (1.1 if ends else 2.0)))
        for row in range(rows):
            z = low + (high - low) * (row + 0.5) / rows
            points = (self._put((ax, ay, z)), self._put((bx, by, z)))
            items.append(Path(points=points, ink=ink, layer=Layer.GRAIN))
        items.append(Path(points=face, closed=True, ink=self._edge()))
        return items

    def _edge(self) -> Ink:
        return Ink(line=INK, width_mm=0.22 * self.fine)

    def _put(self, place: Place) -> Point:
        x, y = self.view.seen(place)
        return (x * self.scale, y * self.scale)
