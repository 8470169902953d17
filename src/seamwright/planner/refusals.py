"""Why nothing works: the pieces no way of making fits, each with the nearest thing that would."""

from __future__ import annotations

from seamwright.design import Drawing
from seamwright.errors import Fault
from seamwright.geometry import inner_point
from seamwright.plan import Shop
from seamwright.planner.bars import LEAST_SLANT_DEG
from seamwright.planner.depths import depths
from seamwright.planner.options import Bar, Cut, Kind, Space, TrimDown
from seamwright.planner.settings import narrowest_mm, overhead_mm
from seamwright.seams import members


def why_not(space: Space, drawing: Drawing, shop: Shop) -> tuple[Fault, ...]:
    """Faults that explain why no plan is feasible; at least one.

    Args:
        space: the options that were found.
        drawing: the drawing they come from.
        shop: whose limits rule them out.
    """
    flat = depths(drawing.thickness_mm, 1, shop).flat_mm
    faults: dict[str, Fault] = {}
    deepest = shop.saws.table_depth_mm
    if flat > deepest:
        faults["depth"] = Fault(
            "P101",
            "the board",
            f"is {flat:.1f} mm deep while it is made; the table saw cuts {deepest:.0f} mm",
            f"draw it no thicker than {deepest - flat + drawing.thickness_mm:.1f} mm",
        )
    for kind in space.kinds:
        if kind.region & (kind.region - 1):
            continue
        reason = _piece(space, kind, shop, flat)
        if reason is not None:
            fault = _named(kind, drawing, *reason)
            faults.setdefault(str(fault), fault)
    if not faults:
        reach = shop.limits.clamp_reach_mm
        faults["glue"] = Fault(
            "P109",
            "the board",
            f"cannot be glued with clamps of {reach:.0f} mm reach",
            "use longer clamps (limits.clamp_reach) or draw it smaller",
        )
    return tuple(faults.values())[:12]


def _piece(space: Space, kind: Kind, shop: Shop, flat_mm: float) -> tuple[str, str] | None:
    """What is wrong and what to do, for a single piece that cannot be made; None if it can."""
    reasons: list[tuple[str, str]] = []
    for option in kind.options:
        reason = None
        if isinstance(option, Cut):
            reason = _slice(option, space.bars[option.bar], shop, flat_mm)
        elif isinstance(option, TrimDown):
            reason = _trim(space, option, shop, flat_mm)
        if reason is None:
            return None
        reasons.append(reason)
    if reasons:
        return reasons[0]
    return (
        f"cannot be sawn from a stick: an edge leans less than {LEAST_SLANT_DEG:.0f}° to the grain",
        "make the angle steeper, or turn the grain along that edge",
    )


def _slice(cut: Cut, bar: Bar, shop: Shop, flat_mm: float) -> tuple[str, str] | None:
    limits = shop.limits
    width = bar.strips[0].width_mm
    room = limits.stick_length_mm - overhead_mm(bar, shop)
    if width < limits.stick_min_width_mm - 1e-9:
        least = limits.stick_min_width_mm
        return (
            f"is {width:.1f} mm across the grain; the shop rips nothing under {least:.1f} mm",
            f"widen it to {least:.1f} mm, or turn its grain",
        )
    rough = 2.0 * shop.allowances.rough_face_mm
    small, large = sorted((width, flat_mm))
    if small + rough > limits.stock_thickness_mm or large + rough > limits.stock_width_mm:
        return (
            f"needs a stick {width:.1f} × {flat_mm:.1f} mm, more than the stock gives",
            "split it, or raise limits.stock_thickness or limits.stock_width",
        )
    if cut.length_mm < limits.slice_min_mm and not cut.head_to_tail:
        return (
            f"is {cut.length_mm:.1f} mm along the grain; no slice is cut under "
            f"{limits.slice_min_mm:.1f} mm",
            f"lengthen it to {limits.slice_min_mm:.1f} mm, or turn its grain",
        )
    if cut.pitch_mm > room:
        return (
            f"is {cut.length_mm:.0f} mm along the grain; the longest stick gives {room:.0f} mm",
            "split it, or raise limits.stick_length",
        )
    return None


def _trim(space: Space, trim: TrimDown, shop: Shop, flat_mm: float) -> tuple[str, str] | None:
    over = space.kinds[trim.over]
    small = narrowest_mm(over.hull)
    least = shop.limits.part_min_mm
    if small < least:
        return (
            f"is trimmed from a block {small:.1f} mm wide; parts under {least:.1f} mm are not "
            "trimmed at the saw",
            f"make it {least / small:.1f} times as large, or lower limits.part_min if your sled "
            "holds smaller parts safely",
        )
    for option in over.options:
        if isinstance(option, Cut):
            return _slice(option, space.bars[option.bar], shop, flat_mm)
    return None


def _named(kind: Kind, drawing: Drawing, message: str, remedy: str) -> Fault:
    """The fault with the name of a patch that lies where the kind lies, if there is one."""
    cell = kind.world.cells[members(kind.region)[0]]
    x, y = inner_point(cell.polygon)
    wood = drawing.wood_name(cell.wood)
    for patch in drawing.patches:
        px, py = inner_point(patch.points)
        if abs(px - x) < 5.0 and abs(py - y) < 5.0 and patch.wood == cell.wood:
            return Fault("P102", f"patch {patch.name}", message, remedy)
    return Fault("P102", f"a piece of {wood}", message, remedy)
