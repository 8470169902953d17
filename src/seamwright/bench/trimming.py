"""Sawing edges and corners off a part."""

from __future__ import annotations

from seamwright.bench.holding import check_trimming
from seamwright.bench.model import Carried, Piece, Solid
from seamwright.bench.notes import Notes
from seamwright.bench.shapes import are_equal, moved_pieces, saw, total_area
from seamwright.bench.tolerance import TOUCH_MM
from seamwright.bench.touching import separate_parts
from seamwright.geometry import IDENTITY, Line, Motion
from seamwright.plan import Hold, Shop, Trim


def trim_parts(step: Trim, part: Solid, shop: Shop, notes: Notes, number: int) -> Carried | None:
    """Trim parts, one cut after another; None where nothing is left.

    What is planed to the line by hand counts as planed, not as dust.

    Args:
        step: the step.
        part: one of the parts.
        shop: kerf and limits.
        notes: where findings go.
        number: of the step.
    """
    if not step.cuts:
        notes.warn("B120", "has no cut: the step does nothing")
    left: list[Piece] = list(part.pieces)
    dust: list[Piece] = []
    offcuts: list[Piece] = []
    shavings: list[Piece] = []
    fallen: list[Piece] = []
    for i, cut in enumerate(step.cuts, start=1):
        line = Line.at_angle((cut.x_mm, cut.y_mm), cut.angle_deg)
        left, lost, fallen, shaved = _cut(left, line, step.hold, shop)
        if not lost and not fallen and not shaved:
            notes.warn("B121", f"has cut {i} passing beside the part: it takes nothing off")
        if not left:
            notes.wrong("B122", f"is gone after cut {i}: nothing stays left of it")
            return None
        dust.extend(lost)
        shavings.extend(shaved)
        offcuts.extend(fallen)
    # around the wood that is left, not around what is left of the old hull: between two parts of a
    # hair's different height a hull holds no wood
    made = Solid.of(step.makes, tuple(left), depth_mm=part.depth_mm, planed=part.planed)
    if not made.is_convex:
        parts = separate_parts([piece.points for piece in made.pieces])
        if parts > 1:
            notes.wrong("B123", f"falls into {parts} separate parts")
    check_trimming(step, part, made, fallen, shop=shop, notes=notes)
    places: tuple[Motion, ...] = (IDENTITY,)
    if step.each > 1 and len(step.cuts) == 1:
        places, more, offcuts = _ripped(step, made, offcuts, shop, notes)
        dust.extend(more)
    elif step.each != 1:
        notes.wrong("B125", f"gives {step.each} from each part by {len(step.cuts)} cuts")
        return None
    taken = step.count // step.each
    if taken * step.each != step.count:
        notes.wrong("B125", f"is made {step.count} times, {step.each} from each part")
    return Carried(
        number=number,
        step=step,
        went_in=((step.takes, taken),),
        came_out=made,
        count=step.count,
        places=places,
        dust=tuple(dust),
        offcuts=tuple(offcuts),
        kerf_mm3=total_area(dust) * part.depth_mm * taken,
        offcut_mm3=total_area(offcuts) * part.depth_mm * taken,
        planed_mm3=total_area(shavings) * part.depth_mm * taken,
    )


def _ripped(
    step: Trim, made: Solid, rest: list[Piece], shop: Shop, notes: Notes
) -> tuple[tuple[Motion, ...], list[Piece], list[Piece]]:
    """The cut made again on what lies beyond it: where each part lay, the dust, what is left over.

    Whatever comes off must be what came off first.
    """
    cut, kerf = step.cuts[0], shop.saws.table_kerf_mm
    line = Line.at_angle((cut.x_mm, cut.y_mm), cut.angle_deg)
    on = kerf + max(line.side(p) for p in made.hull)
    # to the right of the line
    step_x, step_y = line.uy * on, -line.ux * on
    dust: list[Piece] = []
    places = [IDENTITY]
    for i in range(1, step.each):
        back = Motion(x_mm=-step_x * i, y_mm=-step_y * i)
        there = back.inverse()
        part, lost, rest_here = saw(list(moved_pieces(tuple(rest), back)), line, kerf)
        if not are_equal(part, made.pieces):
            notes.wrong("B124", f"is not equal to the part ripped off {step.takes} before it")
        dust.extend(moved_pieces(tuple(lost), there))
        rest = list(moved_pieces(tuple(rest_here), there))
        places.append(there)
    return tuple(places), dust, rest


def _cut(
    pieces: list[Piece], line: Line, hold: Hold, shop: Shop
) -> tuple[list[Piece], list[Piece], list[Piece], list[Piece]]:
    """(what stays, dust, what falls, what is planed off) at one cut.

    By hand the saw runs outside the line, and the plane takes the rest; where there is less than
    that to take off, nothing is sawn.
    """
    if hold is not Hold.HAND:
        return *saw(pieces, line, shop.saws.table_kerf_mm), []
    over = shop.small_parts.hand_over_mm
    stays, lost, falls = saw(pieces, line.shifted(-over), shop.saws.resaw_kerf_mm)
    # nothing lies further out than the allowance now: the band holds all that is beyond the line
    kept, shaved, crumbs = saw(stays, line, over + TOUCH_MM)
    return kept, lost, falls, [*shaved, *crumbs]
