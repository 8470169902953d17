"""Sticks in a plan that is written: equal ones as one kind, and which a strip set is made of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from seamwright.plan import Laminate, Mill, Plan, SetUp, Slice, Step
from seamwright.planner.settings import milling_order

_DIGITS = 6


def with_equal_sticks_as_one(plan: Plan) -> Plan:
    """The plan with equal sticks under one name, each by itself, in the order they are milled."""
    kinds: dict[tuple[object, ...], Mill] = {}
    names: dict[str, str] = {}
    for step in plan.steps:
        if not isinstance(step, Mill):
            continue
        sizes = (step.length_mm, step.width_mm, step.depth_mm)
        key = (step.wood, *(round(size, _DIGITS) for size in sizes))
        known = kinds.get(key)
        names[step.makes] = known.makes if known else step.makes
        count = step.count + (known.count if known else 0)
        kinds[key] = replace(known or step, count=count).alone()
    milled = sorted(kinds.values(), key=milling_order)
    rest = [_renamed(step, names) for step in plan.steps if not isinstance(step, Mill)]
    return replace(plan, steps=(*milled, *rest))


def sticks_of(step: Step, mills: Mapping[str, Mill]) -> list[Mill]:
    """The sticks of a strip set, one for each strip; none where it is no plain one, or shared.

    Args:
        step: any step.
        mills: the milling steps of its plan, by kind.
    """
    if not isinstance(step, Laminate) or step.is_shared or step.angled or step.caul_mm:
        return []
    lies_flat = all(not (p.at.x_mm or p.at.turn_deg or p.at.over) for p in step.parts)
    are_sticks = all(placed.part in mills for placed in step.parts)
    return [mills[placed.part] for placed in step.parts] if lies_flat and are_sticks else []


def _renamed(step: Step, names: dict[str, str]) -> Step:
    """A step that takes, or is set from, a stick that has another name now."""
    if isinstance(step, Laminate):
        if all(names.get(placed.part, placed.part) == placed.part for placed in step.parts):
            return step
        parts = (replace(p, part=names.get(p.part, p.part)) for p in step.parts)
        return replace(step, parts=tuple(parts))
    if isinstance(step, Slice):
        return replace(with_matches(step, names), takes=names.get(step.takes, step.takes))
    return step


def with_matches(step: Slice, names: Mapping[str, str]) -> Slice:
    """A slicing whose stops are set from sticks that have other names now, or from none ("")."""
    second = step.second_set_up
    return replace(
        step,
        set_up=_matched(step.set_up, names),
        second_set_up=None if second is None else _matched(second, names),
    )


def _matched(up: SetUp, names: Mapping[str, str]) -> SetUp:
    match = names.get(up.match, up.match)
    return up if match == up.match else replace(up, match=match)
