"""Bars that are sliced: which of them may be made as several shorter ones, and the plan so changed.

What counts is the number of slices, not one long bar. A bar is open where it is one stick or one
square strip set of sticks, used for nothing else, and where equal slices come off it at one angle;
what remains may be sliced further, square, into slices of other kinds (stages).
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

from seamwright.plan.lots import unshared
from seamwright.plan.model import Plan
from seamwright.plan.names import FreshNames
from seamwright.plan.steps import Laminate, Mill, SawCut, Slice, Step, Surface, inputs

_SAME = 1e-6
_SQUARE_DEG = 90.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """Slices of one kind off each bar; ``pitch_mm`` of bar for each, its kerf included."""

    makes: str
    per_bar: int
    pitch_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenBar:
    """A bar whose length is open.

    Attributes:
        takes: kind of the bar.
        sticks: kinds of its sticks, each once, in the order of the plan.
        each: of each kind of stick, how many are in one bar.
        bars: as the plan has them.
        stages: kinds of slices, in the order they come off.
        length: of the bars as they are [mm].
        is_glued: whether a bar is a strip set; else it is a stick.
        glued: kind of the strip set before it is planed; ``takes`` where it is not.
    """

    takes: str
    glued: str
    sticks: tuple[str, ...]
    each: tuple[int, ...]
    bars: int
    stages: tuple[Stage, ...]
    length: float
    is_glued: bool

    @property
    def per_bar(self) -> int:
        """Slices from one bar."""
        return sum(stage.per_bar for stage in self.stages)

    @property
    def slices(self) -> int:
        """Slices from all bars."""
        return self.bars * self.per_bar

    @property
    def pitch_mm(self) -> float:
        """Length of bar that one more slice takes at most."""
        return max(stage.pitch_mm for stage in self.stages)

    @property
    def extra_mm(self) -> float:
        """Length of a bar beyond its slices: squaring and the tail that is held."""
        return self.length - sum(stage.per_bar * stage.pitch_mm for stage in self.stages)

    def length_mm(self, slices: int) -> float:
        """Length of a bar that gives so many slices of any of its kinds."""
        return self.extra_mm + slices * self.pitch_mm


def open_bars(plan: Plan) -> tuple[OpenBar, ...]:
    """Every bar of a plan that may be split, longest first."""
    rests = {s.rest for s in plan.steps if isinstance(s, Slice) and s.rest}
    found = [
        bar
        for step in plan.steps
        if isinstance(step, Slice) and step.takes not in rests
        if (bar := _open(plan, step)) is not None
    ]
    return tuple(sorted(found, key=lambda bar: -bar.length))


def with_split(plan: Plan, bar: OpenBar, split: tuple[int, ...]) -> Plan:
    """The plan with a bar's slices cut from bars of other lengths.

    Args:
        plan: the plan the bar is of.
        bar: one of its open bars.
        split: slices of each bar; together at least as many as before.

    Raises:
        ValueError: too few slices, or a bar without any.
    """
    if sum(split) < bar.slices or min(split) < 1:
        raise ValueError(f"{split} do not give {bar.slices} slices")
    plan = unshared(plan)
    groups = tuple(Counter(_shares(bar, sorted(split, reverse=True))).items())
    names = FreshNames(plan)
    renamed = [
        {kind: kind if first else names.fresh(kind) for kind in (bar.takes, bar.glued, *bar.sticks)}
        for first in (n == 0 for n in range(len(groups)))
    ]
    old = {s.makes: s for s in plan.steps if isinstance(s, Slice)}
    mine = [old[stage.makes] for stage in bar.stages]
    steps: list[Step] = []
    for step in plan.steps:
        if isinstance(step, Mill) and step.makes in bar.sticks:
            each = bar.each[bar.sticks.index(step.makes)]
            for (share, bars), new in zip(groups, renamed, strict=True):
                length = bar.length_mm(sum(share))
                count, kind = each * bars, new[step.makes]
                longer = replace(step.alone(), makes=kind, count=count, length_mm=length)
                steps.append(longer)
        elif isinstance(step, Surface) and step.makes == bar.takes:
            for (_, bars), new in zip(groups, renamed, strict=True):
                took, kind = new[step.takes], new[step.makes]
                steps.append(replace(step, takes=took, makes=kind, count=bars))
        elif isinstance(step, Laminate) and step.makes == bar.glued:
            for (_, bars), new in zip(groups, renamed, strict=True):
                parts = tuple(replace(p, part=new[p.part]) for p in step.parts)
                kind = new[step.makes]
                steps.append(replace(step, makes=kind, count=bars, clampings=bars, parts=parts))
        elif step is mine[0]:
            for (share, bars), new in zip(groups, renamed, strict=True):
                steps += _sliced(mine, bar, share, bars, takes=new[bar.takes], names=names)
        elif step not in mine:
            steps.append(step)
    return replace(plan, steps=tuple(steps))


def _shares(bar: OpenBar, split: list[int]) -> list[tuple[int, ...]]:
    """How many slices of each stage come off each bar; spare ones are of the last stage."""
    left = [stage.per_bar * bar.bars for stage in bar.stages]
    left[-1] += sum(split) - bar.slices
    shares = []
    for slices in split:
        share, room = [], slices
        for stage, count in enumerate(left):
            taken = min(room, count)
            left[stage] -= taken
            room -= taken
            share.append(taken)
        shares.append(tuple(share))
    return shares


def _sliced(
    steps: list[Slice],
    bar: OpenBar,
    share: tuple[int, ...],
    bars: int,
    *,
    takes: str,
    names: FreshNames,
) -> list[Step]:
    """The slicing of some equal bars, stage after stage."""
    made: list[Step] = []
    wanted = [n for n, count in enumerate(share) if count]
    start = steps[0].cuts[0]
    for n in wanted:
        step, stage, count = steps[n], bar.stages[n], share[n]
        squared = n != wanted[0]
        first = start.at_mm if not squared else stage.pitch_mm - _kerf(steps, bar)
        cuts = tuple(
            SawCut(at_mm=first + k * stage.pitch_mm, angle_deg=start.angle_deg)
            for k in range(count + (0 if squared else 1))
        )
        rest = names.fresh(f"{bar.takes}r") if n != wanted[-1] else ""
        made.append(
            replace(
                step,
                takes=takes,
                bars=bars,
                per_bar=count,
                count=bars * count,
                cuts=cuts,
                squared=squared,
                rest=rest,
            )
        )
        takes = rest
    return made


def _kerf(steps: list[Slice], bar: OpenBar) -> float:
    """Kerf at the sled: what a slice's pitch has beyond the stop."""
    return bar.stages[-1].pitch_mm - steps[-1].cuts[0].at_mm if steps[-1].squared else 0.0


