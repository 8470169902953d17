"""Pushing parts into inside corners: two directions of glue lines closed by one push."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from seamwright.bench.model import GlueLine, Piece
from seamwright.bench.notes import Notes, mm
from seamwright.bench.tolerance import CONTACT_MM, TOUCH_MM
from seamwright.bench.touching import (
    boxes,
    common_area,
    faces_on,
    groups,
    near_boxes,
    near_pairs,
    on_line,
    shared,
)
from seamwright.geometry import (
    Line,
    Point,
    Polygon,
    angle_between,
    bounds,
    convex_hull,
    cos_deg,
    distance,
    sin_deg,
)

LEAST_PRESS_DEG = 14.0
"""A push that meets a glue line flatter than this slides along it (common practice, no source)."""
_SAME_DEG = 0.02
_GRAZE_MM2 = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """A part in its place."""

    kind: str
    pieces: tuple[Piece, ...]


@dataclass(frozen=True, slots=True)
class _Contact:
    """A stretch where two parts touch, and the direction [°] that leads off the earlier one."""

    start: Point
    end: Point
    away_deg: float


def close_corners(
    parts: Sequence[Laid], seams_deg: tuple[float, float], *, press_deg: float, notes: Notes
) -> list[GlueLine]:
    """Glue lines of parts that are pushed home one after another.

    Args:
        parts: in the order in which they are laid.
        seams_deg: the two directions of glue lines that are closed [°].
        press_deg: direction in which the clamps press, without its arrow [°].
        notes: overlaps, lines that stay open, parts that cannot be pushed home.
    """
    lines: list[GlueLine] = []
    around = boxes([[p for piece in part.pieces for p in piece.points] for part in parts])
    near = set(zip(*(side.tolist() for side in near_boxes(around, around)), strict=True))
    for j, part in enumerate(parts):
        pressed: list[float] = []
        for i, earlier in enumerate(parts[:j]):
            if (i, j) not in near:
                continue
            overlap, contacts = _between(earlier, part)
            if overlap > TOUCH_MM:
                notes.wrong(
                    "B133", f"has {part.kind} overlapping {earlier.kind} by {overlap:.3g} mm²"
                )
            for contact in contacts:
                angle = Line.through(contact.start, contact.end).undirected_deg
                if all(angle_between(angle, seam) > _SAME_DEG for seam in seams_deg):
                    notes.wrong(
                        "B134",
                        f"has {earlier.kind} and {part.kind} meeting along a line that these "
                        "clamps do not close",
                    )
                    continue
                pressed.append(contact.away_deg)
                lines.append(GlueLine(start=contact.start, end=contact.end, first=i, second=j))
        if pressed:
            _check_push(part, parts[:j], pressed, press_deg, notes)
    strong = [
        (line.first, line.second)
        for line in lines
        if distance(line.start, line.end) >= CONTACT_MM - TOUCH_MM
    ]
    if len(groups(len(parts), strong)) > 1:
        notes.wrong("B136", "does not hold together: not every part is glued to the others")
    return lines


def _between(earlier: Laid, part: Laid) -> tuple[float, list[_Contact]]:
    """Common area [mm²] of two parts, and where they touch."""
    a = [piece.points for piece in earlier.pieces]
    b = [piece.points for piece in part.pieces]
    near = [(a[i], b[j]) for i, j in zip(*near_pairs(a, b), strict=True)]
    overlap = sum(common_area(p, q) for p, q in near)
    contacts: list[_Contact] = []
    for p, q in near:
        for s, t in zip(p, p[1:] + p[:1], strict=True):
            if distance(s, t) <= TOUCH_MM:
                continue
            line = Line.through(s, t)
            begin = line.ux * s[0] + line.uy * s[1]
            edge = ((begin, begin + distance(s, t)),)
            # rings run anticlockwise: the other part lies to the right of the edge
            contacts.extend(
                _Contact(on_line(line, u), on_line(line, v), line.angle_deg - 90.0)
                for u, v in shared(edge, faces_on([q], line))
            )
    return overlap, contacts


def _check_push(
    part: Laid,
    earlier: Sequence[Laid],
    pressed: Sequence[float],
    press_deg: float,
    notes: Notes,
) -> None:
    """One straight push must press every glue line, and its way must be free."""
    out = (cos_deg(press_deg), sin_deg(press_deg))
    press = [out[0] * cos_deg(a) + out[1] * sin_deg(a) for a in pressed]
    if sum(press) < 0.0:
        out, press = (-out[0], -out[1]), [-p for p in press]
    flattest = math.degrees(math.asin(max(-1.0, min(1.0, *press))))
    if flattest < LEAST_PRESS_DEG:
        notes.wrong(
            "B138", f"has {part.kind}, which no one push presses against all its glue lines"
        )
        return
    far = _reach([part, *earlier])
    blocked = 0.0
    for piece in part.pieces:
        swept = convex_hull(
            [*piece.points, *((px + out[0] * far, py + out[1] * far) for px, py in piece.points)]
        )
        blocked += sum(common_area(other.points, swept) for e in earlier for other in e.pieces)
    if blocked > _GRAZE_MM2:
        notes.wrong(
            "B139",
            f"has {part.kind}, which cannot be pushed into place: "
            f"{mm(math.sqrt(blocked))} square of other parts is in its way",
        )


def _reach(parts: Sequence[Laid]) -> float:
    corners: list[Polygon] = [piece.points for part in parts for piece in part.pieces]
    left, bottom, right, top = bounds(p for ring in corners for p in ring)
    return 2.0 * math.hypot(right - left, top - bottom)
