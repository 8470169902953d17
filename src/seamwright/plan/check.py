"""What the graph of a plan alone can know: names, order, counts, sizes, set-ups."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import fields
from itertools import pairwise

from seamwright.errors import Fault, PlanError
from seamwright.geometry import sin_deg
from seamwright.plan.lots import lot_faults, lot_numbers
from seamwright.plan.model import Plan
from seamwright.plan.shop import Shop
from seamwright.plan.steps import (
    Laminate,
    Machine,
    Mill,
    Resaw,
    Slice,
    Step,
    Surface,
    Trim,
    inputs,
    outputs,
    set_ups,
)

_SAME_MM = 1e-3
_SAME_DEG = 1e-3

_MACHINES: dict[type[Step], tuple[Machine, ...]] = {
    Slice: (Machine.SLED,),
    Trim: (Machine.SLED, Machine.RIP_FENCE, Machine.CARRIER, Machine.SHOOTING_BOARD),
    Resaw: (Machine.RESAW_FENCE,),
    Surface: (Machine.PLANER, Machine.SANDER),
}


def check(plan: Plan) -> None:
    """Refuse a plan that cannot be right whatever the shapes are.

    Args:
        plan: any plan.
    Raises:
        PlanError: with every fault found.
    """
    faults = [fault for _, fault in numbered_faults(plan)]
    if faults:
        raise PlanError(*faults)


def numbered_faults(plan: Plan) -> tuple[tuple[int, Fault], ...]:
    """Every fault of a plan's graph with the number of its step, 0 for the plan as a whole."""
    found: list[tuple[int, Fault]] = []
    left: dict[str, int] = {}
    used: set[str] = set()
    sliced: set[str] = set()
    made = [outputs(step) for step in plan.steps]
    for number, step in enumerate(plan.steps, start=1):
        subject = f"step {number} ({step.verb} {step.makes})"
        taken, makes = inputs(step), made[number - 1]
        own = [*_names(step, makes, left, sliced, subject), *_numbers(step, subject)]
        if not own:
            own = [*_counts(step, subject), *_set_ups(step, plan, left, subject)]
        for kind, count in taken.items():
            own.extend(_at_hand(kind, count, left, subject))
            left[kind] = left.get(kind, 0) - count
            used.add(kind)
        found.extend((number, fault) for fault in own)
        for kind, count in makes.items():
            left[kind] = left.get(kind, 0) + count
        # slices of one kind may come off bars of several lengths, until the first one is used
        sliced -= taken.keys()
        if isinstance(step, Slice):
            sliced.add(step.makes)
    for number, step in enumerate(plan.steps, start=1):
        for kind in made[number - 1]:
            if kind not in used and not plan.kept(kind):
                subject = f"step {number} ({step.verb} {step.makes})"
                fault = Fault("P143", subject, f"makes {kind}, which nobody uses")
                found.append((number, fault))
    found.extend(lot_faults(plan))
    found.extend((0, fault) for fault in (*_board(plan, left), *_shop(plan.shop)))
    return tuple(found)


def _names(
    step: Step, makes: Iterable[str], made: dict[str, int], sliced: set[str], subject: str
) -> Iterator[Fault]:
    if not step.makes.strip():
        yield Fault("P101", subject, "makes a part without a name", "give it an id such as P1")
    again = isinstance(step, Slice) and step.makes in sliced
    same = isinstance(step, Slice) and step.rest == step.makes
    for kind in makes:
        if same or (kind in made and not (again and kind == step.makes)):
            yield Fault(
                "P102", subject, f"makes {kind}, made or used before", "give each kind its own id"
            )


def _numbers(step: Step, subject: str) -> Iterator[Fault]:
    if not all(map(math.isfinite, numbers(step))):
        yield Fault("P103", subject, "has a size that is not a number")
    if step.count < 1:
        yield Fault("P104", subject, f"is to be made {step.count} times", "use 1 or more")
    for name in ("length_mm", "width_mm", "depth_mm"):
        size = getattr(step, name, None)
        if size is not None and size <= 0.0:
            what = name.removesuffix("_mm")
            yield Fault("P105", subject, f"has a {what} of {size:g} mm", "use more than 0")


