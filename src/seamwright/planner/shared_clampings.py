"""Different strip sets side by side in one clamping.

Strip sets wait for nothing but sticks, so any of them may lie in the clamps together, waxed paper
between them, as far as clamps reach and glue stays open; the clamps press all of them alike where
they are of one length. A shorter one is made as long as the longest beside it, where the clamping
saved is worth more than the wood.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from seamwright.plan import Held, Laminate, Lot, Mill, Plan, Shop, Slice, Step
from seamwright.planner.equal_sticks import with_equal_sticks_as_one

_MOST_TRIALS = 4_000
"""Ways to lay strip sets together that are looked at; few plans have more."""
_NEAR = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class _Set:
    """A kind of strip set.

    Attributes:
        kind: id.
        count, clampings: made, and in how many clampings by themselves.
        sticks: kinds of its sticks, one for each strip.
        length_mm, across_mm, depth_mm: of one.
        lines: glue lines in one.
        longest_mm: longest for which the clamps on hand do [mm].
        per_mm: minutes that a millimetre more of all of them costs in wood.
    """

    kind: str
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
    def last(self) -> int:
        """Strip sets in its last clamping, which may have room left."""
        each = -(-self.count // self.clampings)
        return self.count - each * (self.clampings - 1)


def with_shared_clampings(plan: Plan) -> Plan:
    """The plan with its strip sets clamped together where that takes fewer minutes."""
    sets = _strip_sets(plan)
    if len(sets) < 2:
        return plan
    beds = _Beds(sets, plan.shop).best()
    if all(len(bed) == 1 for bed in beds):
        return plan
    lengths = {one.kind: bed[0].length_mm for bed in beds for one in bed}
    return _clamped(_lengthened(plan, sets, lengths), beds)


def _strip_sets(plan: Plan) -> list[_Set]:
    """Strip sets of sticks that could lie beside others, the longest first."""
    mills = {step.makes: step for step in plan.steps if isinstance(step, Mill)}
    sliced = {step.takes for step in plan.steps if isinstance(step, Slice) and step.apart}
    found = []
    for step in plan.steps:
        if not isinstance(step, Laminate) or step.is_shared or step.angled or step.caul_mm:
            continue
        sticks = [mills[part.part] for part in step.parts if part.part in mills]
        lies_flat = all(not (p.at.x_mm or p.at.turn_deg or p.at.over) for p in step.parts)
        if len(sticks) == len(step.parts) and lies_flat and step.makes not in sliced:
            found.append(_set(step, sticks, plan.shop))
    return sorted(found, key=lambda one: (-one.length_mm, one.clampings == 1, -one.across_mm))


def _set(step: Laminate, sticks: Sequence[Mill], shop: Shop) -> _Set:
    rough = 2.0 * shop.allowances.rough_face_mm
    section = sum((s.width_mm + rough) * (s.depth_mm + rough) for s in sticks)
    outer = min(sticks[0].width_mm, sticks[-1].width_mm)
    reach = 2.0 * shop.clamps.count * (outer + shop.clamps.caul_mm)
    return _Set(
        kind=step.makes,
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


class _Beds:
    """Every way to lay strip sets together, the best found first, up to a limit."""

    def __init__(self, sets: Sequence[_Set], shop: Shop) -> None:
        self.sets, self.limits = sets, shop.limits
        self.clamping = shop.minutes.glue_up
        self.beds: list[list[_Set]] = []
        self.found: list[tuple[_Set, ...]] = [(one,) for one in sets]
        self.saved = 0.0
        self.trials = 0

    def best(self) -> list[tuple[_Set, ...]]:
        """Strip sets by the clamping they are loaded in; of many clampings the last."""
        self._lay(0, 0.0)
        return self.found

    def _lay(self, at: int, saved: float) -> None:
        if saved > self.saved + _NEAR:
            self.saved = saved
            self.found = [tuple(bed) for bed in self.beds] + [(one,) for one in self.sets[at:]]
        left = sum(one.clampings == 1 for one in self.sets[at:])
        if at == len(self.sets) or saved + left * self.clamping <= self.saved + _NEAR:
            return
        self.trials += 1
        if self.trials > _MOST_TRIALS:
            return
        one = self.sets[at]
        for bed in sorted(self.beds, key=lambda bed: bed[0].length_mm):
            gain = self._gain(one, bed)
            if gain > _NEAR:
                bed.append(one)
                self._lay(at + 1, saved + gain)
                bed.pop()
        self.beds.append([one])
        self._lay(at + 1, saved)
        self.beds.pop()

    def _gain(self, one: _Set, bed: Sequence[_Set]) -> float:
        """Minutes saved by laying a strip set into a clamping; 0 where it does not fit."""
        first = bed[0]
        longer = first.length_mm - one.length_mm
        parts = [(each.last, each) for each in (*bed, one)]
        fits = (
            one.clampings == 1
            and abs(one.depth_mm - first.depth_mm) < _NEAR
            and first.length_mm <= one.longest_mm + _NEAR
            and sum(n * each.across_mm for n, each in parts) <= self.limits.clamp_reach_mm + _NEAR
            and sum(n * each.lines for n, each in parts) <= self.limits.seams_per_glue_up
        )
        return self.clamping - longer * one.per_mm if fits else 0.0


def _clamped(plan: Plan, beds: Iterable[Sequence[_Set]]) -> Plan:
    """The plan with lots of strip sets, each kind's step next to the one it lies beside."""
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
    moved = {kind for kinds in follows.values() for kind in kinds}
    steps: list[Step] = []
    for step in plan.steps:
        if step.makes not in moved:
            steps.append(changed.get(step.makes, step))
            steps += [changed[kind] for kind in follows.get(step.makes, ())]
    return replace(plan, steps=tuple(steps))


def _lengthened(plan: Plan, sets: Sequence[_Set], lengths: dict[str, float]) -> Plan:
    """The plan with strip sets of these lengths [mm]; sticks that become equal are one kind."""
    mills = {step.makes: step for step in plan.steps if isinstance(step, Mill)}
    becomes: dict[tuple[str, str], str] = {}
    for one in sets:
        length = lengths[one.kind]
        if abs(length - one.length_mm) < _NEAR:
            continue
        for kind in dict.fromkeys(one.sticks):
            old, count = mills[kind], one.count * one.sticks.count(kind)
            name = kind
            if count < old.count:
                name = next(name for n in range(1, 10**6) if (name := f"S{n}") not in mills)
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
