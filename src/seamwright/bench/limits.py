"""What the shop's machines and stock allow, looked at step by step.

The bench reads the limits itself: a plan that passes one is never shown as good, whoever made it.
"""

from __future__ import annotations

from seamwright.bench.model import Solid
from seamwright.bench.notes import Notes, mm
from seamwright.bench.shapes import longest_mm, standing_mm, thinnest_mm
from seamwright.bench.tolerance import TOUCH_MM
from seamwright.geometry import bounds
from seamwright.plan import Laminate, Machine, Mill, Shop, Slice, Surface


def check_milling(step: Mill, *, shop: Shop, notes: Notes) -> None:
    """A stick against jointer, planer, rip fence and the boards bought."""
    limits = shop.limits
    for code, size, least, what in (
        ("B331", step.length_mm, limits.stick_min_length_mm, "long; jointer and planer need"),
        ("B332", step.width_mm, limits.stick_min_width_mm, "wide; the rip fence needs"),
        ("B333", step.depth_mm, limits.stick_min_depth_mm, "deep; the planer needs"),
    ):
        if size < least - TOUCH_MM:
            notes.unsafe(code, f"is {mm(size)} {what} at least {mm(least)}")
    if not step.is_shared:
        _check_together(step, shop, notes)
    rough = 2.0 * shop.allowances.rough_face_mm
    thin, wide = sorted((step.width_mm + rough, step.depth_mm + rough))
    if thin > limits.stock_thickness_mm + TOUCH_MM or wide > limits.stock_width_mm + TOUCH_MM:
        notes.warn(
            "B335",
            f"needs a rough board {mm(thin)} × {mm(wide)}; the shop buys up to "
            f"{mm(limits.stock_thickness_mm)} × {mm(limits.stock_width_mm)}",
        )


def _check_together(step: Mill, shop: Shop, notes: Notes) -> None:
    """Sticks of one kind milled as one, against the longest and the saw that parts them."""
    limits, kerf = shop.limits, shop.saws.table_kerf_mm
    each = step.long_sticks[0][0] if step.count > 0 else 1
    long = each * (step.length_mm + kerf) - kerf
    if long > limits.stick_length_mm + TOUCH_MM:
        what = f"is {mm(long)} long" if step.together == 1 else f"is milled {mm(long)} long"
        notes.warn("B334", f"{what}; the shop mills up to {mm(limits.stick_length_mm)}")
    if step.together > 1 and step.depth_mm > shop.saws.table_depth_mm + TOUCH_MM:
        reach = mm(shop.saws.table_depth_mm)
        notes.unsafe("B336", f"is parted {mm(step.depth_mm)} deep; the saw cuts {reach}")
    if not 1 <= step.together <= step.count:
        notes.wrong("B143", f"is to be milled {step.together} together, and {step.count} in all")


def check_slicing(
    step: Slice,
    bar: Solid,
    made: Solid,
    first: tuple[float, float],
    last: tuple[float, float],
    *,
    shop: Shop,
    notes: Notes,
) -> None:
    """Slices and their bar against the sled.

    Args:
        step, bar, made: the step, one bar, one slice.
        first, last: x of the right face of the first and last cut at both edges of the bar [mm].
        shop: limits and allowances.
        notes: where findings go.
    """
    start, _, end, top = bounds(bar.hull)
    thin = thinnest_mm(made.hull)
    if thin < shop.limits.slice_min_mm - TOUCH_MM:
        notes.unsafe(
            "B301", f"is {mm(thin)} thin; the sled needs at least {mm(shop.limits.slice_min_mm)}"
        )
    reach = shop.saws.table_depth_mm
    if bar.depth_mm > reach + TOUCH_MM:
        notes.unsafe("B302", f"is cut from a bar {mm(bar.depth_mm)} deep; the saw cuts {mm(reach)}")
    if step.apart:
        _check_apart(step, made, shop, notes)
        return
    ends = [_end_at(bar, y, end) for y in (0.0, top)]
    tail = min(x - right for x, right in zip(ends, last, strict=True))
    if tail < shop.allowances.tail_mm - TOUCH_MM:
        notes.unsafe(
            "B303",
            f"leaves {mm(max(tail, 0.0))} of {step.takes} to hold after the last cut; "
            f"the shop keeps {mm(shop.allowances.tail_mm)}",
        )
    head = min(first) - start
    if not step.squared and head < shop.allowances.square_end_mm - TOUCH_MM:
        notes.warn(
            "B304",
            f"squares the end of {step.takes} with {mm(max(head, 0.0))}; "
            f"the shop takes {mm(shop.allowances.square_end_mm)}",
        )


