"""Milling a stick: its face with the grain, and its end."""

from __future__ import annotations

from seamwright.geometry import IDENTITY, Line, Polygon, clip
from seamwright.pictures.dimensions import dimension, sign
from seamwright.pictures.hatching import wood
from seamwright.pictures.looks import INK
from seamwright.pictures.marks import part_arrow
from seamwright.pictures.primitives import Ink, Item, Layer, Path, Picture, Weight, beside, framed
from seamwright.pictures.steps.easel import Easel, torn
from seamwright.plan import Mill


def mill_picture(step: Mill, easel: Easel) -> Picture:
    """A stick from its show face, broken where it is long, and its end beside it."""
    room = easel.width_mm - 54.0
    scale = min((easel.height_mm - 13.0) / step.width_mm, 17.0 / step.depth_mm, 1.0)
    face = _face(step, easel, scale, room)
    return beside((face, _end(step, easel, scale)), gap_mm=5.0, title=face.title)


def _face(step: Mill, easel: Easel, scale: float, room: float) -> Picture:
    look = easel.looks[step.wood]
    long = min(step.length_mm * scale, room)
    broken = step.length_mm * scale > room + 1e-6
    high = step.width_mm * scale
    rect: Polygon = ((0.0, 0.0), (long, 0.0), (long, high), (0.0, high))
    items: list[Item] = []
    gap = 5.0
    halves = [rect]
    if broken:
        halves = [
            *clip(rect, Line.at_angle((0.58 * long, 0.0), 90.0)),
            *clip(rect, Line.at_angle((0.58 * long + gap, 0.0), 270.0)),
        ]
    for part in halves:
        items += wood(part, grain_deg=0.0, look=look)
    if broken:
        items.append(torn(0.58 * long, 1.0, 0.0, high))
        items.append(torn(0.58 * long + gap, -1.0, 0.0, high))
    items.append(sign((0.3 * long, high / 2.0), step.makes, size_mm=4.6, weight=Weight.BOLD))
    items += part_arrow(
        (0.3 * long - 12.0, high / 2.0), length_mm=min(9.0, 0.8 * high), at=IDENTITY
    )
    items += dimension(
        (long, 0.0), (0.0, 0.0), size_mm=step.length_mm, ruler=easel.ruler, offset_mm=6.0
    )
    items += dimension(
        (0.0, 0.0), (0.0, high), size_mm=step.width_mm, ruler=easel.ruler, offset_mm=6.0
    )
    title = f"Stick {step.makes} of {look.name}, its show face and its end"
    return framed(items, title=title)


def _end(step: Mill, easel: Easel, scale: float) -> Picture:
    """The end: depth to the right, width up, growth rings hinted."""
    look = easel.looks[step.wood]
    wide, high = step.depth_mm * scale, step.width_mm * scale
    rect: Polygon = ((0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high))
    items: list[Item] = [
        Path(points=rect, closed=True, ink=Ink(fill=look.fill)),
        *_rings(wide, high, look.line),
        Path(points=rect, closed=True, ink=Ink(line=INK, width_mm=0.3)),
    ]
    items += dimension(
        (wide, 0.0), (0.0, 0.0), size_mm=step.depth_mm, ruler=easel.ruler, offset_mm=6.0
    )
    items.append(sign((wide / 2.0, high + 3.2), "end"))
    return framed(items, title="end")


def _rings(wide: float, high: float, colour: str) -> list[Item]:
    ink = Ink(line=colour, width_mm=0.18)
    items: list[Item] = []
    centre_x, centre_y = wide * 0.5, -0.9 * high
    for step in range(1, 40):
        radius = 0.9 * high + step * 1.7
        points = []
        for i in range(31):
            x = wide * i / 30.0
            inside = radius * radius - (x - centre_x) ** 2
            y = centre_y + inside**0.5 if inside > 0 else -1.0
            if 0.0 <= y <= high:
                points.append((x, y))
        if len(points) > 2:
            items.append(Path(points=tuple(points), ink=ink, layer=Layer.GRAIN))
    return items
