"""Gluing up: every part in its place, as it must lie, and what comes out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from seamwright.geometry import Motion, Point, Polygon, bounds, convex_hull, cos_deg, sin_deg
from seamwright.pictures.dimensions import SMALL_MM, arrow, dimension, scaled, sign
from seamwright.pictures.inside import holds
from seamwright.pictures.looks import INK, QUIET, WASTE
from seamwright.pictures.marks import across, part_arrow, pose, reach, triangle
from seamwright.pictures.primitives import (
    Ink,
    Item,
    Layer,
    Path,
    Picture,
    Weight,
    beside,
    framed,
    stacked,
    text_box,
    text_width_mm,
)
from seamwright.pictures.solids import Solid, middle
from seamwright.pictures.steps.easel import Easel, size_of
from seamwright.plan import Laminate, Placed, blocks_for

_NAME_MM = 2.6
_APART_MM = 3.2
"""Gap between parts laid out, on the page; less where there are many."""
_LARGEST = 1.4
_DIAGONAL = 0.7071
_UPRIGHT = 0.94
"""Glue lines within 20° of level: names stand beside the parts."""
_RIM_MM = 0.5
_SAME_LEVEL_MM = 0.5
_CLEAR_MM = 5.0


@dataclass(frozen=True, slots=True)
class Layout:
    """How a glue-up is set on the page.

    Attributes:
        scale: page millimetres per millimetre.
        beside: laid out and glued side by side, or else one above the other.
        apart_mm: gap between the parts laid out [page mm].
    """

    scale: float
    beside: bool
    apart_mm: float


def glue_layout(step: Laminate, easel: Easel) -> Layout:
    """The larger of the two ways to set a glue-up on the page."""
    wide, high = size_of(easel.solids[step.makes])
    across = abs(cos_deg(step.press_deg)) >= _DIAGONAL
    found: list[Layout] = []
    for beside_it in (True, False):
        room_x = easel.width_mm * (0.5 if beside_it else 1.0) - 28.0
        room_y = easel.height_mm * (1.0 if beside_it else 0.5) - 18.0
        gaps = len(step.parts) - 1
        apart = min(_APART_MM, 0.3 * max(1.0, room_x if across else room_y) / max(1, gaps))
        spread = apart * gaps
        scale = min(
            (room_x - (spread if across else 0.0)) / wide,
            (room_y - (0.0 if across else spread)) / high,
            _LARGEST,
        )
        found.append(Layout(max(scale, 0.01), beside_it, apart))
    return max(found, key=lambda layout: (layout.scale, not layout.beside))


def glue_picture(step: Laminate, easel: Easel) -> Picture:
    """The parts laid out a little apart, and the glued part with its sizes."""
    layout = glue_layout(step, easel)
    both = (_laid_out(step, easel, layout), _glued(step, easel, layout.scale))
    title = f"{len(step.parts)} parts laid out in order, then {step.makes} glued"
    if layout.beside:
        return beside(both, gap_mm=6.0, title=title)
    return stacked(both, gap_mm=5.0, title=title)


def _laid_out(step: Laminate, easel: Easel, layout: Layout) -> Picture:
    scale, apart = layout.scale, layout.apart_mm
    normal = step.press_deg
    nx, ny = cos_deg(normal), sin_deg(normal)
    ordered = [(placed, easel.solids[placed.part]) for placed in step.parts]
    along = [_reach_along(placed.at.point(middle(solid)), nx, ny) for placed, solid in ordered]
    rank = sorted(range(len(ordered)), key=lambda i: along[i])
    level = _levels([along[i] for i in rank])
    items: list[Item] = []
    shapes: list[Polygon] = []
    arrows: list[Item] = []
    first: list[Polygon] = []
    last: list[Polygon] = []
    for place, index in enumerate(rank):
        placed, solid = ordered[index]
        dx, dy = nx * apart * level[place], ny * apart * level[place]
        drawn, outlines = easel.wooden(solid, scale, at=placed.at, dx=dx, dy=dy)
        items += drawn
        shapes += outlines
        if place == 0:
            first = outlines
        last = outlines
        x, y = placed.at.point(middle(solid))
        whole = tuple(p for outline in outlines for p in outline)
        arrows += _named((x * scale + dx, y * scale + dy), whole, placed, (nx, ny))
    base, tip = across(first, last, normal)
    items += triangle(shapes, base=base, tip=tip)
    items += arrows
    items += _squeeze(shapes, nx, ny)
    return framed(items, title="laid out")


def _levels(along: Sequence[float]) -> list[int]:
    """Parts that lie equally far along the press are drawn equally far out."""
    levels = [0]
    for before, here in pairwise(along):
        levels.append(levels[-1] + (here - before > _SAME_LEVEL_MM))
    return levels


def _reach_along(point: Point, nx: float, ny: float) -> float:
    return point[0] * nx + point[1] * ny


def _named(at: Point, whole: Polygon, placed: Placed, normal: tuple[float, float]) -> list[Item]:
    """Arrow on the part; name and pose on it where they fit, else beside it or above it."""
    part, motion = placed.part, placed.at
    x0, y0, x1, y1 = bounds(whole)
    length = reach(whole)
    said = pose(motion)
    text = f"{part} {said}" if said else part
    wide = text_width_mm(text, SMALL_MM)
    items = part_arrow(at, length_mm=length, at=motion)
    x = at[0] + wide / 2.0 + length / 2.0 + 1.5
    name = sign((x, at[1]), text, weight=Weight.BOLD)
    if holds(convex_hull(whole), text_box(name)):
        return [*items, name]
    if abs(normal[1]) > _UPRIGHT:
        beside = (x1 + 2.0 + wide / 2.0, (y0 + y1) / 2.0)
        return [*items, sign(beside, text, size_mm=_NAME_MM)]
    if text_width_mm(part, _NAME_MM) < x1 - x0 and y1 - y0 > length + 8.0:
        below = (at[0], at[1] - length / 2.0 - 2.2)
        return [*items, sign(below, part, size_mm=_NAME_MM)]
    narrow = text_width_mm(part, _NAME_MM) + 1.0 > x1 - x0
    rise = text_width_mm(part, _NAME_MM) / 2.0 + 1.0 if narrow else 0.5 * _NAME_MM + 1.0
    above = ((x0 + x1) / 2.0, y1 + rise)
    return [*items, sign(above, part, size_mm=_NAME_MM, angle_deg=90.0 if narrow else 0.0)]


def _squeeze(shapes: list[Polygon], nx: float, ny: float) -> list[Item]:
    """Where the clamps press: from both sides, square to the glue lines, on the outermost part."""
    items: list[Item] = []
    for side in (-1.0, 1.0):
        far = max(side * (nx * x + ny * y) for shape in shapes for x, y in shape)
        rim = [
            nx * y - ny * x
            for shape in shapes
            for x, y in shape
            if side * (nx * x + ny * y) > far - _RIM_MM
        ]
        along = (min(rim) + max(rim)) / 2.0

        def spot(out: float, side: float = side, far: float = far, along: float = along) -> Point:
            reach_out = side * (far + out)
            return (nx * reach_out - ny * along, ny * reach_out + nx * along)

        items += arrow(spot(7.5), spot(1.5), colour=INK, width_mm=0.9, layer=Layer.LABEL)
    return items


def _blocks(step: Laminate, made: Solid, scale: float) -> list[Path]:
    """Clamping blocks in their places round the glued part."""
    hull = convex_hull(p for piece in made.pieces for p in piece.points)
    ink = Ink(line=QUIET, fill=WASTE, width_mm=0.25)
    return [
        Path(points=scaled(block.outline, scale), closed=True, ink=ink, layer=Layer.WASTE)
        for block in blocks_for(step, hull)
    ]


def _glued(step: Laminate, easel: Easel, scale: float) -> Picture:
    made = easel.solids[step.makes]
    items, outlines = easel.wooden(made, scale)
    blocks = _blocks(step, made, scale)
    items += blocks
    x0, y0, x1, y1 = bounds(p for outline in outlines for p in outline)
    left, low, *_ = bounds([(x0, y0), *(p for block in blocks for p in block.points)])
    wide, high = size_of(made)
    whole = tuple(p for outline in outlines for p in outline)
    x, y = middle(made)
    length = reach(whole)
    items += part_arrow(
        (x * scale, y * scale), length_mm=length, at=Motion(), name=step.makes, name_mm=4.0
    )
    items += dimension(
        (x1, y0), (x0, y0), size_mm=wide, ruler=easel.ruler, offset_mm=y0 - low + 5.0
    )
    items += dimension(
        (x0, y0), (x0, y1), size_mm=high, ruler=easel.ruler, offset_mm=x0 - left + 5.0
    )
    return framed(items, title="glued")
