"""Slices from bars: when a part is a slice of something longer.

A part is a slice when its seams are parallel, every piece runs from end to end between them, and
all grain runs along them. A single piece is a slice of a stick, or one of several cut head to tail
where its two ends lean differently.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from seamwright.geometry import (
    ANGLE_DEG,
    ON_LINE_MM,
    Line,
    Motion,
    Point,
    Polygon,
    angle_between,
    drop_collinear,
    sin_deg,
)
from seamwright.planner.canon import STEPS_PER_MM
from seamwright.planner.cells import Cell
from seamwright.planner.options import Bar, Cut, Strip

_ANGLE_STEPS = 1000
LEAST_SLANT_DEG = 25.0
"""No sled cuts flatter than this against the bar (common practice, no source)."""


@dataclass(slots=True)
class BarBook:
    """Every bar met so far, so that equal bars are one."""

    kerf_mm: float
    bars: list[Bar]
    numbers: dict[tuple[object, ...], int]

    def number(self, bar: Bar) -> int:
        """The number of a bar, a new one if it is new."""
        key = (
            tuple((s.wood, round(s.width_mm * STEPS_PER_MM)) for s in bar.strips),
            bar.style,
        )
        if key not in self.numbers:
            self.numbers[key] = len(self.bars)
            self.bars.append(bar)
        return self.numbers[key]


@dataclass(frozen=True, slots=True)
class _Shape:
    """A region between two lines along x: where its ends meet them."""

    low: float
    high: float
    bottom: tuple[float, float]
    top: tuple[float, float]

    @property
    def width_low(self) -> float:
        return self.bottom[1] - self.bottom[0]

    @property
    def width_high(self) -> float:
        return self.top[1] - self.top[0]


def slice_option(cells: Sequence[Cell], hull: Polygon, book: BarBook) -> Cut | None:
    """The way to slice a region from a bar, if there is one.

    Args:
        cells: convex cells that tile the region, in its own frame [mm].
        hull: outline of the region.
        book: known bars; a new bar is entered.
    """
    along = cells[0].grain_deg
    if any(angle_between(cell.grain_deg, along) > ANGLE_DEG for cell in cells):
        return None
    laid = Motion(turn_deg=-along)
    shape = _between_parallels(laid.polygon(hull))
    if shape is None:
        return None
    height = shape.high - shape.low
    parallel = abs(shape.width_low - shape.width_high) <= ON_LINE_MM
    if len(cells) > 1 and not parallel:
        return None
    layers = _layers(cells, laid, shape)
    if layers is None:
        return None
    angles = (
        _lean(shape.bottom[0], shape.top[0], height),
        _lean(shape.bottom[1], shape.top[1], height),
    )
    if any(not LEAST_SLANT_DEG <= a <= 180.0 - LEAST_SLANT_DEG for a in angles):
        return None
    upside_down = shape.width_low < shape.width_high - ON_LINE_MM
    if upside_down or (parallel and _reads_backwards(layers)):
        # turned by 180° the layers read the other way and the angles change places
        laid = Motion(turn_deg=180.0).after(laid)
        layers, angles = layers[::-1], angles[::-1]
    mirrored = (180.0 - angles[1], 180.0 - angles[0])
    if mirrored < (angles[0] - ANGLE_DEG, angles[1]):
        # turned over end for end both ends lean the other way
        laid = Motion(turn_deg=180.0, over=True).after(laid)
        angles = mirrored
    shape = _between_parallels(laid.polygon(hull)) or shape
    return _cut(layers, shape, angles, laid, parallel, book)


def _cut(
    layers: tuple[Strip, ...],
    shape: _Shape,
    angles: tuple[float, float],
    laid: Motion,
    parallel: bool,
    book: BarBook,
) -> Cut:
    bottom, top = shape.width_low, shape.width_high
    kerfs = [book.kerf_mm / sin_deg(angle) for angle in angles]
    lean = [abs(shape.top[i] - shape.bottom[i]) for i in (0, 1)]
    style: tuple[int, ...]
    if parallel:
        square = abs(angles[0] - 90.0) <= ANGLE_DEG
        style = (0,) if square else (1, round(angles[0] * _ANGLE_STEPS))
        wedge, pitch = lean[0], bottom + kerfs[0]
    else:
        style = (2, round(bottom * STEPS_PER_MM), *(round(a * _ANGLE_STEPS) for a in angles))
        wedge = max(lean) + abs(bottom - top) / 2.0
        pitch = (bottom + top + kerfs[0] + kerfs[1]) / 2.0
    number = book.number(
        Bar(strips=layers, style=style, height_mm=shape.high - shape.low, wedge_mm=wedge)
    )
    origin: Point = (shape.bottom[0], shape.low)
    return Cut(
        bar=number,
        length_mm=bottom,
        pitch_mm=pitch,
        angles_deg=angles,
        head_to_tail=not parallel,
        top_mm=top,
        at=laid.inverse().after(Motion(x_mm=origin[0], y_mm=origin[1])),
    )


def _between_parallels(hull: Polygon) -> _Shape | None:
    """The hull as a trapezoid, triangle or parallelogram on y = low; None if it is neither."""
    ring = drop_collinear(hull)
    low, high = min(p[1] for p in ring), max(p[1] for p in ring)
    at_low = sorted(p[0] for p in ring if p[1] - low <= ON_LINE_MM)
    at_high = sorted(p[0] for p in ring if high - p[1] <= ON_LINE_MM)
    if len(at_low) + len(at_high) != len(ring) or len(ring) > 4 or len(ring) < 3:
        return None
    return _Shape(low, high, (at_low[0], at_low[-1]), (at_high[0], at_high[-1]))


def _layers(cells: Sequence[Cell], laid: Motion, shape: _Shape) -> tuple[Strip, ...] | None:
    """Layers from low to high, if every cell runs from one end of the region to the other."""
    ends = (
        Line.through((shape.bottom[0], shape.low), (shape.top[0], shape.high)),
        Line.through((shape.bottom[1], shape.low), (shape.top[1], shape.high)),
    )
    rows: list[tuple[float, float, str]] = []
    for cell in cells:
        part = _between_parallels(laid.polygon(cell.polygon))
        if part is None:
            return None
        for i in (0, 1):
            if (
                abs(ends[i].side((part.bottom[i], part.low))) > ON_LINE_MM
                or abs(ends[i].side((part.top[i], part.high))) > ON_LINE_MM
            ):
                return None
        rows.append((part.low, part.high, cell.wood))
    rows.sort()
    return tuple(Strip(wood, high - low) for low, high, wood in rows)


def _lean(bottom: float, top: float, height: float) -> float:
    line = Line.through((bottom, 0.0), (top, height))
    return line.angle_deg


def _reads_backwards(layers: Sequence[Strip]) -> bool:
    there = [(s.wood, round(s.width_mm * STEPS_PER_MM)) for s in layers]
    return there[::-1] < there