def numbers(step: Step) -> tuple[float, ...]:
    """Every number written in a step, set-ups included."""
    own: tuple[float, ...] = (step.count,)
    if isinstance(step, Mill):
        own += (step.length_mm, step.width_mm, step.depth_mm, step.together, step.parted)
        own += tuple(lot_numbers(step.long))
    elif isinstance(step, Slice):
        own += (step.bars, step.per_bar)
        own += tuple(n for cut in step.cuts for n in (cut.at_mm, cut.angle_deg))
    elif isinstance(step, Trim):
        own += (step.each,)
        own += tuple(n for cut in step.cuts for n in (cut.x_mm, cut.y_mm, cut.angle_deg))
    elif isinstance(step, Laminate):
        at = [placed.at for placed in step.parts]
        own += (step.seams_deg, step.clampings, step.caul_mm, step.beside)
        own += tuple(lot_numbers(step.lots))
        own += (step.closes,) if step.corner_deg is None else (step.closes, step.corner_deg)
        own += tuple(n for move in at for n in (move.turn_deg, move.x_mm, move.y_mm))
    elif isinstance(step, Resaw):
        own += (step.billets, step.leaves)
    else:
        own += (step.depth_mm,)
    if isinstance(step, Mill):
        return own
    return own + tuple(n for set_up in set_ups(step) for n in (set_up.size_mm, set_up.angle_deg))


def _counts(step: Step, subject: str) -> Iterator[Fault]:
    if isinstance(step, Slice):
        if step.per_bar < 1 or step.count != step.bars * step.per_bar:
            yield Fault(
                "P106", subject, f"makes {step.count} of {step.bars} bars × {step.per_bar} pieces"
            )
        wanted = step.per_bar if step.squared else step.per_bar + 1
        if len(step.cuts) != wanted:
            yield Fault("P107", subject, f"has {len(step.cuts)} cuts", f"{wanted} are needed")
        if not all(0.0 < cut.angle_deg < 180.0 for cut in step.cuts):
            yield Fault("P108", subject, "has a cut that does not run across the bar")
        if any(b.at_mm <= a.at_mm for a, b in pairwise(step.cuts)):
            yield Fault("P109", subject, "has cuts out of order", "list them left to right")
    elif isinstance(step, Resaw):
        if step.leaves < 2 or step.count != step.billets * step.leaves:
            yield Fault(
                "P106",
                subject,
                f"makes {step.count} of {step.billets} billets × {step.leaves} leaves",
            )
    elif isinstance(step, Laminate):
        yield from _gluing(step, subject)
    elif isinstance(step, Trim):
        yield from _ripping(step, subject)
    elif isinstance(step, Mill) and not 1 <= step.together <= step.count:
        yield Fault(
            "P116", subject, f"mills {step.together} sticks together", f"use 1 to {step.count}"
        )


def _ripping(step: Trim, subject: str) -> Iterator[Fault]:
    if step.each < 1 or step.count % max(step.each, 1):
        yield Fault("P106", subject, f"makes {step.count}, {step.each} from each part it takes")
    if step.each > 1 and len(step.cuts) != 1:
        yield Fault("P107", subject, f"has {len(step.cuts)} cuts", "a wide part is ripped by one")


def _gluing(step: Laminate, subject: str) -> Iterator[Fault]:
    if len(step.parts) < 2:
        yield Fault("P110", subject, "glues fewer than two parts")
    if not step.is_shared and not 1 <= step.clampings <= step.count:
        yield Fault("P111", subject, f"has {step.clampings} clampings", f"use 1 to {step.count}")
    if step.closes < 0:
        yield Fault("P113", subject, f"closes {step.closes} glue lines", "use 0 or more")
    if step.caul_mm < 0.0:
        yield Fault("P114", subject, f"has cauls {step.caul_mm:g} mm deep", "use 0 or more")
    for angle in (step.seams_deg, step.corner_deg or 0.0):
        if not 0.0 <= angle < 180.0:
            yield Fault("P112", subject, f"has seams at {angle:g}°", "use 0 to below 180")