def _check_apart(step: Slice, made: Solid, shop: Shop, notes: Notes) -> None:
    """A row is sawn apart between parts large enough to be held themselves."""
    thin = thinnest_mm(made.hull)
    if thin < shop.limits.part_min_mm - TOUCH_MM:
        notes.unsafe(
            "B305",
            f"is sawn off {step.takes} and is {mm(thin)} at its thinnest; "
            f"the sled holds parts from {mm(shop.limits.part_min_mm)}",
        )


def _end_at(bar: Solid, y: float, otherwise: float) -> float:
    """Where the bar ends at one of its edges [mm]."""
    return max((p[0] for p in bar.hull if abs(p[1] - y) <= TOUCH_MM), default=otherwise)


def check_gluing(step: Laminate, across_mm: float, *, shop: Shop, notes: Notes) -> None:
    """A glue-up against clamps and open time; ``clampings`` must be sound."""
    limits = shop.limits
    together = -(-step.count // step.clampings)
    wide = across_mm * together
    if wide > limits.clamp_reach_mm + TOUCH_MM:
        what = f"is {mm(wide)} across the seams"
        if together > 1:
            what = f"lies {together} side by side, {mm(wide)} across"
        notes.unsafe("B321", f"{what}; the clamps reach {mm(limits.clamp_reach_mm)}")
    seams = (len(step.parts) - 1) * together
    if seams > limits.seams_per_glue_up:
        notes.warn(
            "B322",
            f"closes {seams} glue lines in one clamping; "
            f"the open time of the glue allows {limits.seams_per_glue_up}",
        )


def check_resawing(billet: Solid, leaf_mm: float, *, shop: Shop, notes: Notes) -> None:
    """A billet against the band saw: it stands on its longest edge."""
    height = standing_mm(billet.hull)
    if height > shop.saws.resaw_depth_mm + TOUCH_MM:
        notes.unsafe(
            "B341",
            f"is sawn from {billet.kind}, which stands {mm(height)} tall on its edge; "
            f"the band saw takes {mm(shop.saws.resaw_depth_mm)}",
        )
    least = shop.limits.resaw_min_leaf_mm
    if leaf_mm < least - TOUCH_MM:
        notes.unsafe("B342", f"is {mm(leaf_mm)} thin; the band saw needs at least {mm(least)}")


def check_surfacing(step: Surface, part: Solid, *, shop: Shop, notes: Notes) -> None:
    """A part against the planer."""
    limits, wanted = shop.limits, shop.allowances.plane_face_mm
    each = (part.depth_mm - step.depth_mm) / 2.0
    if not part.planed and TOUCH_MM < each < wanted - TOUCH_MM:
        notes.warn("B351", f"has {mm(each)} a face to plane flat; the shop leaves {mm(wanted)}")
    long = longest_mm(part.hull)
    if long < limits.stick_min_length_mm - TOUCH_MM and step.set_up.machine is Machine.PLANER:
        notes.warn(
            "B352",
            f"is {mm(long)} long, shorter than the planer takes "
            f"({mm(limits.stick_min_length_mm)}): use a drum sander or a long carrier board",
        )
    sanded = step.set_up.machine is Machine.SANDER
    least = shop.overlays.least_mm if sanded else limits.stick_min_depth_mm
    if step.depth_mm < least - TOUCH_MM:
        how, what = ("sanded", "drum sander") if sanded else ("planed", "planer")
        notes.unsafe(
            "B353", f"is {how} to {mm(step.depth_mm)}; the {what} needs at least {mm(least)}"
        )
