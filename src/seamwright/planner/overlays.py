"""An overlay is planned as a thin face, whose leaves are sawn and sanded, and a backing."""

from __future__ import annotations

from dataclasses import replace

from seamwright.design import Backing, Drawing, Kind
from seamwright.errors import Fault, PlanError
from seamwright.geometry import bounds
from seamwright.plan import Backed, Shop, clamps_to_press
from seamwright.planner.cells import up


def face_shop(drawing: Drawing, shop: Shop) -> Shop:
    """The shop as it works on a drawing's face: the shop itself where the pattern runs through.

    A face's leaves are sanded where others are planed, and may be thinner; each board is pressed to
    a backing.
    """
    if drawing.kind is not Kind.OVERLAY or not shop.overlays.least_mm:
        return shop
    work = shop.overlays
    return replace(
        shop,
        allowances=replace(
            shop.allowances, plane_face_mm=min(shop.allowances.plane_face_mm, work.sand_face_mm)
        ),
        limits=replace(shop.limits, resaw_min_leaf_mm=work.least_mm),
        overlays=replace(work, backings=1),
    )


def face_of(drawing: Drawing, shop: Shop) -> Drawing:
    """The drawing as thick as its face is when it is pressed: what is sanded off later included."""
    if not shop.overlays.backings:
        return drawing
    return replace(drawing, thickness_mm=drawing.thickness_mm + shop.overlays.finish_mm)


def backed(drawing: Drawing, shop: Shop) -> Backed | None:
    """What the face of an overlay is glued to; None where the pattern runs through.

    Args:
        drawing: as ``face_of`` gives it.
        shop: as ``face_shop`` gives it.
    Raises:
        PlanError: the clamps on hand do not press so large a face.
    """
    work = shop.overlays
    if not work.backings:
        return None
    backing = drawing.backing or Backing(material="plywood", thickness_mm=work.panel_mm)
    face = drawing.thickness_mm - work.finish_mm
    x0, y0, x1, y1 = bounds(drawing.outline)
    made = Backed(
        material=drawing.wood_name(backing.material) if backing.is_solid else backing.material,
        depth_mm=backing.thickness_mm,
        wide_mm=x1 - x0 + 2.0 * work.proud_mm,
        high_mm=y1 - y0 + 2.0 * work.proud_mm,
        face_mm=face,
        counter_mm=face,
        grain_deg=backing.grain_deg,
    )
    needed = clamps_to_press(made, shop)
    if shop.clamps.count and needed > shop.clamps.count:
        raise PlanError(_too_large(made, needed, shop))
    return made


def _too_large(made: Backed, needed: int, shop: Shop) -> Fault:
    long = max(made.wide_mm, made.high_mm)
    pairs = shop.clamps.count // 2
    remedy = f"use {needed} clamps (gluing.clamps)"
    if pairs:
        platen = long / (2.0 * pairs) - shop.clamps.caul_mm
        remedy += f", or a platen {up(platen)} mm deep (overlays.platen)"
    return Fault(
        "P113",
        "the face",
        f"is {long:.0f} mm long with its backing; pressing it takes {needed} clamps, the shop has "
        f"{shop.clamps.count}",
        f"{remedy}; a veneer press or a vacuum bag is as good: set gluing.clamps to {needed} then",
    )
