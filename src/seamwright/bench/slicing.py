"""Slicing bars across into equal pieces."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from seamwright.bench.limits import check_slicing
from seamwright.bench.model import Carried, Piece, Solid
from seamwright.bench.notes import Notes, mm
from seamwright.bench.shapes import (
    are_equal,
    moved_pieces,
    saw,
    snapped,
    thinnest_mm,
    total_area,
)
from seamwright.bench.tolerance import POINT_MM, TOUCH_MM
from seamwright.bench.touching import faces_on, length
from seamwright.geometry import Line, Motion, bounds, cos_deg, distance, sin_deg
from seamwright.plan import SawCut, Shop, Slice


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kerf:
    """One cut through a bar whose edges are y = 0 and y = top: x of both faces at both edges."""

    line: Line
    angle_deg: float
    left: tuple[float, float]
    right: tuple[float, float]
    right_face: Line

    @classmethod
    def of(cls, cut: SawCut, *, kerf_mm: float, top_mm: float) -> _Kerf:
        lean = top_mm * cos_deg(cut.angle_deg) / sin_deg(cut.angle_deg)
        wide = kerf_mm / sin_deg(cut.angle_deg)
        line = Line.at_angle((cut.at_mm, 0.0), cut.angle_deg)
        return cls(
            line=line,
            angle_deg=cut.angle_deg,
            left=(cut.at_mm, cut.at_mm + lean),
            right=(cut.at_mm + wide, cut.at_mm + wide + lean),
            right_face=line.shifted(-kerf_mm),
        )


def slice_bars(step: Slice, bar: Solid, shop: Shop, notes: Notes, number: int) -> Carried | None:
    """Cut bars up; None where the cuts make no sense at all.

    Args:
        step: the step.
        bar: one of the bars.
        shop: kerf and limits.
        notes: where findings go.
        number: of the step.
    """
    if not _is_orderly(step, bar, notes):
        return None
    _, bottom, _, top = bounds(bar.hull)
    kerf_mm = shop.saws.table_kerf_mm
    kerfs = [_Kerf.of(cut, kerf_mm=kerf_mm, top_mm=top) for cut in step.cuts]
    starts = [kerf.right[0] for kerf in kerfs]
    starts = [0.0, *starts[:-1]] if step.squared else starts[:-1]
    lost_mm = _check_spacing(step, kerfs, top - bottom, notes)
    slices, dust, offcuts, rest = _cut_up(kerfs, bar, kerf_mm, squared=step.squared)
    if not slices[0]:
        notes.wrong("B110", "has a first piece of no size: its two cuts leave nothing between them")
        return None
    made = _moved_solid(step.makes, slices[0], -starts[0], bar)
    places = _place(step, made, slices, starts, notes)
    if step.head_to_tail:
        _check_stop(step, made, kerfs, notes)
    _check_cut_through(step, slices[0], kerfs, top - bottom - lost_mm, notes)
    check_slicing(step, bar, made, kerfs[0].right, kerfs[-1].right, shop=shop, notes=notes)
    remains = (
        _moved_solid(step.rest, rest, -kerfs[-1].right[0], bar) if step.rest and rest else None
    )
    if step.rest and not rest:
        notes.wrong("B111", f"leaves nothing of {step.takes} to be {step.rest}")
    offcuts += [] if step.rest else rest
    return Carried(
        number=number,
        step=step,
        went_in=((step.takes, step.bars),),
        came_out=made,
        count=step.count,
        rest=remains,
        places=places,
        dust=tuple(dust),
        offcuts=tuple(offcuts),
        kerf_mm3=total_area(dust) * bar.depth_mm * step.bars,
        offcut_mm3=total_area(offcuts) * bar.depth_mm * step.bars,
    )


def _moved_solid(kind: str, pieces: list[Piece], x_mm: float, bar: Solid) -> Solid:
    home = Motion(x_mm=x_mm)
    return Solid.of(
        kind,
        snapped(moved_pieces(pieces, home)),
        depth_mm=bar.depth_mm,
        planed=bar.planed,
    )


def _is_orderly(step: Slice, bar: Solid, notes: Notes) -> bool:
    if step.count != step.bars * step.per_bar:
        notes.wrong(
            "B101",
            f"should be {step.bars} bars × {step.per_bar} = {step.bars * step.per_bar} pieces, "
            f"not {step.count}",
        )
    wanted = step.per_bar if step.squared else step.per_bar + 1
    if step.per_bar < 1 or len(step.cuts) != wanted:
        notes.wrong(
            "B102",
            f"needs {wanted} cuts for {step.per_bar} pieces from a bar, not {len(step.cuts)}",
        )
        return False
    if not all(0.1 < cut.angle_deg < 179.9 for cut in step.cuts):
        notes.wrong("B103", "has a cut that runs along the bar instead of across it")
        return False
    lowest = bounds(bar.hull)[1]
    if abs(lowest) > TOUCH_MM:
        notes.wrong(
            "B104", f"is cut from {step.takes}, whose lower edge is {mm(lowest)} off the fence line"
        )
    return True


def _check_spacing(step: Slice, kerfs: list[_Kerf], height_mm: float, notes: Notes) -> float:
    """How far below the bar's edge pieces that lie head to tail come to their points [mm].

    A hair below is what a stop set a hair short gives: the kerfs run together in the last hair of
    wood, which is dust anyway.
    """
    lost_mm = 0.0
    for i, (one, following) in enumerate(pairwise(kerfs), start=1):
        room = [b - a for a, b in zip(one.right, following.left, strict=True)]
        if max(room) <= TOUCH_MM:
            notes.wrong("B105", f"has cut {i + 1} to the left of cut {i} or on top of it")
        elif min(room) < -TOUCH_MM:
            if step.head_to_tail and min(room) >= -POINT_MM:
                lost_mm = max(lost_mm, -min(room) * height_mm / (max(room) - min(room)))
            else:
                notes.wrong(
                    "B106", f"has cuts {i} and {i + 1} running into each other by {mm(-min(room))}"
                )
    if lost_mm:
        notes.warn("B113", f"comes to its points {mm(lost_mm)} below the edge of the bar")
    return lost_mm


def _cut_up(
    kerfs: list[_Kerf], bar: Solid, kerf_mm: float, *, squared: bool
) -> tuple[list[list[Piece]], list[Piece], list[Piece], list[Piece]]:
    """(pieces of each slice, dust, first offcut, what remains): cut by cut, from the left."""
    slices: list[list[Piece]] = []
    dust: list[Piece] = []
    rest: list[Piece] = list(bar.pieces)
    for kerf in kerfs:
        left, lost, rest = saw(rest, kerf.line, kerf_mm)
        dust.extend(lost)
        slices.append(left)
    offcuts = [] if squared else slices.pop(0)
    return slices, dust, offcuts, rest


def _place(
    step: Slice, made: Solid, slices: list[list[Piece]], starts: list[float], notes: Notes
) -> tuple[Motion, ...]:
    """Where each piece lies in the bar; every piece must be the first one, moved."""
    places: list[Motion] = []
    unlike: list[int] = []
    for i, pieces in enumerate(slices):
        place = Motion(x_mm=starts[i])
        if step.head_to_tail and i % 2 and pieces:
            made_box = bounds(made.hull)
            box = bounds(p for piece in pieces for p in piece.points)
            place = Motion(turn_deg=180.0, x_mm=box[0] + made_box[2], y_mm=box[1] + made_box[3])
        places.append(place)
        if i and not are_equal(pieces, moved_pieces(made.pieces, place)):
            unlike.append(i + 1)
    if unlike:
        which = ", ".join(str(i) for i in unlike[:6]) + (" and more" if len(unlike) > 6 else "")
        turned = " turned end for end" if step.head_to_tail else ""
        notes.wrong("B107", f"comes out unequal: piece {which} of a bar is not the first{turned}")
    return tuple(places)


def _check_cut_through(
    step: Slice, first: list[Piece], kerfs: list[_Kerf], height_mm: float, notes: Notes
) -> None:
    """Both faces of the first piece must run from edge to edge: no cut beside the bar."""
    if step.squared:
        # the end was cut at the angle of the last cut before it: the other one, head to tail
        before = step.cuts[1 if step.head_to_tail and len(step.cuts) > 1 else 0].angle_deg
        faces = [("its first end", Line.at_angle((0.0, 0.0), before), before)]
        if step.head_to_tail and len(step.cuts) < 2:
            faces = []
    else:
        faces = [("cut 1", kerfs[0].right_face, kerfs[0].angle_deg)]
    closing = 0 if step.squared else 1
    faces.append((f"cut {closing + 1}", kerfs[closing].line, kerfs[closing].angle_deg))
    rings = [piece.points for piece in first]
    for name, face, angle_deg in faces:
        wanted = height_mm / sin_deg(angle_deg)
        found = length(faces_on(rings, face))
        if found < wanted - TOUCH_MM * (1.0 + 2.0 / sin_deg(angle_deg)):
            notes.wrong(
                "B108",
                f"has {name} where the bar is not whole: {mm(found)} of {mm(wanted)} is wood",
            )


def _check_stop(step: Slice, made: Solid, kerfs: list[_Kerf], notes: Notes) -> None:
    """For pieces that are not alike at both edges the stop should be one of their measures.

    Where two settings share the work the first one frees pairs, to be parted by the second.
    """
    if step.second_set_up is not None:
        if len(kerfs) < 3:
            return
        pair = kerfs[2].left[0] - kerfs[0].right[0]
        if abs(step.set_up.size_mm - pair) <= TOUCH_MM:
            return
    sides = zip(made.hull, made.hull[1:] + made.hull[:1], strict=True)
    measures = [thinnest_mm(made.hull), *(distance(a, b) for a, b in sides)]
    if all(abs(step.set_up.size_mm - measure) > TOUCH_MM for measure in measures):
        notes.warn("B112", f"has the stop at {mm(step.set_up.size_mm)}, no measure of the piece")
