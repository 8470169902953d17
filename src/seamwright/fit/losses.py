"""Parts that are lost: whether the rest can do without them, and how many to make beforehand."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from seamwright.plan import (
    Laminate,
    Losses,
    Mill,
    Plan,
    Slice,
    Step,
    Trim,
    inputs,
    outputs,
    rough_volume_mm3,
)

SURE = 0.95
"""Chance of having enough that spares are suggested for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spare:
    """Spares for one kind.

    Attributes:
        part: the kind.
        step: number of the step that makes it.
        needed, made: how many the plan uses, and how many it makes.
        more: how many to make beyond those made, to have enough with the chance wanted.
        chance: of having enough as planned.
    """

    part: str
    step: int
    needed: int
    made: int
    more: int
    chance: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortage:
    """A count of good parts that is below what the plan needs.

    Attributes:
        part, step: the kind and the step that makes it.
        short: how many are missing; 0 where spares cover the loss.
        lost: how many were lost.
        from_tail: how many can be sliced from what remains of the bars, the safe tail kept.
        sticks: lengths of sticks to mill for the others: (kind, how many, length) [mm].
        wood_mm3: rough wood for them [mm³].
    """

    part: str
    step: int
    short: int
    lost: int
    from_tail: int
    sticks: tuple[tuple[str, int, float], ...]
    wood_mm3: float


def spares(plan: Plan, losses: Losses, *, sure: float = SURE) -> tuple[Spare, ...]:
    """What to make more of beforehand, from how much a shop spoils.

    Each part is spoilt by itself; the number of good ones is binomial.

    Args:
        plan: the plan.
        losses: scrap rates of the shop.
        sure: chance of having enough that is wanted, 0 to 1.
    """
    found = []
    for number, step in enumerate(plan.steps, start=1):
        rate = _rate(step, losses)
        needed = sum(inputs(user).get(step.makes, 0) for user in plan.users(step.makes))
        if not needed or not rate or not isinstance(step, Mill | Slice | Trim):
            continue
        made = outputs(step)[step.makes]
        more = 0
        while enough(made + more, needed, rate) < sure:
            more += 1
        found.append(
            Spare(
                part=step.makes,
                step=number,
                needed=needed,
                made=made,
                more=more,
                chance=enough(made, needed, rate),
            )
        )
    return tuple(found)


def enough(made: int, needed: int, rate: float) -> float:
    """Chance that of so many made, each spoilt with a rate, at least so many are good.

    >>> round(enough(12, 12, 0.02), 4), enough(5, 6, 0.0)
    (0.7847, 0.0)
    """
    return math.fsum(
        math.comb(made, bad) * rate**bad * (1.0 - rate) ** (made - bad)
        for bad in range(max(made - needed, -1) + 1)
    )


def _rate(step: Step, losses: Losses) -> float:
    if isinstance(step, Mill):
        return losses.stick_pct / 100.0
    if isinstance(step, Slice):
        return losses.slice_pct / 100.0
    if isinstance(step, Trim):
        return losses.trim_pct / 100.0
    return losses.glue_up_pct / 100.0


def shortage(plan: Plan, number: int, good: int) -> Shortage:
    """What to do where fewer parts are good than were to be made.

    Args:
        plan: the plan.
        number: of the step that made them, from 1.
        good: how many are good.
    """
    step = plan.steps[number - 1]
    needed = sum(inputs(user).get(step.makes, 0) for user in plan.users(step.makes))
    needed += plan.kept(step.makes)
    others = sum(
        outputs(other)[step.makes]
        for other in plan.steps
        if other is not step and step.makes in outputs(other)
    )
    short = max(needed - others - good, 0)
    from_tail = min(_in_tail(plan, step), short) if isinstance(step, Slice) else 0
    sticks = sticks_for(plan, step, short - from_tail)
    return Shortage(
        part=step.makes,
        step=number,
        short=short,
        lost=step.count - good,
        from_tail=from_tail,
        sticks=tuple((mill.makes, mill.count, mill.length_mm) for mill in sticks),
        wood_mm3=sum(rough_volume_mm3(mill, plan.shop) for mill in sticks),
    )


def _pitch(plan: Plan, step: Slice) -> float:
    """Length of bar one more slice takes [mm]."""
    kerf = plan.shop.saws.table_kerf_mm
    cuts = [cut.at_mm for cut in step.cuts]
    if len(cuts) >= 3:
        return (cuts[2] - cuts[0]) / 2.0
    start = -kerf if step.squared else cuts[0]
    return cuts[-1] - start


def _in_tail(plan: Plan, step: Slice) -> int:
    """Slices that what remains of the bars still gives with the safe tail kept."""
    if step.apart or step.rest:
        return 0
    length = _bar_mm(plan, step.takes)
    left = length - step.cuts[-1].at_mm - plan.shop.saws.table_kerf_mm
    room = left - plan.shop.allowances.tail_mm
    return max(int(room / _pitch(plan, step) + 1e-9), 0) * step.bars


def _bar_mm(plan: Plan, kind: str) -> float:
    """Length of a bar, or of what remains of it after earlier slices [mm]."""
    step = plan.maker(kind)
    if isinstance(step, Mill):
        return step.length_mm
    if isinstance(step, Laminate):
        return min(_bar_mm(plan, placed.part) for placed in step.parts)
    if isinstance(step, Slice):
        return _bar_mm(plan, step.takes) - step.cuts[-1].at_mm - plan.shop.saws.table_kerf_mm
    return _bar_mm(plan, step.takes)


def sticks_for(plan: Plan, step: Step, short: int) -> tuple[Mill, ...]:
    """Sticks to mill again for so many parts, each as long as those slices need."""
    if short <= 0:
        return ()
    if isinstance(step, Mill):
        return (replace(step.alone(), count=short, together=min(step.together, short)),)
    if isinstance(step, Slice) and not step.apart:
        extra = plan.shop.allowances
        kerf = plan.shop.saws.table_kerf_mm
        length = extra.square_end_mm + kerf + short * _pitch(plan, step) + extra.tail_mm
        length = max(length, plan.shop.limits.stick_min_length_mm)
        return tuple(
            replace(mill.alone(), count=count, length_mm=length)
            for mill, count in _stick_kinds(plan, step.takes).values()
        )
    return tuple(
        stick
        for kind, count in inputs(step).items()
        for stick in sticks_for(plan, plan.maker(kind), -(-count * short // step.count))
    )


def _stick_kinds(plan: Plan, kind: str) -> dict[str, tuple[Mill, int]]:
    """Sticks of one bar and how many of each."""
    step = plan.maker(kind)
    if isinstance(step, Mill):
        return {step.makes: (step, 1)}
    found: dict[str, tuple[Mill, int]] = {}
    parts = [p.part for p in step.parts] if isinstance(step, Laminate) else list(inputs(step))
    for part in parts:
        for name, (mill, count) in _stick_kinds(plan, part).items():
            known = found.get(name, (mill, 0))[1]
            found[name] = (mill, known + count)
    return found
