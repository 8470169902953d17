"""Slicing a bar: where each cut falls, what is chalked on first, what is left over."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from seamwright.geometry import (
    IDENTITY,
    Line,
    Motion,
    Point,
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
from seamwright.pictures.steps.easel import Easel, kerf, torn, waste
from seamwright.plan import SawCut, Slice

_GAP_MM = 7.0
"""Room of a break in a long bar, on the page."""
_ROW_MM = 5.2
"""Room a cut's number takes; closer ones stand in a second row."""
_LEAST_MM = 20.0
"""A bar is drawn at least this wide on the page, if need be with a break in its length."""


@dataclass(frozen=True, slots=True)
class _Window:
    """One or two stretches of a bar that are shown, and where on the page they go."""

    scale: float
    spans: tuple[tuple[float, float, float], ...]
    """(from, to) along the bar [mm], and what is added to scaled x [page mm]."""

    def show(self, polygon: Polygon) -> list[Polygon]:
        """The visible parts of a polygon, on the page."""
        shown: list[Polygon] = []
        for start, end, dx in self.spans:
            for part in clip(polygon, Line.at_angle((start, 0.0), 270.0)):
                shown.extend(
                    tuple((x * self.scale + dx, y * self.scale) for x, y in piece)
                    for piece in clip(part, Line.at_angle((end, 0.0), 90.0))
                )
        return shown

    def place(self, x: float, y: float) -> Point | None:
        """Where a point of the bar is on the page, or None where the break hides it."""
        for start, end, dx in self.spans:
            if start - 1e-6 <= x <= end + 1e-6:
                return (x * self.scale + dx, y * self.scale)
        return None


def slice_picture(step: Slice, easel: Easel) -> Picture:
    """A bar on the sled with its cuts numbered, the stop, the angle, the marks and the tail."""
    solid = easel.solids[step.takes]
    x0, y0, x1, y1 = box(solid)
    window = _window(step.cuts, (x0, x1), y1 - y0, easel)
    items: list[Item] = []
    for piece in solid.pieces:
        for outline in window.show(piece.points):
            look = easel.looks[piece.wood]
            items += wood(outline, grain_deg=piece.grain_deg, look=look, edge_mm=0.2)
    bands = [_band(cut, easel.saws.table_kerf_mm, y0, y1) for cut in step.cuts]
    rect = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    for outline in _left_over(rect, step, easel.saws.table_kerf_mm, window):
        items += waste(outline)
    for band in bands:
        items += [kerf(shown) for shown in window.show(band)]
    items += _edges(window, (x0, y0, x1, y1))
    items += _chalk(step, easel, window, (y0, y1))
    items += _numbers(step.cuts, window, y1)
    items += _sizes(step, easel, window, (x0, y0, x1, y1))
    title = (
        f"{step.takes} seen from its show face, {len(step.cuts)} cuts across it, "
        f"each piece between two cuts is one {step.makes}"
    )
    return framed(items, title=title)


def slice_scale(step: Slice, easel: Easel) -> float:
    """Page millimetres per millimetre of the bar."""
    x0, y0, x1, y1 = box(easel.solids[step.takes])
    return _window(step.cuts, (x0, x1), y1 - y0, easel).scale


def _window(
    cuts: tuple[SawCut, ...], ends: tuple[float, float], height: float, easel: Easel
) -> _Window:
    length = ends[1] - ends[0]
    room = easel.width_mm - 26.0
    whole = min(room / length, (easel.height_mm - 28.0) / height, 1.6)
    if whole * height >= _LEAST_MM or len(cuts) < 5:
        return _Window(whole, ((ends[0], ends[1], -ends[0] * whole),))
    pitch = (cuts[-1].at_mm - cuts[0].at_mm) / (len(cuts) - 1)
    lean = max(abs(height * cos_deg(c.angle_deg) / sin_deg(c.angle_deg)) for c in cuts)
    tail = ends[1] - cuts[-1].at_mm
    shown = min(tail, 60.0) + 1.3 * pitch + lean
    head = cuts[0].at_mm - ends[0] + 2.5 * pitch + lean
    scale = min(_LEAST_MM / height, (room - _GAP_MM) / (shown + head))
    if scale <= whole:
        return _Window(whole, ((ends[0], ends[1], -ends[0] * whole),))
    more = max(0.0, (room - _GAP_MM) / scale - shown - head)
    first_to = ends[0] + head + more * 0.6
    last_from = ends[1] - tail - 1.3 * pitch - lean - more * 0.4
    if last_from <= first_to:
        return _Window(whole, ((ends[0], ends[1], -ends[0] * whole),))
    last_to = ends[1] if tail <= 60.0 else min(ends[1], ends[1] - tail + 60.0)
    dx = (first_to - ends[0]) * scale + _GAP_MM - last_from * scale
    return _Window(scale, ((ends[0], first_to, -ends[0] * scale), (last_from, last_to, dx)))


def _band(cut: SawCut, kerf_mm: float, low: float, high: float) -> Polygon:
    lean = cos_deg(cut.angle_deg) / sin_deg(cut.angle_deg)
    wide = kerf_mm / sin_deg(cut.angle_deg)
    a, b = cut.at_mm + low * lean, cut.at_mm + high * lean
    return ((a, low), (a + wide, low), (b + wide, high), (b, high))


