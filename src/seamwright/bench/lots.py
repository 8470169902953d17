"""What is worked in one go though it is of several kinds: long sticks, and clampings.

Each kind is made in a step of its own; here they are looked at together, once all are there.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from seamwright.bench.model import Finding, Solid
from seamwright.bench.notes import Notes, mm
from seamwright.bench.tolerance import BEYOND_REASON, TOUCH_MM
from seamwright.geometry import Line, bounds
from seamwright.plan import Laminate, Lot, Mill, Plan, Shop, Step

ALIKE_MM = 5.0
"""Glue-ups in one clamping whose lengths differ by more are not pressed alike to their ends."""


def check_lots(plan: Plan, solids: Mapping[str, Solid]) -> tuple[Finding, ...]:
    """What is wrong with sticks milled as one and with glue-ups clamped side by side.

    Args:
        plan: any plan.
        solids: what was made, by kind.
    """
    steps = {step.makes: step for step in plan.steps}
    held = _held(plan)
    found: list[Finding] = []
    for number, step in enumerate(plan.steps, start=1):
        if not isinstance(step, Mill | Laminate) or not step.is_shared:
            continue
        notes = Notes(step=number, subject=step.makes)
        lots = step.long if isinstance(step, Mill) else step.lots
        if _are_sound(step, lots, steps, held.get(step.makes, []), notes):
            for lot in lots:
                parts = [(solids.get(h.kind), h.count) for h in lot.holds]
                there = [(part, count) for part, count in parts if part is not None]
                if len(there) < len(parts):
                    continue
                if isinstance(step, Mill):
                    _check_long(there, plan.shop, notes)
                else:
                    made = [steps[part.kind] for part, _ in there]
                    glued = [each for each in made if isinstance(each, Laminate)]
                    _check_clamping(there, glued, plan.shop, notes)
        found.extend(notes.found)
    return tuple(found)


def _are_sound(
    step: Mill | Laminate,
    lots: tuple[Lot, ...],
    steps: Mapping[str, Step],
    held: Sequence[tuple[str, int]],
    notes: Notes,
) -> bool:
    """Whether each part is in one lot, and every lot is of things that are made alike."""
    numbers = [n for lot in lots for n in (lot.times, *(held.count for held in lot.holds))]
    if not all(1 <= n <= BEYOND_REASON for n in numbers):
        notes.wrong("B145", "has a lot of nothing, or beyond all reason, in it")
        return False
    others = sum(count for maker, count in held if maker != step.makes)
    own = sum(count for maker, count in held if maker == step.makes)
    away = step.parted if isinstance(step, Mill) else step.beside
    if others != away or own + away != step.count:
        notes.wrong(
            "B145",
            f"is in lots {own + others} times, {others} of them in those of other steps; "
            f"there are {step.count}, {away} of them elsewhere",
        )
        return False
    if isinstance(step, Laminate) and step.clampings != sum(lot.times for lot in lots):
        loads = sum(lot.times for lot in lots)
        notes.wrong("B137", f"says {step.clampings} clampings; its lots make {loads}")
    for kind in {held.kind for lot in lots for held in lot.holds}:
        if type(steps.get(kind)) is not type(step):
            notes.wrong("B146", f"is worked together with {kind}, made in another way")
            return False
    return True


def _held(plan: Plan) -> dict[str, list[tuple[str, int]]]:
    """For each kind every lot that holds it: whose step it is written in, how many of the kind."""
    found: dict[str, list[tuple[str, int]]] = {}
    for step in plan.steps:
        lots = step.long if isinstance(step, Mill) else ()
        lots = step.lots if isinstance(step, Laminate) else lots
        for lot in lots:
            for held in lot.holds:
                found.setdefault(held.kind, []).append((step.makes, held.count * lot.times))
    return found


def _check_long(sticks: list[tuple[Solid, int]], shop: Shop, notes: Notes) -> None:
    """A long stick against the longest that is milled, and against the saw that parts it."""
    first = sticks[0][0]
    for stick, _ in sticks[1:]:
        wide = abs(_size(stick)[1] - _size(first)[1])
        deep = abs(stick.depth_mm - first.depth_mm)
        if max(wide, deep) > TOUCH_MM or stick.pieces[0].wood != first.pieces[0].wood:
            notes.wrong(
                "B144",
                f"is milled in one with {stick.kind}, which is of another wood or section",
            )
    kerf = shop.saws.table_kerf_mm
    long = sum((_size(stick)[0] + kerf) * count for stick, count in sticks) - kerf
    if long > shop.limits.stick_length_mm + TOUCH_MM:
        most = mm(shop.limits.stick_length_mm)
        notes.warn("B334", f"is milled {mm(long)} long; the shop mills up to {most}")
    if first.depth_mm > shop.saws.table_depth_mm + TOUCH_MM:
        reach = mm(shop.saws.table_depth_mm)
        notes.unsafe("B336", f"is parted {mm(first.depth_mm)} deep; the saw cuts {reach}")


def _size(stick: Solid) -> tuple[float, float]:
    left, bottom, right, top = bounds(stick.hull)
    return right - left, top - bottom


def _check_clamping(
    parts: list[tuple[Solid, int]], glued: list[Laminate], shop: Shop, notes: Notes
) -> None:
    """Glue-ups side by side against clamps and open time; all of one length and depth."""
    wide, lines = 0.0, 0
    lengths: dict[str, float] = {}
    for (part, count), step in zip(parts, glued, strict=True):
        seam = Line.at_angle((0.0, 0.0), step.seams_deg)
        across = [seam.side(p) for p in part.hull]
        along = [seam.ux * x + seam.uy * y for x, y in part.hull]
        wide += count * (max(across) - min(across))
        lengths[part.kind] = max(along) - min(along)
        lines += count * (len(step.parts) - 1)
        if step.angled or step.corner_deg is not None:
            notes.wrong("B146", f"is clamped beside {part.kind}, whose outer faces slant")
    limits = shop.limits
    if wide > limits.clamp_reach_mm + TOUCH_MM:
        notes.unsafe(
            "B321",
            f"lies beside others, {mm(wide)} across; the clamps reach {mm(limits.clamp_reach_mm)}",
        )
    if lines > limits.seams_per_glue_up:
        notes.warn(
            "B322",
            f"closes {lines} glue lines in one clamping; "
            f"the open time of the glue allows {limits.seams_per_glue_up}",
        )
    short, long = min(lengths, key=lengths.__getitem__), max(lengths, key=lengths.__getitem__)
    if lengths[long] - lengths[short] > ALIKE_MM:
        notes.warn(
            "B325",
            f"has {short}, {mm(lengths[short])} long, and {long}, {mm(lengths[long])} long, in one "
            "clamping: what overhangs is not pressed",
        )
    deep = [part.depth_mm for part, _ in parts]
    if max(deep) - min(deep) > TOUCH_MM:
        notes.warn(
            "B326", f"lies in one clamping with parts of another depth, {mm(max(deep) - min(deep))}"
        )
