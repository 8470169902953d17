"""From calliper readings to what is made."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from statistics import fmean

from seamwright.fit.measures import height_mm
from seamwright.fit.remaking import needed_for
from seamwright.fit.resolving import Measured
from seamwright.fit.sizes import Size, What
from seamwright.fit.sources import per_stop, trim_set_up
from seamwright.fit.stackup import Study
from seamwright.plan import Laminate, Mill, Plan, Resaw, Slice, Step, Surface, Trim

_PRESENT = 1e-9


def measured_from(looked: Study, readings: Mapping[int, Sequence[float]]) -> Measured:
    """What is made, from the readings of each step that is done.

    Several readings of one size count by their mean. What a measured part was made from is made
    too, as drawn where nothing else was read.

    Args:
        looked: from ``study``.
        readings: step number to calliper readings [mm]; none where a step was done unmeasured.
    """
    plan = looked.plan
    kinds = [plan.steps[number - 1].makes for number in readings]
    parts = needed_for(plan, kinds)
    made = {size: 0.0 for size in looked.relations.sizes if size.part in parts}
    heights: dict[str, float] = {}
    for number, sizes in readings.items():
        step = plan.steps[number - 1]
        if not sizes:
            continue
        if isinstance(step, Laminate):
            drawn = height_mm(step, looked.program.shapes[step.makes].points)
            heights[step.makes] = fmean(sizes) - drawn
        else:
            made.update(_deviations(looked, step, sizes))
    return Measured(made=made, heights=heights, parts=parts)


def thickness_from(
    plan: Plan,
    readings: Mapping[int, Sequence[float]],
    thick: Mapping[int, Sequence[float]],
) -> dict[str, float]:
    """Thickness of the kinds it was measured on [mm].

    The thinnest reading counts: whatever is glued together is planed down to its thinnest part.

    Args:
        plan: the plan.
        readings: step number to readings of its main size; a resawing's and a planing's is the
            thickness.
        thick: step number to readings of thickness after any other step.
    """
    found: dict[str, float] = {}
    for number, sizes in readings.items():
        step = plan.steps[number - 1]
        if sizes and isinstance(step, Resaw | Surface):
            found[step.makes] = min(sizes)
    for number, sizes in thick.items():
        if sizes:
            found[plan.steps[number - 1].makes] = min(sizes)
    return found


def _deviations(looked: Study, step: Step, sizes: Sequence[float]) -> dict[Size, float]:
    if isinstance(step, Mill):
        return {Size(step.makes, What.WIDTH.value): fmean(sizes) - step.width_mm}
    if isinstance(step, Slice):
        up = step.second_set_up or step.set_up
        along = per_stop(step, looked.plan.shop.saws.table_kerf_mm)
        return {Size(step.makes, What.LENGTH.value): (fmean(sizes) - up.size_mm) * along}
    if isinstance(step, Trim):
        return _stays(looked, step, sizes)
    return {}


def _stays(looked: Study, step: Trim, sizes: Sequence[float]) -> dict[Size, float]:
    """A reading belongs to the setting it is nearest to; all cuts of it are off alike.

    The stop gives the width that stays between two opposite faces where both are cut: the second
    of the two cuts is the one that is off.
    """
    found: dict[Size, float] = {}
    of_setting: dict[float, list[float]] = {}
    for size in sizes:
        near = min(step.set_ups, key=lambda up: abs(up.size_mm - size)).size_mm
        of_setting.setdefault(near, []).append(size)
    for cut in range(len(step.cuts)):
        up = trim_set_up(step, cut, looked.program)
        if up.size_mm in of_setting and _is_last(step, cut, looked):
            off = fmean(of_setting[up.size_mm]) - up.size_mm
            found[Size(step.makes, What.STAYS.value, cut)] = off
    return found


def _is_last(step: Trim, cut: int, looked: Study) -> bool:
    """Whether no later cut of the same setting is parallel to this one."""
    mine = step.cuts[cut].angle_deg % 180.0
    return not any(
        abs(step.cuts[later].angle_deg % 180.0 - mine) < _PRESENT
        and trim_set_up(step, later, looked.program) == trim_set_up(step, cut, looked.program)
        for later in range(cut + 1, len(step.cuts))
    )
