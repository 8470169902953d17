"""Several strip sets glued as one wide lamination, planed once, and ripped apart.

Side by side in the clamps strip sets save the same clamping. A wide lamination saves the planing
of all but one besides, and a stick for each where the outer strips are of one wood; it costs the
rips, a saw's kerf of wood, and settings of the fence. So it pays where there are many of one kind.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from seamwright.geometry import Motion
from seamwright.plan import (
    EdgeCut,
    FreshNames,
    Laminate,
    Machine,
    Mill,
    Placed,
    Plan,
    SetUp,
    Shop,
    Slice,
    Step,
    Surface,
    Trim,
    totals,
)
from seamwright.planner.sticks import sticks_of, with_matches

_NEAR = 1e-6


def with_wide_laminations(plan: Plan) -> Plan:
    """The plan with strip sets ripped from wide laminations, each kind where that saves minutes."""
    mills = {step.makes: step for step in plan.steps if isinstance(step, Mill)}
    sets = [s for s in plan.steps if isinstance(s, Laminate) and s.count > 1]
    # counts and new sticks aside, what a strip set is made of stays as it was
    for glued, sticks in [(s, sticks_of(s, mills)) for s in sets]:
        ways = list(_ways(plan, glued, sticks)) if sticks else []
        if ways:
            best = min(ways, key=lambda way: totals(way).minutes)
            plan = best if totals(best).minutes < totals(plan).minutes - _NEAR else plan
    return plan


def _ways(plan: Plan, glued: Laminate, sticks: list[Mill]) -> Iterator[Plan]:
    """The plan with a kind of strip set ripped from laminations of two, three … of them."""
    users = plan.users(glued.makes)
    if len(users) != 1 or not isinstance(users[0], Surface):
        return
    wide_mm = sum(stick.width_mm for stick in sticks)
    kerf, limits = plan.shop.saws.table_kerf_mm, plan.shop.limits
    if sticks[0].depth_mm > plan.shop.saws.table_depth_mm + _NEAR or wide_mm < limits.part_min_mm:
        return
    for each in range(2, glued.count + 1):
        row = _row(sticks, each, plan.shop)
        across = each * (wide_mm + kerf) - kerf
        if across > limits.clamp_reach_mm + _NEAR or len(row) - 1 > limits.seams_per_glue_up:
            return
        if glued.count % each == 0 and all(_can_mill(stick, plan.shop) for stick in row):
            yield _ripped(plan, glued, users[0], row, each, wide_mm)


def _row(sticks: list[Mill], each: int, shop: Shop) -> list[Mill]:
    """Strips of a wide lamination: between two sets a kerf more, in one stick where woods agree."""
    kerf = shop.saws.table_kerf_mm
    first, *inner = sticks
    row = list(sticks)
    for _ in range(each - 1):
        last = row[-1]
        both = replace(last, width_mm=last.width_mm + kerf + first.width_mm)
        if last.wood == first.wood and _can_mill(both, shop):
            row[-1] = both
        else:
            row.append(replace(first, width_mm=first.width_mm + kerf))
        row += inner
    return row


def _can_mill(stick: Mill, shop: Shop) -> bool:
    limits, rough = shop.limits, 2.0 * shop.allowances.rough_face_mm
    small, large = sorted((stick.width_mm + rough, stick.depth_mm + rough))
    return small <= limits.stock_thickness_mm + _NEAR and large <= limits.stock_width_mm + _NEAR


def _ripped(
    plan: Plan, glued: Laminate, planed: Surface, row: list[Mill], each: int, wide_mm: float
) -> Plan:
    """The plan with a strip set's sticks, glue-up and planing made for wide laminations."""
    count = glued.count // each
    mills = {step.makes: step for step in plan.steps if isinstance(step, Mill)}
    for placed in glued.parts:
        old = mills[placed.part]
        mills[placed.part] = replace(old, count=old.count - glued.count, together=1)
    names = FreshNames(plan)
    parts: list[Placed] = []
    y = 0.0
    for stick in row:
        name = next(
            (
                known.makes
                for known in mills.values()
                if replace(known, makes="", count=1, together=1)
                == replace(stick, makes="", count=1, together=1)
            ),
            "",
        )
        if name:
            mills[name] = replace(mills[name], count=mills[name].count + count)
        else:
            name = names.fresh("S")
            mills[name] = replace(stick, makes=name, count=count, together=1)
        parts.append(Placed(part=name, at=Motion(y_mm=y)))
        y += stick.width_mm
    wide, flat = names.fresh("L"), names.fresh("L")
    fence = SetUp(machine=Machine.RIP_FENCE, size_mm=wide_mm)
    ripped = (
        replace(planed, takes=wide, makes=flat, count=count),
        Trim(
            takes=flat,
            makes=planed.makes,
            count=planed.count,
            cuts=(EdgeCut(x_mm=0.0, y_mm=wide_mm, angle_deg=180.0),),
            set_ups=(fence,),
            each=each,
        ),
    )
    gone = {kind: "" for kind, mill in mills.items() if not mill.count}
    steps: list[Step] = [mill for mill in mills.values() if mill.count]
    for step in plan.steps:
        if step is glued:
            steps.append(
                replace(glued, makes=wide, count=count, parts=tuple(parts), clampings=count)
            )
        elif step is planed:
            steps += ripped
        elif isinstance(step, Slice):
            steps.append(with_matches(step, gone))
        elif not isinstance(step, Mill):
            steps.append(step)
    return replace(plan, steps=tuple(steps))
