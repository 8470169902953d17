"""What a plan costs: glue-ups, set-ups, cuts, wood and minutes, walked off its steps.

All sticks are milled on one day (each thickness and each rip width set once), and all bars are
sliced together (each stop and angle set once), because neither waits for anything but sticks and
strip sets. Every other step, the planing of strip sets and rows sawn apart among them, waits for
glue: there a machine keeps its setting from one step to the next, and a setting that was changed in
between is made again.
"""

from __future__ import annotations

from dataclasses import dataclass

from seamwright.plan.model import Plan
from seamwright.plan.overlay import backing_minutes
from seamwright.plan.shop import Shop
from seamwright.plan.steps import (
    Hold,
    Laminate,
    Machine,
    Mill,
    Resaw,
    SetUp,
    Slice,
    Step,
    Surface,
    Trim,
    set_ups,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Totals:
    """Sums over a plan.

    Attributes:
        glue_ups: times the clamps are loaded.
        set_ups: machine settings made.
        cuts: passes of a saw blade through a part, ripping of sticks aside.
        sticks: sticks milled, long ones before they are parted.
        parts: parts cut from bars, spares included.
        wood_mm3: rough wood the sticks are milled from [mm³].
        minutes: the shop's minutes, the worth of the wood included.
    """

    glue_ups: int
    set_ups: int
    cuts: int
    sticks: int
    parts: int
    wood_mm3: float
    minutes: float


def rough_volume_mm3(step: Mill, shop: Shop) -> float:
    """Rough wood for the sticks of one step [mm³]."""
    extra = shop.allowances
    long = milled_count(step)
    length = step.count * step.length_mm + long * extra.rough_length_mm
    return (
        (length + (step.count - long) * shop.saws.table_kerf_mm)
        * (step.width_mm + 2.0 * extra.rough_face_mm)
        * (step.depth_mm + 2.0 * extra.rough_face_mm)
    )


def milled_count(step: Mill) -> int:
    """Sticks that are jointed, planed and ripped in a step, long ones before they are parted."""
    return sum(times for _, times in step.long_sticks)


def set_up_minutes(set_up: SetUp, shop: Shop) -> float:
    """Minutes for one machine setting; a slanted one takes a gauge and a test cut.

    A carrier or shooting board is set to a part, whatever its angle.
    """
    if set_up.machine is Machine.CARRIER:
        return shop.small_parts.carrier_set_up
    if set_up.machine is Machine.SHOOTING_BOARD:
        return shop.small_parts.hand_set_up
    square = abs(set_up.angle_deg - 90.0) < 1e-6
    return shop.minutes.set_up if square else shop.minutes.set_up_angle


def cut_count(step: Step) -> int:
    """Passes of a saw blade across or through a part in a step."""
    if isinstance(step, Mill):
        return step.count - milled_count(step)
    if isinstance(step, Slice):
        return step.bars * len(step.cuts)
    if isinstance(step, Trim):
        taken = step.count // step.each
        return step.count * len(step.cuts) if step.each == 1 else step.count - taken
    if isinstance(step, Resaw):
        return step.billets * (step.leaves - 1)
    return 0


def trim_minutes(hold: Hold, shop: Shop) -> float:
    """Minutes for one edge or corner that comes off a part held in a certain way."""
    if hold is Hold.CARRIER:
        return shop.small_parts.carrier_trim
    return shop.small_parts.hand_trim if hold is Hold.HAND else shop.minutes.trim


def work_minutes(step: Step, shop: Shop) -> float:
    """Minutes of work in a step, set-ups and wood aside."""
    m = shop.minutes
    if isinstance(step, Mill):
        return m.stick * milled_count(step) + m.slice * cut_count(step)
    if isinstance(step, Slice):
        return m.slice * cut_count(step)
    if isinstance(step, Trim):
        return trim_minutes(step.hold, shop) * cut_count(step)
    if isinstance(step, Resaw):
        return m.resaw * cut_count(step)
    if isinstance(step, Surface):
        return m.surface * step.count
    each = m.glue_up + (m.glue_up_angle if step.angled else 0.0)
    cauls = shop.clamps.caul_minutes if step.caul_mm else 0.0
    return each * step.clampings + m.glue_line * glue_lines(step) * step.count + cauls


def glue_lines(step: Laminate) -> int:
    """Glue lines that one lamination closes."""
    return step.closes or len(step.parts) - 1


def settings(plan: Plan) -> tuple[tuple[SetUp, ...], ...]:
    """The settings each step makes anew, step by step, in the order of the plan."""
    milled: set[object] = set()
    sliced: set[object] = set()
    standing: dict[Machine, object] = {}
    made: list[tuple[SetUp, ...]] = []
    for step in plan.steps:
        new = []
        if isinstance(step, Mill) or (isinstance(step, Slice) and not step.apart):
            known = milled if isinstance(step, Mill) else sliced
            for set_up in set_ups(step):
                if set_up.key not in known:
                    known.add(set_up.key)
                    new.append(set_up)
        else:
            for set_up in set_ups(step):
                if standing.get(set_up.machine) != set_up.key:
                    standing[set_up.machine] = set_up.key
                    new.append(set_up)
        made.append(tuple(new))
    return tuple(made)


def totals(plan: Plan) -> Totals:
    """Sums over a whole plan."""
    shop = plan.shop
    made = [set_up for step in settings(plan) for set_up in step]
    wood = sum(rough_volume_mm3(step, shop) for step in plan.steps if isinstance(step, Mill))
    minutes = sum(work_minutes(step, shop) for step in plan.steps)
    minutes += sum(set_up_minutes(set_up, shop) for set_up in made)
    minutes += wood / 1e6 * shop.minutes.wood_litre
    minutes += backing_minutes(shop) * plan.copies
    pressed = shop.overlays.backings * plan.copies
    return Totals(
        glue_ups=pressed + sum(step.clampings for step in plan.steps if isinstance(step, Laminate)),
        set_ups=len(made),
        cuts=sum(cut_count(step) for step in plan.steps),
        sticks=sum(milled_count(step) for step in plan.steps if isinstance(step, Mill)),
        parts=sum(step.count for step in plan.steps if isinstance(step, Slice)),
        wood_mm3=wood,
        minutes=minutes,
    )
