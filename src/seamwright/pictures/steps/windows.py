"""Which stretches of a long bar are shown, so that its cuts stay large enough to read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from seamwright.geometry import Line, Point, Polygon, clip, cos_deg, sin_deg
from seamwright.pictures.primitives import Item
from seamwright.pictures.steps.easel import Easel, torn
from seamwright.plan import SawCut

_GAP_MM = 7.0
"""Room of a break in a long bar, on the page."""
_LEAST_MM = 20.0
"""A bar is drawn at least this wide on the page, if need be with a break in its length."""
_SLIM_MM = 11.0
"""A bar with few cuts may be this slim before long pieces are broken."""
_BESIDE_MM = 16.0
"""Wood shown on each side of a cut where long pieces are broken [page mm]."""
_TAIL_MM = 60.0
_FEW_CUTS = 5
_SIDES_MM = 26.0
_ABOVE_MM = 28.0
_LARGEST = 1.6


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """The stretches of a bar that are shown, and where on the page they go.

    Attributes:
        scale: page millimetres per millimetre.
        spans: (from, to) along the bar [mm], and what is added to scaled x [page mm].
    """

    scale: float
    spans: tuple[tuple[float, float, float], ...]

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
        """Where a point of the bar is on the page, or None where a break hides it."""
        for start, end, dx in self.spans:
            if start - 1e-6 <= x <= end + 1e-6:
                return (x * self.scale + dx, y * self.scale)
        return None

    def breaks(self, low: float, high: float) -> list[Item]:
        """A torn edge at each side of every break, between two heights of the bar [mm]."""
        items: list[Item] = []
        for (_, end, dx), (start, _, dx2) in pairwise(self.spans):
            for x, side in ((end * self.scale + dx, 1.0), (start * self.scale + dx2, -1.0)):
                items.append(torn(x, side, low * self.scale, high * self.scale))
        return items


def window(
    cuts: Sequence[SawCut], ends: tuple[float, float], height_mm: float, easel: Easel
) -> Window:
    """How a bar with its cuts is shown: whole where that is legible, else with breaks.

    Args:
        cuts: left to right.
        ends: of the bar along x [mm].
        height_mm: of the bar [mm].
        easel: room on the page.
    """
    room = easel.width_mm - _SIDES_MM
    length = ends[1] - ends[0]
    whole = min(room / length, (easel.height_mm - _ABOVE_MM) / height_mm, _LARGEST)
    uncut = Window(scale=whole, spans=((ends[0], ends[1], -ends[0] * whole),))
    if whole * height_mm >= _LEAST_MM:
        return uncut
    if len(cuts) >= _FEW_CUTS:
        return _middle_left_out(cuts, ends, height_mm, room) or uncut
    if whole * height_mm >= _SLIM_MM:
        return uncut
    return _pieces_broken(cuts, ends, height_mm, room) or uncut


def _lean(cuts: Sequence[SawCut], height_mm: float) -> float:
    return max(abs(height_mm * cos_deg(c.angle_deg) / sin_deg(c.angle_deg)) for c in cuts)


def _middle_left_out(
    cuts: Sequence[SawCut], ends: tuple[float, float], height_mm: float, room: float
) -> Window | None:
    """The first and the last few of many equal pieces."""
    pitch = (cuts[-1].at_mm - cuts[0].at_mm) / (len(cuts) - 1)
    lean = _lean(cuts, height_mm)
    tail = ends[1] - cuts[-1].at_mm
    shown = min(tail, _TAIL_MM) + 1.3 * pitch + lean
    head = cuts[0].at_mm - ends[0] + 2.5 * pitch + lean
    scale = min(_LEAST_MM / height_mm, (room - _GAP_MM) / (shown + head))
    if scale <= room / (ends[1] - ends[0]):
        return None
    more = max(0.0, (room - _GAP_MM) / scale - shown - head)
    first_to = ends[0] + head + more * 0.6
    last_from = ends[1] - tail - 1.3 * pitch - lean - more * 0.4
    if last_from <= first_to:
        return None
    last_to = ends[1] if tail <= _TAIL_MM else ends[1] - tail + _TAIL_MM
    return _laid(((ends[0], first_to), (last_from, last_to)), scale)


def _pieces_broken(
    cuts: Sequence[SawCut], ends: tuple[float, float], height_mm: float, room: float
) -> Window | None:
    """A little wood on each side of every cut; long pieces broken in their middle."""
    scale = min(_LEAST_MM / height_mm, _LARGEST)
    lean = _lean(cuts, height_mm)
    beside = min(_BESIDE_MM, (room / len(cuts) - _GAP_MM) / 2.0) / scale
    if beside <= lean:
        return None
    spans: list[tuple[float, float]] = []
    for cut in cuts:
        start, end = (
            max(ends[0], cut.at_mm - beside - lean),
            min(ends[1], cut.at_mm + beside + lean),
        )
        if spans and start <= spans[-1][1] + _GAP_MM / scale:
            spans[-1] = (spans[-1][0], end)
        else:
            spans.append((start, end))
    spans[0] = (ends[0], spans[0][1])
    made = _laid(spans, scale)
    _, last, dx = made.spans[-1]
    return made if last * scale + dx <= room + 1e-6 else None


def _laid(spans: Sequence[tuple[float, float]], scale: float) -> Window:
    """Stretches one after another with gaps between."""
    placed: list[tuple[float, float, float]] = []
    x = 0.0
    for start, end in spans:
        placed.append((start, end, x - start * scale))
        x += (end - start) * scale + _GAP_MM
    return Window(scale=scale, spans=tuple(placed))
