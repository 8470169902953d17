"""Strip sets of open length: what counts is the number of slices, not one length.

Several shorter laminations may come from short offcuts. The split of the slices is searched
outside, every split is judged by a cut plan inside, and an extra glue-up costs what the planner
says it does. Within one lamination all layers have one length.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import permutations
from time import monotonic

from seamwright.errors import Fault
from seamwright.plan import Shop
from seamwright.rack.boards import Rack, RackError, Ring
from seamwright.rack.cutting import cut_plan
from seamwright.rack.demand import Demand, Stick
from seamwright.rack.layout import CutPlan
from seamwright.rack.rules import CutRules

_MOST_LAMINATIONS = 8
_FIRST_SHARE = 0.08


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One stick of a strip set: finished size across and through; ``count`` of it in each."""

    name: str
    wood: str
    width_mm: float
    depth_mm: float
    count: int = 1
    ring: Ring = Ring.UNKNOWN


@dataclass(frozen=True, slots=True, kw_only=True)
class StripSet:
    """Layers glued side by side and cut into slices.

    Attributes:
        layers: sticks of one lamination.
        slices: needed in all.
        slice_mm: height of a slice.
        kerf_mm: of the sled's saw.
        square_mm: cut off the first end, its kerf included.
        tail_mm: end that is never sliced.
        glue_up: what one more glue-up counts, in the unit of the rack's prices.
    """

    layers: tuple[Layer, ...]
    slices: int
    slice_mm: float
    kerf_mm: float
    square_mm: float
    tail_mm: float
    glue_up: float

    def length_mm(self, slices: int) -> float:
        """Finished length of a lamination that gives so many slices."""
        return self.square_mm + self.tail_mm + slices * (self.slice_mm + self.kerf_mm)

    def slices_in(self, length_mm: float) -> int:
        """Slices a lamination of this length gives."""
        room = length_mm - self.square_mm - self.tail_mm
        return max(0, math.floor(room / (self.slice_mm + self.kerf_mm) + 1e-9))


@dataclass(frozen=True, slots=True, kw_only=True)
class FlexiblePlan:
    """The best split found, its cut plan, and every split that was tried.

    Attributes:
        split: slices of each lamination, most first.
        lengths_mm: finished length of each.
        plan: the cut plan of all its sticks and of the fixed ones; its bound is for this split.
        cost: of the plan and the glue-ups.
        tried: (split, cost) in the order tried.
    """

    split: tuple[int, ...]
    lengths_mm: tuple[float, ...]
    plan: CutPlan
    cost: float
    tried: tuple[tuple[tuple[int, ...], float], ...]


