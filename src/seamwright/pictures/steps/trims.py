"""Trimming a part: each cut numbered, what falls away, what is left."""

from __future__ import annotations

from dataclasses import replace

from seamwright.geometry import Line, Motion, Point, Polygon, angle_between, bounds, cut_band
from seamwright.pictures.dimensions import SMALL_MM, dimension, scaled
from seamwright.pictures.looks import CHALK, INK, PAPER
from seamwright.pictures.marks import part_arrow, reach
from seamwright.pictures.primitives import (
    Disc,
    Ink,
    Item,
    Picture,
    Text,
    Weight,
    beside,
    framed,
    points_of,
)
from seamwright.pictures.solids import middle
from seamwright.pictures.steps.easel import Easel, kerf, size_of, waste
from seamwright.plan import EdgeCut, Hold, Trim

_LEVEL = 1e-6
_TIE_MM = 0.01
_TRIES = 4
_LEAST_ON_PAGE_MM = 28.0
"""Smaller on the page, a part's sizes run into each other [mm]."""
_MOST_LARGER = 6.0
"""What is left is drawn so many times larger than what it is cut from, at the most."""


def trim_picture(step: Trim, easel: Easel) -> Picture:
    """The part with its cuts in order, and the part that is left with its sizes."""
    title = f"{step.takes} with {len(step.cuts)} cuts in order, and {step.makes} that is left"
    scale = trim_scale(step, easel)
    for _ in range(_TRIES):
        left = max(scale, min(_small_scale(step, easel), scale * _MOST_LARGER))
        both = (_before(step, easel, scale), _after(step, easel, left))
        picture = beside(both, gap_mm=8.0, title=title)
        over = max(picture.width_mm / easel.width_mm, picture.height_mm / easel.height_mm)
        if over <= 1.0:
            break
        # slanted dimensions stand off the part: how far shows only once they are drawn
        scale *= 0.95 / over
    return picture


def rip_picture(step: Trim, easel: Easel) -> Picture:
    """A wide part with its rips in order, and how wide each part comes off."""
    taken, (cut,) = easel.solids[step.takes], step.cuts
    wide, high = size_of(taken)
    scale = min((easel.width_mm - 40.0) / wide, (easel.height_mm - 8.0) / high)
    items, _ = easel.wooden(taken, scale)
    whole: list[Polygon] = [tuple(piece.points) for piece in taken.pieces]
    first = Line.at_angle((cut.x_mm, cut.y_mm), cut.angle_deg)
    stays = max(first.side(p) for p in easel.solids[step.makes].hull)
    tags: list[Item] = []
    for number in range(1, step.each):
        on = (number - 1) * (stays + easel.saws.table_kerf_mm)
        again = replace(cut, x_mm=cut.x_mm + first.uy * on, y_mm=cut.y_mm - first.ux * on)
        line = first.shifted(-on)
        dust = (d for part in whole for d in cut_band(part, line, easel.saws.table_kerf_mm)[1])
        items += [kerf(scaled(shape, scale)) for shape in dust]
        tags += _tag(number, again, whole, scale)
    x, y, _, _ = bounds(tuple(p for part in whole for p in scaled(part, scale)))
    ends = ((x, y), (x, y + stays * scale))
    items += dimension(*ends, size_mm=stays, ruler=easel.ruler, offset_mm=9.0)
    title = f"{step.takes} with {step.each - 1} rips in order, into {step.each} of {step.makes}"
    return framed([*items, *tags], title=title)


def trim_scale(step: Trim, easel: Easel) -> float:
    """Page millimetres per millimetre of the part."""
    wide, high = size_of(easel.solids[step.takes])
    room = min((easel.width_mm / 2.0 - 26.0) / wide, (easel.height_mm - 24.0) / high)
    return min(room, max(1.4, _small_scale(step, easel)))


def _small_scale(step: Trim, easel: Easel) -> float:
    """The scale at which a very small part leaves room for its sizes."""
    return _LEAST_ON_PAGE_MM / min(size_of(easel.solids[step.makes]))


def _before(step: Trim, easel: Easel, scale: float) -> Picture:
    taken = easel.solids[step.takes]
    items, outlines = easel.wooden(taken, scale)
    x, y = middle(taken)
    items += part_arrow(
        (x * scale, y * scale),
        length_mm=reach(tuple(p for o in outlines for p in o)),
        at=Motion(),
        name=step.takes,
    )
    left: list[Polygon] = [tuple(piece.points) for piece in taken.pieces]
    tags: list[Item] = []
    for number, cut in enumerate(step.cuts, start=1):
        line = Line.at_angle((cut.x_mm, cut.y_mm), cut.angle_deg)
        kept: list[Polygon] = []
        gone: list[Polygon] = []
        for part in left:
            wide = 0.0 if step.hold is Hold.HAND else easel.saws.table_kerf_mm
            stays, dust, falls = cut_band(part, line, wide)
            kept += stays
            gone += falls
            for shape in falls:
                items += waste(scaled(shape, scale))
            items += [kerf(scaled(shape, scale)) for shape in dust]
        tags += _tag(number, cut, left, scale)
        left = kept
    return framed([*items, *tags], title="cuts")