def _set_ups(step: Step, plan: Plan, made: dict[str, int], subject: str) -> Iterator[Fault]:
    if isinstance(step, Mill | Laminate):
        return
    machines = _MACHINES[type(step)]
    for set_up in set_ups(step):
        if set_up.machine not in machines:
            wanted = " or ".join(machine.value for machine in machines)
            yield Fault(
                "P120", subject, f"is set up on the {set_up.machine.value}", f"use {wanted}"
            )
        if set_up.size_mm < 0.0 or not 0.0 < set_up.angle_deg < 180.0:
            yield Fault(
                "P121", subject, f"is set to {set_up.size_mm:g} mm at {set_up.angle_deg:g}°"
            )
        if set_up.match and set_up.match not in made:
            yield Fault("P122", subject, f"is to match {set_up.match}, which is not made before it")
    if isinstance(step, Trim):
        if step.cuts and not 1 <= len(step.set_ups) <= len(step.cuts):
            yield Fault(
                "P123", subject, f"has {len(step.set_ups)} set-ups for {len(step.cuts)} cuts"
            )
        yield from _held(step, subject)
    elif isinstance(step, Surface):
        if abs(step.set_up.size_mm - step.depth_mm) > _SAME_MM:
            yield Fault(
                "P124",
                subject,
                f"sets the planer to {step.set_up.size_mm:g} mm, not to {step.depth_mm:g} mm",
            )
    elif isinstance(step, Slice) and len(step.cuts) + step.squared > 1:
        yield from _slice_set_up(step, plan, subject)


def _held(step: Trim, subject: str) -> Iterator[Fault]:
    wanted = {step.hold.machine}
    if wanted == {Machine.SLED}:
        wanted.add(Machine.RIP_FENCE)
    for set_up in step.set_ups:
        if set_up.machine in _MACHINES[Trim] and set_up.machine not in wanted:
            yield Fault(
                "P127",
                subject,
                f"is held {step.hold.value!r} but set up on the {set_up.machine.value}",
                f"use the {step.hold.machine.value}",
            )


def _slice_set_up(step: Slice, plan: Plan, subject: str) -> Iterator[Fault]:
    for set_up, cut in zip(set_ups(step), step.cuts, strict=False):
        mirrored = 180.0 - set_up.angle_deg
        if min(abs(set_up.angle_deg - cut.angle_deg), abs(mirrored - cut.angle_deg)) > _SAME_DEG:
            yield Fault(
                "P125",
                subject,
                f"sets the sled to {set_up.angle_deg:g}° for a cut at {cut.angle_deg:g}°",
            )
    angle = step.cuts[0].angle_deg
    if any(abs(cut.angle_deg - angle) > _SAME_DEG for cut in step.cuts):
        return
    # pieces between parallel faces: the stop gives their length along the bar or across the faces
    slope = sin_deg(angle)
    if slope <= 0.0:
        return
    wide = plan.shop.saws.table_kerf_mm / slope
    first = step.cuts[0].at_mm
    along = first if step.squared else step.cuts[1].at_mm - first - wide
    sizes = (along, along * slope)
    if min(abs(step.set_up.size_mm - size) for size in sizes) > _SAME_MM:
        yield Fault(
            "P126",
            subject,
            f"sets the stop to {step.set_up.size_mm:g} mm for slices of {along:g} mm",
        )


def _at_hand(kind: str, count: int, left: dict[str, int], subject: str) -> Iterator[Fault]:
    if kind not in left:
        yield Fault("P130", subject, f"uses {kind or 'a nameless part'}, which is not made yet")
    elif count < 1:
        yield Fault("P131", subject, f"takes {count} of {kind}", "use 1 or more")
    elif count > left[kind]:
        yield Fault("P132", subject, f"needs {count} of {kind}; {max(left[kind], 0)} are left")


def _board(plan: Plan, left: dict[str, int]) -> Iterator[Fault]:
    if plan.copies < 1:
        yield Fault("P140", "the plan", f"is for {plan.copies} boards", "use 1 or more")
    made = {kind for step in plan.steps for kind in outputs(step)}
    if plan.board not in made:
        yield Fault("P141", "the plan", f"names {plan.board!r} as the board; no step makes it")
    elif left.get(plan.board, 0) < plan.copies:
        yield Fault(
            "P142", "the plan", f"ends with {left[plan.board]} of {plan.copies} boards wanted"
        )
    for kind in plan.backed.made if plan.backed else ():
        if left.get(kind, 0) < plan.copies:
            there = left.get(kind, 0)
            message = f"ends with {there} of {plan.copies} {kind} to be pressed"
            yield Fault("P144", "the plan", message)


def _shop(shop: Shop) -> Iterator[Fault]:
    for part in fields(Shop):
        values = getattr(shop, part.name)
        for field in fields(values):
            value = getattr(values, field.name)
            if not 0.0 <= value < math.inf:
                name = f"{part.name}.{field.name.removesuffix('_mm')}"
                yield Fault("P144", "the shop", f"has {name} = {value:g}", "use 0 or more")