def flexible_plan(
    rack: Rack,
    strip_set: StripSet,
    *,
    shop: Shop,
    seconds: float,
    fixed: Demand | None = None,
    rules: CutRules | None = None,
    job: str = "",
    seed: int = 1,
    first: tuple[int, ...] | None = None,
    progress: Callable[[float, str], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> FlexiblePlan:
    """Choose how to split a strip set's slices into laminations, and plan the cuts.

    ``first`` is judged before all others, whatever the shop would say of it.

    Raises:
        RackError: the strip set makes no sense or no length of it suits the shop.
        Cancelled: ``cancelled`` said so.
    """
    _check(strip_set)
    until = monotonic() + seconds
    tried: dict[tuple[int, ...], tuple[float, CutPlan]] = {}

    def judge(split: tuple[int, ...], share: float) -> float:
        if split not in tried:
            plan = cut_plan(
                rack,
                demand_for(strip_set, split, fixed),
                shop=shop,
                seconds=min(max(0.02, until - monotonic()), share * seconds),
                rules=rules,
                job=job,
                seed=seed,
                cancelled=cancelled,
            )
            tried[split] = (plan.cost + strip_set.glue_up * len(split), plan)
            if progress is not None:
                spent = 1 - max(0.0, until - monotonic()) / seconds
                progress(min(0.99, spent), f"{len(tried)} ways to split {strip_set.slices} slices")
        return tried[split][0]

    starts = dict.fromkeys(((first,) if first else ()) + tuple(equal_splits(strip_set, shop, rack)))
    if not starts:
        raise RackError(
            Fault(
                "R151",
                "the strip set",
                "has no length that suits the shop",
                "longer slices, more slices, or longer boards",
            )
        )
    for split in starts:
        judge(split, _FIRST_SHARE)
        if monotonic() > until:
            break
    best = min(tried, key=lambda s: tried[s][0])
    while monotonic() < until:
        near = [s for s in neighbours(best, strip_set, shop, rack) if s not in tried]
        if not near:
            break
        for split in near:
            judge(split, _FIRST_SHARE)
            if monotonic() > until:
                break
        better = min(tried, key=lambda s: tried[s][0])
        if better == best:
            break
        best = better
    cost, plan = tried[best]
    return FlexiblePlan(
        split=best,
        lengths_mm=tuple(strip_set.length_mm(n) for n in best),
        plan=plan,
        cost=cost,
        tried=tuple((split, found[0]) for split, found in tried.items()),
    )


def demand_for(strip_set: StripSet, split: tuple[int, ...], fixed: Demand | None = None) -> Demand:
    """Sticks of a split: for every length, every layer as often as there are laminations."""
    sticks = [
        Stick(
            name=f"{layer.name} for {slices} slices",
            wood=layer.wood,
            count=layer.count * split.count(slices),
            length_mm=strip_set.length_mm(slices),
            width_mm=layer.width_mm,
            depth_mm=layer.depth_mm,
            ring=layer.ring,
        )
        for slices in sorted(set(split), reverse=True)
        for layer in strip_set.layers
    ]
    return Demand(sticks=(*sticks, *(fixed.sticks if fixed else ())))


def equal_splits(strip_set: StripSet, shop: Shop, rack: Rack) -> list[tuple[int, ...]]:
    """Splits as even as can be, fewest laminations first.

    A lamination shorter than the jointer and planer take gets slices to spare.
    """
    found: list[tuple[int, ...]] = []
    for number in range(1, min(_MOST_LAMINATIONS, strip_set.slices) + 1):
        few, more = divmod(strip_set.slices, number)
        split = tuple([few + 1] * more + [few] * (number - more))
        even = (few + 1,) * number if more else split
        both = dict.fromkeys(_lifted(s, strip_set, shop) for s in (even, split))
        found.extend(s for s in both if _suits(s, strip_set, shop, rack))
    return found


def neighbours(
    split: tuple[int, ...], strip_set: StripSet, shop: Shop, rack: Rack
) -> list[tuple[int, ...]]:
    """One slice moved, two laminations put together, one taken apart."""
    sizes = sorted(split, reverse=True)
    found: list[tuple[int, ...]] = []
    for a, b in permutations(range(len(sizes)), 2):
        others = tuple(s for i, s in enumerate(sizes) if i not in (a, b))
        found.append((*others, sizes[a] + sizes[b]))
        found.extend((*others, sizes[a] + step, sizes[b] - step) for step in (1, 2, 4))
    for a, size in enumerate(sizes):
        others = (*sizes[:a], *sizes[a + 1 :])
        found.extend((*others, part, size - part) for part in range(1, size // 2 + 1))
    ordered = dict.fromkeys(
        tuple(sorted(_lifted(s, strip_set, shop), reverse=True)) for s in found if min(s) > 0
    )
    return [s for s in ordered if _suits(s, strip_set, shop, rack)]


def _lifted(split: tuple[int, ...], strip_set: StripSet, shop: Shop) -> tuple[int, ...]:
    """The split with every lamination long enough for jointer and planer."""
    step = strip_set.slice_mm + strip_set.kerf_mm
    short = shop.limits.stick_min_length_mm - strip_set.square_mm - strip_set.tail_mm
    least = max(1, math.ceil(short / step - 1e-9))
    return tuple(max(n, least) for n in split)


def _suits(split: tuple[int, ...], strip_set: StripSet, shop: Shop, rack: Rack) -> bool:
    sources = [b.length_mm for b in rack.boards] + [o.length_mm for o in rack.offers]
    longest = min(shop.limits.stick_length_mm, max(sources, default=0.0))
    return len(split) <= _MOST_LAMINATIONS and all(
        n >= 1 and shop.limits.stick_min_length_mm <= strip_set.length_mm(n) <= longest
        for n in split
    )


def _check(strip_set: StripSet) -> None:
    faults = []
    if not strip_set.layers:
        faults.append(Fault("R150", "the strip set", "has no layers", "name at least one"))
    if strip_set.slices < 1:
        faults.append(Fault("R150", "the strip set", "needs no slices", "ask for 1 or more"))
    if not strip_set.slice_mm > 0:
        faults.append(Fault("R150", "the slice", "has no height", "give it in mm"))
    if faults:
        raise RackError(*faults)
