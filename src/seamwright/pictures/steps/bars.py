"""Slicing a bar: where each cut falls, what is chalked on first, what is left over."""

from __future__ import annotations

from itertools import pairwise

from seamwright.geometry import (
    IDENTITY,
    Line,
    Motion,
    Polygon,
    bounds,
    centroid,
    clip,
    cos_deg,
    sin_deg,
)
from seamwright.pictures.dimensions import SMALL_MM, angle_arc, dimension, sign
from seamwright.pictures.hatching import wood
from seamwright.pictures.looks import CHALK, INK, PAPER, QUIET
from seamwright.pictures.marks import part_arrow, reach, triangle
from seamwright.pictures.primitives import (
    Disc,
    Ink,
    Item,
    Layer,
    Path,
    Picture,
    Text,
    Weight,
    framed,
)
from seamwright.pictures.solids import box
from seamwright.pictures.steps.easel import Easel, kerf, waste
from seamwright.pictures.steps.windows import Window, window
from seamwright.plan import SawCut, Slice

_ROW_MM = 5.2
"""Room a cut's number takes; closer ones stand in a second row."""


def slice_picture(step: Slice, easel: Easel) -> Picture:
    """A bar on the sled with its cuts numbered, the stop, the angle, the marks and the tail."""
    solid = easel.solids[step.takes]
    x0, y0, x1, y1 = box(solid)
    view = window(step.cuts, (x0, x1), y1 - y0, easel)
    items: list[Item] = []
    for piece in solid.pieces:
        for outline in view.show(piece.points):
            look = easel.looks[piece.wood]
            items += wood(outline, grain_deg=piece.grain_deg, look=look, edge_mm=0.2)
    bands = [_band(cut, easel.saws.table_kerf_mm, y0, y1) for cut in step.cuts]
    rect = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    for outline in _left_over(rect, step, easel.saws.table_kerf_mm, view):
        items += waste(outline)
    for band in bands:
        items += [kerf(shown) for shown in view.show(band)]
    items += _edges(view, (x0, y0, x1, y1))
    items += _chalk(step, easel, view, (y0, y1))
    items += _numbers(step.cuts, view, y1)
    items += _sizes(step, easel, view, (x0, y0, x1, y1))
    title = (
        f"{step.takes} seen from its show face, {len(step.cuts)} cuts across it, "
        f"each piece between two cuts is one {step.makes}"
    )
    return framed(items, title=title)


def slice_scale(step: Slice, easel: Easel) -> float:
    """Page millimetres per millimetre of the bar."""
    x0, y0, x1, y1 = box(easel.solids[step.takes])
    return window(step.cuts, (x0, x1), y1 - y0, easel).scale


def _band(cut: SawCut, kerf_mm: float, low: float, high: float) -> Polygon:
    lean = cos_deg(cut.angle_deg) / sin_deg(cut.angle_deg)
    wide = kerf_mm / sin_deg(cut.angle_deg)
    a, b = cut.at_mm + low * lean, cut.at_mm + high * lean
    return ((a, low), (a + wide, low), (b + wide, high), (b, high))


def _left_over(rect: Polygon, step: Slice, kerf_mm: float, view: Window) -> list[Polygon]:
    """The squared-off end and the tail, where they are offcuts."""
    first, last = step.cuts[0], step.cuts[-1]
    parts: list[Polygon] = []
    if not step.squared:
        parts += clip(rect, Line.at_angle((first.at_mm, 0.0), first.angle_deg))
    if not step.rest:
        face = Line.at_angle((last.at_mm, 0.0), last.angle_deg).shifted(-kerf_mm)
        parts += clip(rect, face.reversed())
    return [shown for part in parts for shown in view.show(part)]


def faces(step: Slice, kerf_mm: float) -> tuple[SawCut, ...]:
    """The cuts, with the bar's clean end in front as if it had been sawn, where it is true."""
    if not step.squared:
        return step.cuts
    twin = step.cuts[1] if step.head_to_tail and len(step.cuts) > 1 else step.cuts[0]
    at_mm = -kerf_mm / sin_deg(twin.angle_deg)
    return (SawCut(at_mm=at_mm, angle_deg=twin.angle_deg), *step.cuts)


def _edges(view: Window, ends: tuple[float, float, float, float]) -> list[Item]:
    """The fence below, and a torn edge at each side of a break."""
    _, y0, _, y1 = ends
    items: list[Item] = []
    for start, end, dx in view.spans:
        a, b = start * view.scale + dx, end * view.scale + dx
        items.append(
            Path(
                points=((a, y0 * view.scale - 0.7), (b, y0 * view.scale - 0.7)),
                ink=Ink(line=CHALK, width_mm=1.0),
                layer=Layer.MARK,
            )
        )
    items += view.breaks(y0, y1)
    return items


