"""Bars that are made and too short for their slices: fewer from them, the rest from a new one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from seamwright.fit.wedges import cot
from seamwright.geometry import sin_deg
from seamwright.plan import Laminate, Mill, Plan, SawCut, Slice, Step, Surface, inputs, outputs

_FITS_MM = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortBar:
    """A bar that is too short, and what is done about it.

    Attributes:
        step: number of the slicing.
        part, bar: kind of the slices, and of the bar.
        short_mm: how much is missing for all of them [mm].
        each, bars: slices still cut from each bar, and bars.
        missing: slices that come from a new bar; 0 where spares cover them.
        steps: how the new bar is made and sliced.
        copies: new kinds and the kinds they are made like.
    """

    step: int
    part: str
    bar: str
    short_mm: float
    each: int
    bars: int
    missing: int
    steps: tuple[Step, ...]
    copies: Mapping[str, str]

    @property
    def sticks(self) -> tuple[Mill, ...]:
        """Sticks to mill for the new bar."""
        return tuple(step for step in self.steps if isinstance(step, Mill))


def shortened(
    plan: Plan, number: int, step: Slice, *, short_mm: float
) -> tuple[Slice, ShortBar] | None:
    """Fewer slices from a bar; None where it would give none, or is sliced further.

    Args:
        plan: the plan.
        number: of the slicing, from 1.
        step: the slicing as it should be.
        short_mm: how much too short its bars are [mm].
    """
    if step.rest or step.apart or (step.squared and step.head_to_tail):
        return None
    last = step.cuts[-1].at_mm
    fewer = next(
        (
            k
            for k in range(1, step.per_bar)
            if last - step.cuts[-1 - k].at_mm >= short_mm - _FITS_MM
        ),
        0,
    )
    if not fewer:
        return None
    each = step.per_bar - fewer
    left = replace(
        step, per_bar=each, count=each * step.bars, cuts=step.cuts[: each + (not step.squared)]
    )
    missing = max(fewer * step.bars - _spare(plan, step), 0)
    return left, ShortBar(
        step=number,
        part=step.makes,
        bar=step.takes,
        short_mm=short_mm,
        each=each,
        bars=step.bars,
        missing=missing,
        steps=(),
        copies={},
    )


def with_new_bar(plan: Plan, short: ShortBar, step: Slice, *, height_mm: float) -> ShortBar:
    """The steps that make and slice a new bar for the slices that are missing.

    Args:
        plan: with all its new sizes.
        short: from ``shortened``.
        step: the slicing as it should have been.
        height_mm: height of a bar [mm].
    """
    if not short.missing:
        return short
    fewer = step.per_bar - short.each
    steps, copies = _new_bar(plan, step, short.missing, fewer, height_mm)
    return replace(short, steps=steps, copies=copies)


def _spare(plan: Plan, step: Slice) -> int:
    """Slices of this kind that nobody needs."""
    made = sum(outputs(other).get(step.makes, 0) for other in plan.steps)
    used = sum(inputs(user).get(step.makes, 0) for user in plan.users(step.makes))
    return made - used - plan.kept(step.makes)


def _new_bar(
    plan: Plan, step: Slice, missing: int, fewer: int, height_mm: float
) -> tuple[tuple[Step, ...], dict[str, str]]:
    """One bar for all that is missing, or as many as there were where one does not hold them."""
    bars, each = (1, missing) if missing <= step.per_bar else (step.bars, fewer)
    cuts, shop = _cuts(plan, step)[: each + 1], plan.shop
    last = cuts[-1]
    length = last.at_mm + shop.saws.table_kerf_mm / sin_deg(last.angle_deg)
    length += max(0.0, height_mm * cot(last.angle_deg)) + shop.allowances.tail_mm
    length = max(length, shop.limits.stick_min_length_mm)
    copies: dict[str, str] = {}
    whole = _whole(plan, step.takes)
    steps = _again(plan, whole, bars, length, copies)
    bar = next(new for new, old in copies.items() if old == whole)
    sliced = replace(
        step, takes=bar, bars=bars, per_bar=each, count=bars * each, cuts=cuts, squared=False
    )
    return (*steps, sliced), copies


def _cuts(plan: Plan, step: Slice) -> tuple[SawCut, ...]:
    """The cuts along a bar whose first end is still rough."""
    if not step.squared:
        return step.cuts
    angle = step.cuts[0].angle_deg
    start = plan.shop.allowances.square_end_mm
    wide = plan.shop.saws.table_kerf_mm / sin_deg(angle)
    first = SawCut(at_mm=start, angle_deg=angle)
    return (first, *(replace(cut, at_mm=start + wide + cut.at_mm) for cut in step.cuts))


def _whole(plan: Plan, kind: str) -> str:
    """The bar that something is the rest of."""
    step = plan.maker(kind)
    while isinstance(step, Slice) and step.rest == kind:
        kind = step.takes
        step = plan.maker(kind)
    return kind


def _again(
    plan: Plan, kind: str, count: int, length_mm: float, copies: dict[str, str]
) -> tuple[Step, ...]:
    """The steps that make so many of a kind once more, its sticks of another length."""
    step = plan.maker(kind)
    new = _name(plan, kind, copies)
    copies[new] = kind
    if isinstance(step, Mill):
        return (replace(step.alone(), makes=new, count=count, length_mm=length_mm),)
    if isinstance(step, Surface):
        before = _again(plan, step.takes, count, length_mm, copies)
        takes = next(n for n, old in copies.items() if old == step.takes)
        return (*before, replace(step, makes=new, takes=takes, count=count))
    assert isinstance(step, Laminate)
    each: dict[str, int] = {}
    for placed in step.parts:
        each[placed.part] = each.get(placed.part, 0) + count
    made: list[Step] = []
    for part, number in each.items():
        made += _again(plan, part, number, length_mm, copies)
    names = {old: n for n, old in copies.items()}
    parts = tuple(replace(placed, part=names[placed.part]) for placed in step.parts)
    return (*made, replace(step.alone(), makes=new, parts=parts, count=count, clampings=1))


def _name(plan: Plan, kind: str, copies: Mapping[str, str]) -> str:
    taken = {made for step in plan.steps for made in outputs(step)} | set(copies)
    return next(name for n in range(2, 99) if (name := f"{kind}/{n}") not in taken)
