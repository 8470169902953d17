"""Sticks of one wood and size are one kind, whatever they are for."""

from __future__ import annotations

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


def _renamed(step: Step, names: dict[str, str]) -> Step:
    """A step that takes, or is set from, a stick that has another name now."""
    if isinstance(step, Laminate):
        if all(names.get(placed.part, placed.part) == placed.part for placed in step.parts):
            return step
        parts = (replace(p, part=names.get(p.part, p.part)) for p in step.parts)
        return replace(step, parts=tuple(parts))
    if isinstance(step, Slice):
        ups = (_matched(step.set_up, names), step.second_set_up)
        takes = names.get(step.takes, step.takes)
        if (takes, ups[0]) == (step.takes, step.set_up):
            return step
        return replace(step, takes=takes, set_up=ups[0])
    return step


def _matched(up: SetUp, names: dict[str, str]) -> SetUp:
    match = names.get(up.match, up.match)
    return up if match == up.match else replace(up, match=match)
