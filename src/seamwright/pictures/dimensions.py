"""Dimension lines, angle arcs, arrows and notes: the ink of a working drawing."""

from __future__ import annotations

import math

from seamwright.geometry import Point, cos_deg, direction_deg, distance, sin_deg
from seamwright.pictures.looks import CHALK, INK, PAPER
from seamwright.pictures.primitives import (
    Anchor,
    Ink,
    Item,
    Layer,
    Path,
    Text,
    Weight,
    text_width_mm,
)
from seamwright.pictures.sizes import Ruler, degrees

BIG_MM = 4.6
"""Letter size of a size that matters (13 pt)."""
SMALL_MM = 3.0
"""Letter size of the other unit and of names (8.5 pt)."""


def dimension(
    a: Point,
    b: Point,
    *,
    size_mm: float,
    ruler: Ruler,
    offset_mm: float,
    colour: str = INK,
    big_mm: float = BIG_MM,
) -> list[Item]:
    """A dimension line from a to b, moved to the left of a→b by an offset (right where negative).

    Args:
        a, b: ends on the part [page mm].
        size_mm: the true length it states [mm].
        ruler: how it is written.
        offset_mm: distance of the line from the part [page mm].
        colour: of line and figures.
        big_mm: letter size of the leading unit [page mm].
    """
    along = direction_deg(b[0] - a[0], b[1] - a[1])
    nx, ny = -sin_deg(along), cos_deg(along)
    lift = math.copysign(1.0, offset_mm)
    thin = Ink(line=colour, width_mm=0.18)

    def out(p: Point, d: float) -> Point:
        return (p[0] + nx * d, p[1] + ny * d)

    end_a, end_b = out(a, offset_mm), out(b, offset_mm)
    items: list[Item] = [
        Path(points=(out(p, lift * 1.0), out(p, offset_mm + lift * 1.2)), ink=thin, layer=_DIM)
        for p in (a, b)
    ]
    items.append(Path(points=(end_a, end_b), ink=thin, layer=_DIM))
    items.extend(_tick(end, along, colour) for end in (end_a, end_b))
    words = (ruler.first(size_mm), ruler.second(size_mm))
    items += _figures(end_a, end_b, lift=lift, words=words, colour=colour, big_mm=big_mm)
    return items


_DIM = Layer.DIMENSION


def _tick(at: Point, along_deg: float, colour: str) -> Item:
    dx, dy = 0.9 * cos_deg(along_deg + 45.0), 0.9 * sin_deg(along_deg + 45.0)
    return Path(
        points=((at[0] - dx, at[1] - dy), (at[0] + dx, at[1] + dy)),
        ink=Ink(line=colour, width_mm=0.4),
        layer=_DIM,
    )


def _figures(
    a: Point,
    b: Point,
    *,
    lift: float,
    words: tuple[str, str],
    colour: str,
    big_mm: float,
) -> list[Item]:
    """Big figures on the line's outer side, small ones beside them; past the end when tight."""
    first, second = words
    along_deg = direction_deg(b[0] - a[0], b[1] - a[1])
    small = big_mm * 0.66
    reading = along_deg % 180.0
    reading = reading - 180.0 if reading > 90.0 + 1e-6 else reading
    gap = 0.35 * big_mm
    first_w, second_w = text_width_mm(first, big_mm), text_width_mm(second, small)
    total = first_w + gap + second_w
    nx, ny = -sin_deg(along_deg) * lift, cos_deg(along_deg) * lift
    ux, uy = cos_deg(reading), sin_deg(reading)
    if total <= distance(a, b) + 6.0:
        rise = 0.72 * big_mm
        cx, cy = (a[0] + b[0]) / 2.0 + nx * rise, (a[1] + b[1]) / 2.0 + ny * rise
        start = (cx - ux * total / 2.0, cy - uy * total / 2.0)
        other = (start[0] + ux * (first_w + gap), start[1] + uy * (first_w + gap))
    else:
        rise = 0.72 * big_mm
        cx, cy = (a[0] + b[0]) / 2.0 + nx * rise, (a[1] + b[1]) / 2.0 + ny * rise
        outer = (cx + nx * 0.95 * big_mm, cy + ny * 0.95 * big_mm)
        upright = ny * cos_deg(reading) - nx * sin_deg(reading) > 0.0
        top, low = (outer, (cx, cy)) if upright else ((cx, cy), outer)
        start = (top[0] - ux * first_w / 2.0, top[1] - uy * first_w / 2.0)
        other = (low[0] - ux * second_w / 2.0, low[1] - uy * second_w / 2.0)
    return [
        Text(
            at=start,
            text=first,
            size_mm=big_mm,
            colour=colour,
            angle_deg=reading,
            anchor=Anchor.START,
            weight=Weight.BOLD,
            layer=_DIM,
        ),
        Text(
            at=other,
            text=second,
            size_mm=small,
            colour=colour,
            angle_deg=reading,
            anchor=Anchor.START,
            layer=_DIM,
        ),
    ]


