"""Whether a face and what it is pressed to fit together, and whether the shop can press them."""

from __future__ import annotations

from seamwright.bench.notes import Notes, mm
from seamwright.bench.tolerance import TOUCH_MM
from seamwright.design import Drawing, Kind
from seamwright.geometry import bounds
from seamwright.plan import Backed, Plan, clamps_to_press


def check_backing(plan: Plan, backed: Backed, drawing: Drawing, notes: Notes) -> float:
    """What the face keeps for sanding after it is pressed [mm]; faults go to the notes.

    Args:
        plan: the plan.
        backed: its backing.
        drawing: what it should make.
        notes: of the board.
    """
    work = plan.shop.overlays
    if drawing.kind is not Kind.OVERLAY:
        notes.wrong("B206", "is glued to a backing; the drawing runs through")
    wanted = drawing.backing
    if wanted is not None:
        name = drawing.wood_name(wanted.material) if wanted.is_solid else wanted.material
        if backed.material != name or backed.grain_deg != wanted.grain_deg:
            notes.wrong("B207", f"is glued to {backed.material}; the drawing wants {name}")
        if abs(backed.depth_mm - wanted.thickness_mm) > TOUCH_MM:
            notes.wrong(
                "B208",
                f"is glued to a backing {mm(backed.depth_mm)} thick; the drawing wants "
                f"{mm(wanted.thickness_mm)}",
            )
    if abs(backed.face_mm - drawing.thickness_mm) > TOUCH_MM:
        notes.wrong(
            "B209",
            f"ends with a face {mm(backed.face_mm)} thick; the drawing wants "
            f"{mm(drawing.thickness_mm)}",
        )
    x0, y0, x1, y1 = bounds(drawing.outline)
    for cut, drawn in ((backed.wide_mm, x1 - x0), (backed.high_mm, y1 - y0)):
        if cut < drawn + 2.0 * work.proud_mm - TOUCH_MM:
            notes.wrong(
                "B215",
                f"is {mm(drawn)} where its backing is {mm(cut)}: nothing is left to trim flush",
            )
    needed = clamps_to_press(backed, plan.shop)
    if plan.shop.clamps.count and needed > plan.shop.clamps.count:
        notes.unsafe(
            "B325", f"takes {needed} clamps to press; the shop has {plan.shop.clamps.count}"
        )
    return work.finish_mm
