"""Gluing parts together along straight seams."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from seamwright.bench.clamping import check_clamps
from seamwright.bench.cornering import Laid, close_corners
from seamwright.bench.limits import check_gluing
from seamwright.bench.model import Carried, GlueLine, Piece, Solid
from seamwright.bench.notes import Notes, mm
from seamwright.bench.shapes import moved_pieces
from seamwright.bench.tolerance import CONTACT_MM, TOUCH_MM
from seamwright.bench.touching import (
    Interval,
    common_area,
    edge_in_common,
    faces_on,
    groups,
    length,
    near_pairs,
    on_line,
    shared,
)
from seamwright.geometry import Line, Motion, Polygon
from seamwright.plan import Laminate, Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class _Laid:
    """A part in its place: how far it reaches across and along the seams, and its end faces."""

    kind: str
    pieces: tuple[Piece, ...]
    hull: Polygon
    across: Interval
    along: Interval
    near: tuple[Interval, ...]
    far: tuple[Interval, ...]

    @classmethod
    def of(cls, solid: Solid, at: Motion, seam: Line) -> _Laid:
        pieces = moved_pieces(solid.pieces, at)
        hull = at.polygon(solid.hull)
        across = [seam.side(p) for p in hull]
        along = [seam.ux * x + seam.uy * y for x, y in hull]
        near, far = min(across), max(across)
        rings = [hull] if solid.is_convex else [piece.points for piece in pieces]
        return cls(
            kind=solid.kind,
            pieces=pieces,
            hull=hull,
            across=(near, far),
            along=(min(along), max(along)),
            near=faces_on(rings, seam.shifted(near)),
            far=faces_on(rings, seam.shifted(far)),
        )


def glue(step: Laminate, parts: Sequence[Solid], shop: Shop, notes: Notes, number: int) -> Carried:
    """Glue parts up.

    Args:
        step: the step.
        parts: one solid for each of ``step.parts``, in their order.
        shop: limits.
        notes: where findings go.
        number: of the step.
    """
    seam = Line.at_angle((0.0, 0.0), step.seams_deg)
    laid = [
        _Laid.of(solid, placed.at, seam) for solid, placed in zip(parts, step.parts, strict=True)
    ]
    if len(laid) < 2:
        notes.wrong("B130", "is a glue-up of a single part")
    _check_depths(parts, notes)
    if step.corner_deg is None:
        _check_order(laid, notes)
        lines = _meet(laid, seam, notes)
    else:
        inside = [Laid(kind=part.kind, pieces=part.pieces) for part in laid]
        lines = close_corners(
            inside, (step.seams_deg, step.corner_deg), press_deg=step.press_deg, notes=notes
        )
    if step.is_shared or 1 <= step.clampings <= step.count:
        across = [edge for part in laid for edge in part.across]
        if not step.is_shared:
            check_gluing(step, max(across) - min(across), shop=shop, notes=notes)
        along = [edge for part in laid for edge in part.along]
        check_clamps(step, lines, seam, across, along, shop=shop, notes=notes)
    else:
        notes.wrong(
            "B137", f"says {step.clampings} clampings for {step.count} glue-ups: use 1 to the count"
        )
    made = Solid.of(
        step.makes,
        tuple(piece for part in laid for piece in part.pieces),
        depth_mm=min(solid.depth_mm for solid in parts),
        planed=False,
        around=[p for part in laid for p in part.hull],
        area_mm2=sum(solid.area_mm2 for solid in parts),
    )
    used: dict[str, int] = {}
    for placed in step.parts:
        used[placed.part] = used.get(placed.part, 0) + step.count
    return Carried(
        number=number,
        step=step,
        went_in=tuple(used.items()),
        came_out=made,
        count=step.count,
        places=tuple(placed.at for placed in step.parts),
        glue_lines=tuple(lines),
    )


def _check_depths(parts: Sequence[Solid], notes: Notes) -> None:
    shallow = min(parts, key=lambda solid: solid.depth_mm)
    deep = max(parts, key=lambda solid: solid.depth_mm)
    if deep.depth_mm - shallow.depth_mm > TOUCH_MM:
        notes.wrong(
            "B131",
            f"is glued from parts of unequal depth: {shallow.kind} is {mm(shallow.depth_mm)}, "
            f"{deep.kind} {mm(deep.depth_mm)}",
        )


def _check_order(laid: Sequence[_Laid], notes: Notes) -> None:
    """Parts must follow one another across the seams, so that the clamps close them all."""
    rising = laid[0].across[0] <= laid[-1].across[0]
    ordered = laid if rising else laid[::-1]
    for one, following in pairwise(ordered):
        if following.across[0] < one.across[0] - TOUCH_MM:
            notes.wrong(
                "B132", f"lists {one.kind} and {following.kind} out of order across the seams"
            )
            return


def _meet(laid: Sequence[_Laid], seam: Line, notes: Notes) -> list[GlueLine]:
    """The glue lines; overlaps, gaps and loose parts are noted."""
    order = sorted(range(len(laid)), key=lambda i: laid[i].across)
    lines: list[GlueLine] = []
    for position, i in enumerate(order):
        for j in order[position + 1 :]:
            if laid[j].across[0] > laid[i].across[1] + TOUCH_MM:
                break
            if laid[j].across[0] >= laid[i].across[1] - TOUCH_MM:
                level = seam.shifted(laid[i].across[1])
                lines.extend(
                    GlueLine(start=on_line(level, s), end=on_line(level, t), first=i, second=j)
                    for s, t in shared(laid[i].far, laid[j].near)
                )
            else:
                _check_beside(laid[i], laid[j], notes)
    _check_bond(laid, lines, notes)
    return lines


def _check_beside(one: _Laid, other: _Laid, notes: Notes) -> None:
    """Two parts not on two sides of a seam: fine only where they are clear of each other."""
    clear = max(other.along[0] - one.along[1], one.along[0] - other.along[1])
    if clear > TOUCH_MM:
        return
    a, b = ([piece.points for piece in part.pieces] for part in (one, other))
    near = [(a[i], b[j]) for i, j in zip(*near_pairs(a, b), strict=True)]
    overlap = sum(common_area(p, q) for p, q in near)
    into = one.across[1] - other.across[0]
    if overlap > TOUCH_MM:
        notes.wrong(
            "B133",
            f"has {other.kind} lying {mm(min(into, other.across[1] - other.across[0]))} "
            f"into {one.kind}: they overlap by {overlap:.3g} mm²",
        )
    elif any(edge_in_common(p, q) > TOUCH_MM for p, q in near):
        notes.wrong(
            "B134",
            f"has {one.kind} and {other.kind} meeting along a line that these clamps do not close",
        )


def _check_bond(laid: Sequence[_Laid], lines: Sequence[GlueLine], notes: Notes) -> None:
    held: dict[tuple[int, str], float] = {}
    for line in lines:
        run = math.dist(line.start, line.end)
        for key in ((line.first, "far"), (line.second, "near")):
            held[key] = held.get(key, 0.0) + run
    for (index, side), run in held.items():
        part = laid[index]
        face = length(part.far if side == "far" else part.near)
        if face - run > 2.0 * TOUCH_MM:
            notes.warn(
                "B135",
                f"glues {mm(run)} of an edge of {part.kind} that is {mm(face)} long: "
                "the rest stands free",
            )
    strong = [
        (line.first, line.second)
        for line in lines
        if abs(complex(line.end[0] - line.start[0], line.end[1] - line.start[1]))
        >= CONTACT_MM - TOUCH_MM
    ]
    together = groups(len(laid), strong)
    if len(together) > 1:
        _tell_loose(laid, together, notes)


def _tell_loose(laid: Sequence[_Laid], together: list[list[int]], notes: Notes) -> None:
    smallest = min(together, key=len)
    rest = [i for group in together if group is not smallest for i in group]
    gap, i, j = min(
        (max(laid[j].across[0] - laid[i].across[1], laid[i].across[0] - laid[j].across[1]), i, j)
        for i in smallest
        for j in rest
    )
    how = (
        f"a gap of {mm(gap)} stays open"
        if gap > TOUCH_MM
        else f"they share no edge of {mm(CONTACT_MM)} or more"
    )
    notes.wrong(
        "B136",
        f"does not hold together: {laid[i].kind} is not glued to {laid[j].kind}, {how}",
    )