def _left_over(rect: Polygon, step: Slice, kerf_mm: float, window: _Window) -> list[Polygon]:
    """The squared-off end and the tail, where they are offcuts."""
    first, last = step.cuts[0], step.cuts[-1]
    parts: list[Polygon] = []
    if not step.squared:
        parts += clip(rect, Line.at_angle((first.at_mm, 0.0), first.angle_deg))
    if not step.rest:
        face = Line.at_angle((last.at_mm, 0.0), last.angle_deg).shifted(-kerf_mm)
        parts += clip(rect, face.reversed())
    return [shown for part in parts for shown in window.show(part)]


def faces(step: Slice, kerf_mm: float) -> tuple[SawCut, ...]:
    """The cuts, with the bar's clean end in front as if it had been sawn, where it is true."""
    if not step.squared:
        return step.cuts
    twin = step.cuts[1] if step.head_to_tail and len(step.cuts) > 1 else step.cuts[0]
    at_mm = -kerf_mm / sin_deg(twin.angle_deg)
    return (SawCut(at_mm=at_mm, angle_deg=twin.angle_deg), *step.cuts)


def _edges(window: _Window, ends: tuple[float, float, float, float]) -> list[Item]:
    """The fence below, and a torn edge at each side of a break."""
    _, y0, _, y1 = ends
    items: list[Item] = []
    for start, end, dx in window.spans:
        a, b = start * window.scale + dx, end * window.scale + dx
        items.append(
            Path(
                points=((a, y0 * window.scale - 0.7), (b, y0 * window.scale - 0.7)),
                ink=Ink(line=CHALK, width_mm=1.0),
                layer=Layer.MARK,
            )
        )
    if len(window.spans) == 2:
        (start, end, dx), (again, _, dx2) = window.spans
        for x, side in ((end * window.scale + dx, 1.0), (again * window.scale + dx2, -1.0)):
            items.append(torn(x, side, y0 * window.scale, y1 * window.scale))
        del start
    return items


def _chalk(step: Slice, easel: Easel, window: _Window, heights: tuple[float, float]) -> list[Item]:
    """The triangle over all slices, and one arrow on each."""
    kerf_mm = easel.saws.table_kerf_mm
    low, high = heights
    sawn = faces(step, kerf_mm)
    pieces = [_between(a, b, kerf_mm, low, high) for a, b in pairwise(sawn)]
    shown = [outline for piece in pieces for outline in window.show(piece)]
    x0, y0, x1, y1 = bounds(p for outline in shown for p in outline)
    items = triangle(shown, across_deg=0.0, box=(x0, y0, x1, y1))
    for number, piece in enumerate(pieces):
        at = window.place(*centroid(piece))
        if at is None or len(window.show(piece)) != 1:
            continue
        turned = step.head_to_tail and number % 2 == 1
        length = min(reach(window.show(piece)[0]), 9.0)
        items += part_arrow(at, length_mm=length, at=Motion(turn_deg=180.0) if turned else IDENTITY)
    return items


def _between(a: SawCut, b: SawCut, kerf_mm: float, low: float, high: float) -> Polygon:
    left, right = _band(a, kerf_mm, low, high), _band(b, kerf_mm, low, high)
    return (left[1], right[0], right[3], left[2])


def _numbers(cuts: tuple[SawCut, ...], window: _Window, high: float) -> list[Item]:
    items: list[Item] = []
    last = {0.0: -1e9, _ROW_MM: -1e9}
    for number, cut in enumerate(cuts, start=1):
        lean = cos_deg(cut.angle_deg) / sin_deg(cut.angle_deg)
        at = window.place(cut.at_mm + high * lean, high)
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
    step: Slice, easel: Easel, window: _Window, ends: tuple[float, float, float, float]
) -> list[Item]:
    x0, y0, _, y1 = ends
    items: list[Item] = []
    wide = easel.saws.table_kerf_mm / sin_deg(step.cuts[0].angle_deg)
    sawn = faces(step, easel.saws.table_kerf_mm)
    a, b = sawn[0].at_mm + wide, sawn[1].at_mm
    left, right = window.place(a, y0), window.place(b, y0)
    if left and right and right[0] > left[0]:
        items += dimension(
            right, left, size_mm=b - a, ruler=easel.ruler, offset_mm=6.5, colour=CHALK
        )
    low, high = window.place(x0, y0), window.place(x0, y1)
    if low and high:
        items += dimension(low, high, size_mm=y1 - y0, ruler=easel.ruler, offset_mm=5.0, big_mm=3.6)
    if abs(step.cuts[0].angle_deg - 90.0) > 1e-6:
        items += _angle(step, window, y0, wide)
    items += _tail(step, window, y0)
    return items


def _angle(step: Slice, window: _Window, low: float, wide: float) -> list[Item]:
    """The acute angle between the first cut and the fence."""
    if step.squared:
        return []
    first = step.cuts[0]
    leans_right = first.angle_deg < 90.0
    corner = window.place(first.at_mm + (wide if leans_right else 0.0), low)
    if corner is None:
        return []
    start, end = (0.0, first.angle_deg) if leans_right else (first.angle_deg, 180.0)
    return angle_arc(corner, from_deg=start, to_deg=end, radius_mm=8.0, colour=CHALK)


def _tail(step: Slice, window: _Window, low: float) -> list[Item]:
    end = window.place(window.spans[-1][1], low)
    tail = window.place(step.cuts[-1].at_mm, low)
    if end is None or tail is None:
        return []
    at = ((end[0] + tail[0]) / 2.0, end[1] - 4.0)
    if step.rest:
        return [sign(at, f"{step.rest}, sliced next", weight=Weight.BOLD)]
    return [sign(at, "tail", colour=QUIET)]
