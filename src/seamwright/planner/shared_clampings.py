"""Different glue-ups side by side in one clamping.

Those that can be made in one stage do not wait for one another, so they may lie in the clamps
together, waxed paper between them, as far as clamps reach and glue stays open. The clamps press all
of them alike where they are of one length and depth. A strip set that is shorter is made as long as
the longest beside it, where the clamping saved is worth more than the wood.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from operator import attrgetter

from seamwright.plan import (
    FreshNames,
    Held,
    Laminate,
    Lot,
    Mill,
    Plan,
    Shop,
    Slice,
    Step,
    inputs,
    outputs,
)
from seamwright.planner.sticks import sticks_of, with_equal_sticks_as_one

_MOST_TRIALS = 4_000
"""Ways to lay glue-ups together that are looked at; few plans have more."""
_MOST_TOGETHER = 200
"""Glue-ups alike among which ways are sought; of more, the next in length."""
_NEAR = 1e-6
_ALIKE_MM = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class GluedSize:
    """Sizes of a rectangular glue-up [mm]."""

    along_mm: float
    across_mm: float
    depth_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Glued:
    """A kind of glue-up.

    Attributes:
        kind: id.
        stage: those of one stage do not wait for one another.
        count, clampings: made, and in how many clampings by themselves.
        sticks: kinds of its sticks, one for each strip, where it is a strip set; else none.
        length_mm, across_mm, depth_mm: of one.
        lines: glue lines in one.
        longest_mm: longest for which the clamps on hand do; its own length where it is no strip
            set [mm].
        per_mm: minutes that a millimetre more of all of them costs in wood.
    """

    kind: str
    stage: int
    count: int
    clampings: int
    sticks: tuple[str, ...]
    length_mm: float
    across_mm: float
    depth_mm: float
    lines: int
    longest_mm: float
    per_mm: float

    @property
    def alike(self) -> tuple[float, ...]:
        """What it has in common with all it may lie beside; strip sets can be lengthened."""
        length = 0.0 if self.sticks else round(self.length_mm, 3)
        return (self.stage, round(self.depth_mm, 6), length)

    @property
    def last(self) -> int:
        """Glue-ups in its last clamping, which may have room left."""
        each = -(-self.count // self.clampings)
        return self.count - each * (self.clampings - 1)


def with_shared_clampings(plan: Plan, square: Mapping[str, GluedSize] | None = None) -> Plan:
    """The plan with its glue-ups clamped together where that takes fewer minutes.

    Args:
        plan: a plan.
        square: sizes of glue-ups that are no strip sets; those without are left alone.
    """
    early, late = _stages(plan.steps)
    found = _glue_ups(plan, square or {}, early)
    saved, beds = _laid_together(found, plan.shop)
    # strip sets are all glued on the first day
    waiting = [one if one.sticks else replace(one, stage=late[one.kind]) for one in found]
    more, others = _laid_together(waiting, plan.shop)
    beds = others if more > saved + _NEAR else beds
    if all(len(bed) == 1 for bed in beds):
        return plan
    lengths = {one.kind: bed[0].length_mm for bed in beds for one in bed}
    return _clamped(_lengthened(plan, found, lengths), beds)


def _laid_together(found: Sequence[_Glued], shop: Shop) -> tuple[float, list[tuple[_Glued, ...]]]:
    """Glue-ups by the clamping they lie in, and the minutes saved."""
    groups: dict[tuple[float, ...], list[_Glued]] = {}
    for one in found:
        groups.setdefault(one.alike, []).append(one)
    laid = [
        _Beds(alike[at : at + _MOST_TOGETHER], shop)
        for alike in groups.values()
        for at in range(0, len(alike), _MOST_TOGETHER)
    ]
    beds = [bed for each in laid for bed in each.best()]
    return sum(each.saved for each in laid), beds


def _glue_ups(
    plan: Plan, square: Mapping[str, GluedSize], stages: Mapping[str, int]
) -> list[_Glued]:
    """Glue-ups that could lie beside others, the longest first."""
    mills = {step.makes: step for step in plan.steps if isinstance(step, Mill)}
    sliced = {step.takes for step in plan.steps if isinstance(step, Slice) and step.apart}
    found = []
    for step in plan.steps:
        if not isinstance(step, Laminate) or step.is_shared or step.caul_mm:
            continue
        sticks = sticks_of(step, mills)
        if step.makes in square:
            found.append(_joined(step, square[step.makes], stages[step.makes]))
        elif sticks and step.makes not in sliced:
            found.append(_strip_set(step, sticks, stages[step.makes], plan.shop))
    return sorted(found, key=lambda one: (-one.length_mm, one.clampings == 1, -one.across_mm))


def _stages(steps: Sequence[Step]) -> tuple[dict[str, int], dict[str, int]]:
    """For each kind the stage in which it can be made at the earliest, and at the latest.

    Whatever is used in a step is made in an earlier stage. So kinds made in one stage, all taken
    early or all taken late, never wait for one another.
    """
    early: dict[str, int] = {}
    for step in steps:
        stage = 1 + max((early.get(kind, 0) for kind in inputs(step)), default=0)
        for kind in outputs(step):
            early[kind] = max(stage, early.get(kind, 0))
    last = max(early.values(), default=0)
    late = dict.fromkeys(early, last)
    for step in reversed(steps):
        stage = min(late[kind] for kind in outputs(step))
        for kind in inputs(step):
            late[kind] = min(late.get(kind, last), stage - 1)
    return early, late


def _joined(step: Laminate, size: GluedSize, stage: int) -> _Glued:
    return _Glued(
        kind=step.makes,
        stage=stage,
        count=step.count,
        clampings=step.clampings,
        sticks=(),
        length_mm=size.along_mm,
        across_mm=size.across_mm,
        depth_mm=size.depth_mm,
        lines=len(step.parts) - 1,
        longest_mm=size.along_mm + _ALIKE_MM,
        per_mm=0.0,
    )


def _strip_set(step: Laminate, sticks: Sequence[Mill], stage: int, shop: Shop) -> _Glued:
    rough = 2.0 * shop.allowances.rough_face_mm
    section = sum((s.width_mm + rough) * (s.depth_mm + rough) for s in sticks)
    outer = min(sticks[0].width_mm, sticks[-1].width_mm)
    reach = 2.0 * shop.clamps.count * (outer + shop.clamps.caul_mm)
    return _Glued(
        kind=step.makes,
        stage=stage,
        count=step.count,
        clampings=step.clampings,
        sticks=tuple(stick.makes for stick in sticks),
        length_mm=sticks[0].length_mm,
        across_mm=sum(stick.width_mm for stick in sticks),
        depth_mm=sticks[0].depth_mm,
        lines=len(sticks) - 1,
        longest_mm=reach if shop.clamps.count else shop.limits.stick_length_mm,
        per_mm=step.count * section * shop.minutes.wood_litre / 1e6,
    )


@dataclass(slots=True)
class _Bed:
    """What lies in one clamping.

    Attributes:
        length_mm: of what was laid in first, the longest.
        sets: glue-ups, in the order they were laid in.
        across_mm, lines: of all of them together.
    """

    length_mm: float
    sets: list[_Glued]
    across_mm: float
    lines: int


class _Beds:
    """Every way to lay glue-ups that are alike together, the best found first, up to a limit."""

    def __init__(self, sets: Sequence[_Glued], shop: Shop) -> None:
        self.sets, self.limits = sets, shop.limits
        self.clamping = shop.minutes.glue_up
        self.across = [one.last * one.across_mm for one in sets]
        self.lines = [one.last * one.lines for one in sets]
        # glue-ups of one clamping from each on
        self.left = [0] * (len(sets) + 1)
        for at in range(len(sets) - 1, -1, -1):
            self.left[at] = self.left[at + 1] + (sets[at].clampings == 1)
        self.beds: list[_Bed] = []
        self.found: list[tuple[_Glued, ...]] = [(one,) for one in sets]
        self.saved = 0.0
        self.trials = 0

    def best(self) -> list[tuple[_Glued, ...]]:
        """Glue-ups by the clamping they are loaded in; of many clampings the last."""
        self._lay(0, 0.0)
        return self.found

    def _lay(self, at: int, saved: float) -> None:
        if saved > self.saved + _NEAR:
            self.saved = saved
            self.found = [tuple(bed.sets) for bed in self.beds]
            self.found += [(one,) for one in self.sets[at:]]
        most = saved + self.left[at] * self.clamping
        if at == len(self.sets) or most <= self.saved + _NEAR:
            return
        self.trials += 1
        if self.trials > _MOST_TRIALS:
            return
        one = self.sets[at]
        if one.clampings == 1:
            for bed in sorted(self.beds, key=_length_mm):
                gain = self._gain(at, bed)
                if gain > _NEAR:
                    across, lines = bed.across_mm, bed.lines
                    bed.sets.append(one)
                    bed.across_mm, bed.lines = across + self.across[at], lines + self.lines[at]
                    self._lay(at + 1, saved + gain)
                    bed.sets.pop()
                    bed.across_mm, bed.lines = across, lines
        self.beds.append(_Bed(one.length_mm, [one], self.across[at], self.lines[at]))
        self._lay(at + 1, saved)
        self.beds.pop()

    def _gain(self, at: int, bed: _Bed) -> float:
        """Minutes saved by laying a glue-up into a clamping; 0 where it does not fit."""
        one = self.sets[at]
        fits = (
            bed.length_mm <= one.longest_mm + _NEAR
            and bed.across_mm + self.across[at] <= self.limits.clamp_reach_mm + _NEAR
            and bed.lines + self.lines[at] <= self.limits.seams_per_glue_up
        )
        return self.clamping - (bed.length_mm - one.length_mm) * one.per_mm if fits else 0.0


_length_mm = attrgetter("length_mm")


def _clamped(plan: Plan, beds: Iterable[Sequence[_Glued]]) -> Plan:
    """The plan with lots of glue-ups, each kind's step next to the one it lies beside."""
    changed: dict[str, Laminate] = {}
    follows: dict[str, list[str]] = {}
    made = {step.makes: step for step in plan.steps if isinstance(step, Laminate)}
    for bed in beds:
        if len(bed) < 2:
            continue
        first, *others = bed
        own = made[first.kind]
        each = -(-first.count // first.clampings)
        lot = Lot(holds=tuple(Held(kind=one.kind, count=one.last) for one in bed), times=1)
        full = Lot(holds=(Held(kind=first.kind, count=each),), times=first.clampings - 1)
        changed[first.kind] = replace(own, lots=(full, lot) if full.times else (lot,))
        for one in others:
            changed[one.kind] = replace(made[one.kind], clampings=0, beside=one.count)
        follows[first.kind] = [one.kind for one in others]
    steps = tuple(changed.get(step.makes, step) for step in plan.steps)
    return replace(plan, steps=_one_behind_the_other(steps, follows))


def _one_behind_the_other(
    steps: Sequence[Step], follows: Mapping[str, Sequence[str]]
) -> tuple[Step, ...]:
    """The steps with each right behind what it lies beside, else in the order they came.

    Args:
        steps: in an order in which they can be worked.
        follows: kinds that lie beside a kind.
    """
    glued = {step.makes: n for n, step in enumerate(steps) if isinstance(step, Laminate)}
    units = {n: [step] for n, step in enumerate(steps)}
    for kind, others in follows.items():
        members = [glued[name] for name in (kind, *others)]
        units[min(members)] = [steps[n] for n in members]
        for n in members:
            if n != min(members):
                del units[n]
    makers: dict[str, set[int]] = {}
    for n, unit in units.items():
        for kind in (kind for step in unit for kind in outputs(step)):
            makers.setdefault(kind, set()).add(n)
    waits = {
        n: {m for step in unit for kind in inputs(step) for m in makers.get(kind, ())} - {n}
        for n, unit in units.items()
    }
    followers: dict[int, list[int]] = {}
    for n, makes in waits.items():
        for maker in makes:
            followers.setdefault(maker, []).append(n)
    ready = [n for n, makes in waits.items() if not makes]
    done: list[Step] = []
    while ready:
        now = heapq.heappop(ready)
        done += units[now]
        for n in followers.get(now, ()):
            waits[n].remove(now)
            if not waits[n]:
                heapq.heappush(ready, n)
    return tuple(done)


def _lengthened(plan: Plan, sets: Sequence[_Glued], lengths: dict[str, float]) -> Plan:
    """The plan with strip sets of these lengths [mm]; sticks that become equal are one kind."""
    mills = {step.makes: step for step in plan.steps if isinstance(step, Mill)}
    becomes: dict[tuple[str, str], str] = {}
    names = FreshNames(plan)
    for one in sets:
        length = lengths[one.kind]
        if abs(length - one.length_mm) < _NEAR:
            continue
        for kind in dict.fromkeys(one.sticks):
            old, count = mills[kind], one.count * one.sticks.count(kind)
            name = kind
            if count < old.count:
                name = names.fresh("S")
                mills[kind] = replace(old, count=old.count - count)
            mills[name] = replace(old, makes=name, count=count, length_mm=length)
            becomes[one.kind, kind] = name
    steps: list[Step] = [*mills.values()]
    for step in plan.steps:
        if isinstance(step, Laminate):
            parts = tuple(
                replace(p, part=becomes.get((step.makes, p.part), p.part)) for p in step.parts
            )
            steps.append(replace(step, parts=parts) if parts != step.parts else step)
        elif not isinstance(step, Mill):
            steps.append(step)
    return with_equal_sticks_as_one(replace(plan, steps=tuple(steps)))