def _chalk(step: Slice, easel: Easel, view: Window, heights: tuple[float, float]) -> list[Item]:
    """The triangle over all slices, and one arrow on each."""
    kerf_mm = easel.saws.table_kerf_mm
    low, high = heights
    sawn = faces(step, kerf_mm)
    pieces = [_between(a, b, kerf_mm, low, high) for a, b in pairwise(sawn)]
    shown = [outline for piece in pieces for outline in view.show(piece)]
    x0, y0, x1, y1 = bounds(p for outline in shown for p in outline)
    inset = 0.12 * (y1 - y0)
    foot = x0 + 0.03 * (x1 - x0)
    base = ((foot, y0 + inset), (foot, y1 - inset))
    items = triangle(shown, base=base, tip=(x1, (y0 + y1) / 2.0))
    for number, piece in enumerate(pieces):
        seen = view.show(piece)
        if not seen:
            continue
        at = view.place(*centroid(piece)) or centroid(seen[0])
        turned = step.head_to_tail and number % 2 == 1
        length = min(reach(seen[0]), 9.0)
        items += part_arrow(at, length_mm=length, at=Motion(turn_deg=180.0) if turned else IDENTITY)
    return items


def _between(a: SawCut, b: SawCut, kerf_mm: float, low: float, high: float) -> Polygon:
    left, right = _band(a, kerf_mm, low, high), _band(b, kerf_mm, low, high)
    return (left[1], right[0], right[3], left[2])


def _numbers(cuts: tuple[SawCut, ...], view: Window, high: float) -> list[Item]:
    items: list[Item] = []
    last = {0.0: -1e9, _ROW_MM: -1e9}
    for number, cut in enumerate(cuts, start=1):
        lean = cos_deg(cut.angle_deg) / sin_deg(cut.angle_deg)
        at = view.place(cut.at_mm + high * lean, high)
        if at is None:
            continue
        rise = next((row for row, x in last.items() if at[0] - x >= _ROW_MM), None)
        if rise is None:
            continue
        last[rise] = at[0]
        centre = (at[0] + 0.5, at[1] + 4.0 + rise)
        items.append(
            Disc(centre=centre, radius_mm=2.3, ink=Ink(line=INK, fill=PAPER, width_mm=0.25))
        )
        items.append(
            Text(at=centre, text=str(number), size_mm=SMALL_MM, colour=INK, weight=Weight.BOLD)
        )
    return items


def _sizes(
    step: Slice, easel: Easel, view: Window, ends: tuple[float, float, float, float]
) -> list[Item]:
    x0, y0, _, y1 = ends
    items: list[Item] = []
    wide = easel.saws.table_kerf_mm / sin_deg(step.cuts[0].angle_deg)
    sawn = faces(step, easel.saws.table_kerf_mm)
    a, b = sawn[0].at_mm + wide, sawn[1].at_mm
    left, right = view.place(a, y0), view.place(b, y0)
    if left and right and right[0] > left[0]:
        items += dimension(
            right, left, size_mm=b - a, ruler=easel.ruler, offset_mm=6.5, colour=CHALK
        )
    low, high = view.place(x0, y0), view.place(x0, y1)
    if low and high:
        items += dimension(low, high, size_mm=y1 - y0, ruler=easel.ruler, offset_mm=5.0, big_mm=3.6)
    if abs(step.cuts[0].angle_deg - 90.0) > 1e-6:
        items += _angle(step, view, y0, wide)
    items += _tail(step, view, y0)
    return items


def _angle(step: Slice, view: Window, low: float, wide: float) -> list[Item]:
    """The acute angle between the first cut and the fence."""
    if step.squared:
        return []
    first = step.cuts[0]
    leans_right = first.angle_deg < 90.0
    corner = view.place(first.at_mm + (wide if leans_right else 0.0), low)
    if corner is None:
        return []
    start, end = (0.0, first.angle_deg) if leans_right else (first.angle_deg, 180.0)
    return angle_arc(corner, from_deg=start, to_deg=end, radius_mm=8.0, colour=CHALK)


def _tail(step: Slice, view: Window, low: float) -> list[Item]:
    end = view.place(view.spans[-1][1], low)
    tail = view.place(step.cuts[-1].at_mm, low)
    if end is None or tail is None:
        return []
    at = ((end[0] + tail[0]) / 2.0, end[1] - 4.0)
    if step.rest:
        return [sign(at, f"{step.rest}, sliced next", weight=Weight.BOLD)]
    return [sign(at, "offcut" if step.apart else "tail", colour=QUIET)]