def angle_arc(
    corner: Point, *, from_deg: float, to_deg: float, radius_mm: float, colour: str = INK
) -> list[Item]:
    """An arc between two directions, anticlockwise, with the angle written beside it."""
    steps = 24
    swept = (to_deg - from_deg) % 360.0
    points = tuple(
        (
            corner[0] + radius_mm * cos_deg(from_deg + swept * i / steps),
            corner[1] + radius_mm * sin_deg(from_deg + swept * i / steps),
        )
        for i in range(steps + 1)
    )
    middle = from_deg + swept / 2.0
    text = degrees(swept)
    reach = radius_mm + 0.6 * text_width_mm(text, BIG_MM)
    at = (corner[0] + reach * cos_deg(middle), corner[1] + reach * sin_deg(middle))
    return [
        Path(points=points, ink=Ink(line=colour, width_mm=0.3), layer=_DIM),
        Text(
            at=at,
            text=text,
            size_mm=BIG_MM,
            colour=colour,
            weight=Weight.BOLD,
            plate=PAPER,
            layer=_DIM,
        ),
    ]


def arrow(
    tail: Point,
    head: Point,
    *,
    colour: str = CHALK,
    width_mm: float = 0.5,
    barb_mm: float = 2.2,
    dash_mm: tuple[float, ...] = (),
    layer: Layer = Layer.MARK,
) -> list[Item]:
    """A line with a two-stroke head, as drawn with chalk."""
    along = direction_deg(tail[0] - head[0], tail[1] - head[1])
    ink = Ink(line=colour, width_mm=width_mm, dash_mm=dash_mm)
    tips = Ink(line=colour, width_mm=width_mm)
    barbs = tuple(
        (
            head[0] + barb_mm * cos_deg(along + s * 28.0),
            head[1] + barb_mm * sin_deg(along + s * 28.0),
        )
        for s in (-1.0, 1.0)
    )
    return [
        Path(points=(tail, head), ink=ink, layer=layer),
        Path(points=(barbs[0], head, barbs[1]), ink=tips, layer=layer),
    ]


def sign(
    at: Point,
    text: str,
    *,
    size_mm: float = SMALL_MM,
    colour: str = INK,
    weight: Weight = Weight.REGULAR,
    angle_deg: float = 0.0,
    anchor: Anchor = Anchor.MIDDLE,
) -> Text:
    """A word on a small paper plate, legible over wood."""
    return Text(
        at=at,
        text=text,
        size_mm=size_mm,
        colour=colour,
        weight=weight,
        angle_deg=angle_deg,
        anchor=anchor,
        plate=PAPER,
    )


def chain(
    places: list[float],
    *,
    y_mm: float,
    sizes_mm: list[float],
    ruler: Ruler,
    big_mm: float = 3.4,
) -> list[Item]:
    """A row of sizes along x, one after another, written below the part."""
    items: list[Item] = []
    for a, b, size in zip(places, places[1:], sizes_mm, strict=True):
        items += dimension(
            (b, y_mm), (a, y_mm), size_mm=size, ruler=ruler, offset_mm=5.0, big_mm=big_mm
        )
    return items


def scaled(polygon: tuple[Point, ...], scale: float) -> tuple[Point, ...]:
    """Points of a part in page millimetres."""
    return tuple((x * scale, y * scale) for x, y in polygon)
