"""Whether a face and what it is pressed to fit together, and whether the shop can press them."""

from __future__ import annotations

from seamwright.bench.model import Shelf
from seamwright.bench.notes import Notes, mm
from seamwright.bench.tolerance import TOUCH_MM
from seamwright.design import Drawing, Kind
from seamwright.geometry import area, bounds
from seamwright.plan import Backed, Plan, clamps_to_press

_OFF_SHARE = 0.1
"""A backing or veneer off by less than this share of its thickness is told, and does not break the
proof: measured ones vary (common practice, no source)."""


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


def check_made(plan: Plan, backed: Backed, drawing: Drawing, shelf: Shelf, notes: Notes) -> None:
    """Whether backing and balancing veneer, where the steps make them, are there and fit."""
    wanted = drawing.backing
    left, low, right, high = bounds(drawing.outline)
    face = (right - left, high - low)
    for kind, what, deep, wood in (
        (backed.core, "backing", backed.depth_mm, wanted.material if wanted else ""),
        (backed.counter, "balancing veneer", backed.counter_mm, (wanted.veneer if wanted else "")),
    ):
        if kind is None:
            continue
        solid = dict(shelf.solids).get(kind)
        if solid is None:
            notes.wrong("B216", f"has no {what}: no step that can be done makes {kind!r}")
            continue
        if shelf.counts(kind).left < plan.copies:
            notes.wrong("B216", f"has too few of its {what}: {shelf.counts(kind).left} {kind}")
        off = abs(solid.depth_mm - deep)
        if off > TOUCH_MM:
            told = notes.wrong if off > deep * _OFF_SHARE else notes.warn
            told("B217", f"has a {what} {mm(solid.depth_mm)} thick, not {mm(deep)}")
        x0, y0, x1, y1 = bounds(solid.hull)
        sizes, least = sorted((x1 - x0, y1 - y0)), sorted(face)
        full = area(solid.hull) > (x1 - x0) * (y1 - y0) - TOUCH_MM * (x1 - x0 + y1 - y0)
        if not full or any(a < b - TOUCH_MM for a, b in zip(sizes, least, strict=True)):
            notes.wrong(
                "B218",
                f"has a {what} of {mm(sizes[1])} by {mm(sizes[0])}: too small to cover the face",
            )
        woods = {piece.wood for piece in solid.pieces}
        grains = {round(piece.grain_deg, 3) for piece in solid.pieces}
        if len(woods) > 1 or len(grains) > 1 or (wood and woods != {wood}):
            notes.wrong("B219", f"has a {what} that is not of one wood, its grain one way")
        elif kind == backed.core and abs(sizes[0] - sizes[1]) > TOUCH_MM:
            turned = 90.0 if (x1 - x0 > y1 - y0) != (face[0] > face[1]) else 0.0
            way = (backed.grain_deg or 0.0) + turned
            if min(grains) != round(way % 180.0, 3):
                notes.wrong("B219", "has a backing whose grain runs another way than drawn")
