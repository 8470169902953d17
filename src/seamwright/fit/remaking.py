"""What cannot be mended: the least that has to be made again."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import combinations

from seamwright.fit.losses import sticks_for
from seamwright.fit.resolving import Levers, Measured, Resolved, levers, resolve
from seamwright.fit.stackup import GAP_MM, Study
from seamwright.plan import Mill, Plan, inputs, outputs, rough_volume_mm3, work_minutes
from seamwright.plan import set_ups as settings_of

_MOST_TOGETHER = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Remake:
    """Steps to do again, and what the rest of the plan then looks like.

    Attributes:
        steps: numbers of the steps, in working order.
        minutes: what that costs, with the wood at its worth [min].
        sticks: to be milled for what those steps take: what they took is used up.
        resolved: the sizes then.
    """

    steps: tuple[int, ...]
    minutes: float
    sticks: tuple[Mill, ...]
    resolved: Resolved


def least_remake(
    looked: Study, measured: Measured, *, gap_mm: float = GAP_MM, known: Levers | None = None
) -> Remake | None:
    """The cheapest steps to do again so that everything meets; None where none of them helps.

    One step after another is tried, then pairs; whatever was made from what is made again has to
    be made again too.

    Args:
        looked: the plan.
        measured: what is made.
        gap_mm: miss that still counts as met.
        known: from ``levers``, where at hand.
    """
    known = known or levers(looked)
    for way in ways_again(looked.plan, {size.part for size in measured.made}, measured.parts):
        left = replace(
            measured,
            made={size: mm for size, mm in measured.made.items() if size.part not in way.kinds},
            heights={part: mm for part, mm in measured.heights.items() if part not in way.kinds},
            parts=measured.parts - way.kinds,
        )
        resolved = resolve(looked, left, known)
        if resolved is not None and resolved.mends(gap_mm):
            return Remake(
                steps=way.steps, minutes=way.minutes, sticks=way.sticks, resolved=resolved
            )
    return None


@dataclass(frozen=True, slots=True, kw_only=True)
class Again:
    """One way to make something again.

    Attributes:
        kinds: what is made again, with all that was made from it.
        steps: numbers of the steps that are done again, in working order.
        minutes: what that costs, with the wood at its worth [min].
        sticks: to be milled for those steps.
    """

    kinds: frozenset[str]
    steps: tuple[int, ...]
    minutes: float
    sticks: tuple[Mill, ...]


def ways_again(plan: Plan, kinds: Iterable[str], made: frozenset[str]) -> list[Again]:
    """One kind after another made again, then two together; cheapest first.

    Args:
        plan: the plan.
        kinds: to choose from.
        made: all that is made already.
    """
    ways = []
    for count in range(1, _MOST_TOGETHER + 1):
        for chosen in combinations(sorted(kinds), count):
            again = made_from(plan, chosen) & made
            steps = tuple(
                number
                for number, step in enumerate(plan.steps, start=1)
                if again & outputs(step).keys()
            )
            sticks = sticks_again(plan, chosen, steps)
            minutes = minutes_again(plan, steps, sticks)
            ways.append(Again(kinds=again, steps=steps, minutes=minutes, sticks=sticks))
    return sorted(ways, key=lambda way: (way.minutes, way.steps))


def made_from(plan: Plan, kinds: Iterable[str]) -> frozenset[str]:
    """Kinds and everything that is made from them."""
    found = set(kinds)
    for step in plan.steps:
        if found & inputs(step).keys():
            found |= outputs(step).keys()
    return frozenset(found)


def needed_for(plan: Plan, kinds: Iterable[str]) -> frozenset[str]:
    """Kinds and everything they are made from."""
    found = set(kinds)
    for step in reversed(plan.steps):
        if found & outputs(step).keys():
            found |= inputs(step).keys()
    return frozenset(found)


def sticks_again(plan: Plan, chosen: Iterable[str], steps: tuple[int, ...]) -> tuple[Mill, ...]:
    """Sticks for making some kinds again, and those that are milled again anyway.

    Args:
        plan: the plan.
        chosen: kinds to be made again.
        steps: numbers of the steps that are done again.
    """
    chosen = set(chosen)
    found = [step for number in steps if isinstance(step := plan.steps[number - 1], Mill)]
    for number in steps:
        step = plan.steps[number - 1]
        after = any(step.makes in made_from(plan, [kind]) for kind in chosen - {step.makes})
        if step.makes in chosen and not after and not isinstance(step, Mill):
            found += sticks_for(plan, step, step.count)
    return tuple(found)


def minutes_again(plan: Plan, steps: tuple[int, ...], sticks: tuple[Mill, ...] = ()) -> float:
    """What doing some steps again costs, with the wood at its worth [min].

    Args:
        plan: the plan.
        steps: their numbers.
        sticks: to be milled for them; those of a milling among the steps count once.
    """
    shop = plan.shop
    own = {id(plan.steps[number - 1]) for number in steps}
    more = [stick for stick in sticks if id(stick) not in own]
    total = sum(
        work_minutes(stick, shop) + rough_volume_mm3(stick, shop) / 1e6 * shop.minutes.wood_litre
        for stick in more
    )
    for number in steps:
        step = plan.steps[number - 1]
        total += work_minutes(step, shop) + shop.minutes.set_up * len(settings_of(step))
        if isinstance(step, Mill):
            total += rough_volume_mm3(step, shop) / 1e6 * shop.minutes.wood_litre
    return total
