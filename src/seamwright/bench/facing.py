"""Work on thickness: milling sticks, resawing billets, planing faces."""

from __future__ import annotations

from seamwright.bench.limits import check_milling, check_resawing, check_surfacing
from seamwright.bench.model import Carried, Piece, Solid
from seamwright.bench.notes import Notes, mm
from seamwright.bench.tolerance import TOUCH_MM
from seamwright.plan import Mill, Resaw, Shop, Surface


def mill(step: Mill, shop: Shop, notes: Notes, number: int) -> Carried | None:
    """Mill sticks from rough boards; None where a size is not more than nothing."""
    if min(step.length_mm, step.width_mm, step.depth_mm) <= TOUCH_MM:
        notes.wrong(
            "B140",
            f"is milled to {mm(step.length_mm)} × {mm(step.width_mm)} × {mm(step.depth_mm)}: "
            "every size must be more than nothing",
        )
        return None
    check_milling(step, shop=shop, notes=notes)
    x, y = step.length_mm, step.width_mm
    stick = Piece(
        points=((0.0, 0.0), (x, 0.0), (x, y), (0.0, y)),
        wood=step.wood,
        grain_deg=0.0,
        stick=step.makes,
    )
    made = Solid.of(step.makes, (stick,), depth_mm=step.depth_mm, planed=True)
    parted = step.count - sum(times for _, times in step.long_sticks)
    dust = parted * shop.saws.table_kerf_mm * step.width_mm * step.depth_mm
    return Carried(
        number=number,
        step=step,
        went_in=(),
        came_out=made,
        count=step.count,
        milled_mm3=made.volume_mm3 * step.count + dust,
        kerf_mm3=dust,
    )


def resaw(step: Resaw, billet: Solid, shop: Shop, notes: Notes, number: int) -> Carried | None:
    """Saw billets into leaves; None where the saw eats more than there is."""
    if step.count != step.billets * step.leaves:
        notes.wrong(
            "B101",
            f"should be {step.billets} billets × {step.leaves} = {step.billets * step.leaves} "
            f"leaves, not {step.count}",
        )
    if step.leaves < 2:
        notes.wrong("B141", f"is sawn into {step.leaves} leaf: resawing gives two or more")
        return None
    kerf = shop.saws.resaw_kerf_mm
    leaf = (billet.depth_mm - (step.leaves - 1) * kerf) / step.leaves
    if leaf <= 0.0:
        notes.wrong(
            "B142",
            f"is sawn from {billet.kind}, {mm(billet.depth_mm)} deep: {step.leaves - 1} cuts of "
            f"{mm(kerf)} leave nothing",
        )
        return None
    if abs(step.set_up.size_mm - leaf) > TOUCH_MM:
        notes.wrong(
            "B143",
            f"has the resaw fence at {mm(step.set_up.size_mm)}; {step.leaves} equal leaves are "
            f"{mm(leaf)} thick",
        )
    check_resawing(billet, leaf, shop=shop, notes=notes)
    made = Solid(
        kind=step.makes,
        pieces=billet.pieces,
        depth_mm=leaf,
        hull=billet.hull,
        area_mm2=billet.area_mm2,
        planed=False,
    )
    return Carried(
        number=number,
        step=step,
        went_in=((step.takes, step.billets),),
        came_out=made,
        count=step.count,
        kerf_mm3=billet.area_mm2 * kerf * (step.leaves - 1) * step.billets,
    )


def surface(step: Surface, part: Solid, shop: Shop, notes: Notes, number: int) -> Carried | None:
    """Plane both faces; None where nothing would be left."""
    if step.depth_mm <= 0.0:
        notes.wrong("B144", f"is planed to {mm(step.depth_mm)}")
        return None
    taken = part.depth_mm - step.depth_mm
    if taken < -TOUCH_MM:
        notes.wrong(
            "B145",
            f"is planed to {mm(step.depth_mm)}, but {part.kind} is only {mm(part.depth_mm)} deep",
        )
        return None
    if abs(step.set_up.size_mm - step.depth_mm) > TOUCH_MM:
        notes.wrong(
            "B146",
            f"has the planer at {mm(step.set_up.size_mm)} for a depth of {mm(step.depth_mm)}",
        )
    if taken <= TOUCH_MM:
        notes.warn("B147", f"is {mm(part.depth_mm)} deep already: planing takes nothing off")
    check_surfacing(step, part, shop=shop, notes=notes)
    made = Solid(
        kind=step.makes,
        pieces=part.pieces,
        depth_mm=step.depth_mm,
        hull=part.hull,
        area_mm2=part.area_mm2,
        planed=True,
    )
    return Carried(
        number=number,
        step=step,
        went_in=((step.takes, step.count),),
        came_out=made,
        count=step.count,
        planed_mm3=part.area_mm2 * max(taken, 0.0) * step.count,
    )
