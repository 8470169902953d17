"""Chalk marks that keep order and face through sawing: the triangle, and one arrow per part.

The rule is the same on every sheet: each part has one arrow on its show face, up its own frame.
It is drawn *before* the saw frees the part, so a part always carries its arrow. Where a sheet
lays parts down, the arrow is drawn as it must then lie; dashed where it is on the face below.
"""

from __future__ import annotations

from seamwright.geometry import Motion, Point, bounds, centroid, cos_deg, sin_deg
from seamwright.pictures.dimensions import SMALL_MM, arrow, sign
from seamwright.pictures.looks import CHALK, PAPER
from seamwright.pictures.primitives import Ink, Item, Layer, Path, Weight, text_width_mm

Polygon = tuple[Point, ...]


def part_arrow(
    centre: Point, *, length_mm: float, at: Motion, name: str = "", name_mm: float = SMALL_MM
) -> list[Item]:
    """A part's arrow where it lies.

    Args:
        centre: middle of the part [page mm].
        length_mm: length of the arrow [page mm].
        at: how the part lies; its turn and whether it is turned over decide the arrow.
        name: name to write beside the arrow; "" for none.
    """
    up = 270.0 if at.over else 90.0
    angle = up + at.turn_deg
    dx, dy = cos_deg(angle) * length_mm / 2.0, sin_deg(angle) * length_mm / 2.0
    tail, head = (centre[0] - dx, centre[1] - dy), (centre[0] + dx, centre[1] + dy)
    barb = max(0.8, min(2.2, 0.36 * length_mm))
    halo = arrow(tail, head, colour=PAPER, width_mm=1.3, barb_mm=barb)
    ink = arrow(tail, head, width_mm=0.55, barb_mm=barb, dash_mm=(0.9, 0.7) if at.over else ())
    items = [*halo, *ink]
    if name:
        gap = 0.5 * text_width_mm(name, name_mm) + max(1.0, 0.25 * length_mm) + 0.4
        sideways = gap + (length_mm / 2.0 if abs(dx) > abs(dy) else 0.0)
        at_name = (centre[0] + sideways, centre[1])
        items.append(sign(at_name, name, size_mm=name_mm, weight=Weight.BOLD))
    return items


def triangle(polygons: list[Polygon], *, base: tuple[Point, Point], tip: Point) -> list[Item]:
    """A cabinet-maker's triangle over a lay-up, drawn only where there is wood.

    Args:
        polygons: the parts as they lie [page mm].
        base: the ends of its short side, on the first part [page mm].
        tip: its point, on the last part [page mm].
    """
    items: list[Item] = []
    for start, end in ((base[0], tip), (base[1], tip), base):
        for piece in _inside(start, end, polygons):
            items.append(Path(points=piece, ink=_HALO, layer=Layer.MARK))
            items.append(Path(points=piece, ink=_CHALK, layer=Layer.MARK))
    return items


def across(first: list[Polygon], last: list[Polygon], normal_deg: float) -> Triangle:
    """Base and tip of a triangle from the first part of a lay-up to the last.

    Args:
        first, last: outlines of the outermost parts as they lie [page mm].
        normal_deg: direction from the first to the last, square to the glue lines [°].
    """
    nx, ny = cos_deg(normal_deg), sin_deg(normal_deg)
    points = [p for outline in first for p in outline]
    along = [nx * y - ny * x for x, y in points]
    rise = [nx * x + ny * y for x, y in points]
    middle, half = (min(along) + max(along)) / 2.0, 0.4 * (max(along) - min(along))
    low = min(rise) + 0.15 * (max(rise) - min(rise))
    top_points = [p for outline in last for p in outline]
    top = max(nx * x + ny * y for x, y in top_points)
    rim = [nx * y - ny * x for x, y in top_points]

    def place(out: float, side: float) -> Point:
        return (nx * out - ny * side, ny * out + nx * side)

    ends = (place(low, middle - half), place(low, middle + half))
    return ends, place(top, (min(rim) + max(rim)) / 2.0)


Triangle = tuple[tuple[Point, Point], Point]
"""Ends of the base, and the tip."""
_CHALK = Ink(line=CHALK, width_mm=0.45)
_HALO = Ink(line=PAPER, width_mm=1.0)


def _inside(a: Point, b: Point, polygons: list[Polygon]) -> list[tuple[Point, Point]]:
    """The stretches of a segment inside convex polygons."""
    kept: list[tuple[Point, Point]] = []
    for polygon in polygons:
        enter, leave = 0.0, 1.0
        cx, cy = centroid(polygon)
        for p, q in zip(polygon, polygon[1:] + polygon[:1], strict=True):
            ex, ey = q[0] - p[0], q[1] - p[1]
            inward = 1.0 if ex * (cy - p[1]) - ey * (cx - p[0]) > 0.0 else -1.0
            start = inward * (ex * (a[1] - p[1]) - ey * (a[0] - p[0]))
            end = inward * (ex * (b[1] - p[1]) - ey * (b[0] - p[0]))
            if start < 0.0 and end < 0.0:
                enter, leave = 1.0, 0.0
            elif start < 0.0:
                enter = max(enter, start / (start - end))
            elif end < 0.0:
                leave = min(leave, start / (start - end))
        if leave - enter > 1e-6:
            kept.append((_between(a, b, enter), _between(a, b, leave)))
    return kept


def _between(a: Point, b: Point, share: float) -> Point:
    return (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share)


def pose(at: Motion) -> str:
    """How a part lies, in words; "" where it lies as it was made."""
    turn = round(at.turn_deg % 360.0, 3)
    if at.over:
        return "turned over" if turn in (0.0, 180.0) else f"turned over, {turn:g}° round"
    if turn == 0.0:
        return ""
    return "end for end" if turn == 180.0 else f"{turn:g}° round"


def reach(polygon: Polygon) -> float:
    """A good arrow length for a part of this outline [page mm]."""
    x0, y0, x1, y1 = bounds(polygon)
    return max(1.6, min(9.0, 0.6 * min(x1 - x0, y1 - y0) + 1.0))