def _open(plan: Plan, step: Slice) -> OpenBar | None:
    chain = _chain(plan, step)
    stages = tuple(filter(None, (_stage(plan, each) for each in chain)))
    made = {s.makes: s for s in plan.steps}
    bar = made.get(step.takes)
    if isinstance(bar, Surface):
        bar = made.get(bar.takes)
    sticks = _sticks(plan, bar)
    if not chain or len(stages) != len(chain) or not sticks:
        return None
    if bar is None or any(_uses(plan, kind) != step.bars for kind in (step.takes, bar.makes)):
        return None
    lengths = {round(stick.length_mm, 6) for stick, _ in sticks}
    if len(lengths) != 1 or any(stick.count != each * step.bars for stick, each in sticks):
        return None
    return OpenBar(
        takes=step.takes,
        glued=bar.makes,
        sticks=tuple(stick.makes for stick, _ in sticks),
        each=tuple(each for _, each in sticks),
        bars=step.bars,
        stages=stages,
        length=sticks[0][0].length_mm,
        is_glued=isinstance(bar, Laminate),
    )


def _chain(plan: Plan, step: Slice) -> tuple[Slice, ...]:
    """A bar's slicing, stage after stage; none where it is no plain one."""
    chain = [step]
    if step.squared:
        return ()
    while chain[-1].rest:
        following = [s for s in plan.steps if isinstance(s, Slice) and s.takes == chain[-1].rest]
        if len(following) != 1 or not following[0].squared:
            return ()
        chain.append(following[0])
    square = all(abs(c.angle_deg - _SQUARE_DEG) < _SAME for each in chain for c in each.cuts)
    made = Counter(s.makes for s in plan.steps)
    plain = all(
        not each.head_to_tail and each.second_set_up is None and made[each.makes] == 1
        for each in chain
    )
    return tuple(chain) if plain and (square or len(chain) == 1) else ()


def _stage(plan: Plan, step: Slice) -> Stage | None:
    at = [cut.at_mm for cut in step.cuts]
    if step.squared:
        pitch = at[0] + plan.shop.saws.table_kerf_mm
    elif len(at) > 1:
        pitch = at[1] - at[0]
    else:
        return None
    even = all(
        abs(cut.at_mm - at[0] - n * pitch) < _SAME
        and abs(cut.angle_deg - step.cuts[0].angle_deg) < _SAME
        for n, cut in enumerate(step.cuts)
    )
    return Stage(makes=step.makes, per_bar=step.per_bar, pitch_mm=pitch) if even else None


def _sticks(plan: Plan, bar: Step | None) -> tuple[tuple[Mill, int], ...]:
    """Sticks of a bar with how many of each; none where it is no plain bar."""
    if isinstance(bar, Mill):
        return ((bar, 1),)
    if not isinstance(bar, Laminate) or bar.angled:
        return ()
    made = {s.makes: s for s in plan.steps}
    counts = Counter(placed.part for placed in bar.parts)
    flat = all(
        abs(p.at.x_mm) < _SAME and abs(p.at.turn_deg) < _SAME and not p.at.over for p in bar.parts
    )
    found = []
    for kind, each in counts.items():
        stick = made.get(kind)
        if not flat or not isinstance(stick, Mill) or _uses(plan, kind) != each * bar.count:
            return ()
        found.append((stick, each))
    return tuple(found)


def _uses(plan: Plan, kind: str) -> int:
    return sum(inputs(step).get(kind, 0) for step in plan.steps)