def _tag(number: int, cut: EdgeCut, parts: list[Polygon], scale: float) -> list[Item]:
    """The cut's number on its line, outside the part."""
    line = Line.at_angle((cut.x_mm, cut.y_mm), cut.angle_deg)
    along = [line.ux * x + line.uy * y for part in parts for x, y in part]
    touched = [p for part in parts for p in _on_line(part, line)]
    end = max((line.ux * x + line.uy * y for x, y in touched), default=max(along))
    foot = (line.ux * end - line.uy * line.offset, line.uy * end + line.ux * line.offset)
    at = (foot[0] * scale + line.ux * 4.2, foot[1] * scale + line.uy * 4.2)
    return [
        Disc(centre=at, radius_mm=2.3, ink=Ink(line=INK, fill=PAPER, width_mm=0.25)),
        Text(at=at, text=str(number), size_mm=SMALL_MM, colour=INK, weight=Weight.BOLD),
    ]


def _on_line(part: Polygon, line: Line) -> list[tuple[float, float]]:
    hits = []
    for a, b in zip(part, part[1:] + part[:1], strict=True):
        sa, sb = line.side(a), line.side(b)
        if (sa >= 0.0) != (sb >= 0.0):
            t = sa / (sa - sb)
            hits.append((a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])))
    return hits


def _after(step: Trim, easel: Easel, scale: float) -> Picture:
    made = easel.solids[step.makes]
    items, outlines = easel.wooden(made, scale)
    whole = tuple(p for outline in outlines for p in outline)
    x0, y0, x1, y1 = bounds(whole)
    wide, high = size_of(made)
    x, y = middle(made)
    items += part_arrow(
        (x * scale, y * scale), length_mm=reach(whole), at=Motion(), name=step.makes
    )
    items += dimension((x1, y0), (x0, y0), size_mm=wide, ruler=easel.ruler, offset_mm=5.0)
    slanted = _square_to_cuts(step, easel, scale)
    # the upright size goes to the side the slanted ones leave free
    crowded = any(x < x0 - 1.0 for item in slanted for x, _ in points_of(item))
    ends = ((x1, y1), (x1, y0)) if crowded else ((x0, y0), (x0, y1))
    items += dimension(*ends, size_mm=high, ruler=easel.ruler, offset_mm=5.0)
    items += slanted
    return framed(items, title="left")


def _square_to_cuts(step: Trim, easel: Easel, scale: float) -> list[Item]:
    """What stays, square to each slanted cut: the size the stop is set to."""
    hull = easel.solids[step.makes].hull
    items: list[Item] = []
    told: set[tuple[int, int]] = set()
    for cut in step.cuts:
        line = Line.at_angle((cut.x_mm, cut.y_mm), cut.angle_deg)
        stays = max(line.side(point) for point in hull)
        key = (round(stays * 100), round(angle_between(cut.angle_deg, 0.0) * 100))
        if min(abs(line.ux), abs(line.uy)) < _LEVEL or key in told:
            continue
        told.add(key)
        far, out, way = _nearest_way_out(hull, line, stays)
        foot = (far[0] + line.uy * stays, far[1] - line.ux * stays)
        offset = -way * (out * scale + 5.0)
        ends = scaled((foot, far), scale)
        items += dimension(
            *ends, size_mm=stays, ruler=easel.ruler, offset_mm=offset, colour=CHALK, big_mm=3.8
        )
    return items


def _nearest_way_out(hull: Polygon, line: Line, stays_mm: float) -> tuple[Point, float, float]:
    """A corner farthest from the cut, how far the part reaches beyond it, and which way.

    Of all such corners and both ways along the cut, ahead 1 and back -1, the one with the least
    to go.
    """

    def along(point: Point) -> float:
        return line.ux * point[0] + line.uy * point[1]

    ahead, behind = max(map(along, hull)), min(map(along, hull))
    corners = [point for point in hull if line.side(point) > stays_mm - _TIE_MM]
    ways = [(p, ahead - along(p), 1.0) for p in corners]
    ways += [(p, along(p) - behind, -1.0) for p in corners]
    return min(ways, key=lambda way: way[1])
