"""Sticks of one wood and section milled as long ones, whichever strip sets they are for.

Nobody joints and planes two sticks of 400 mm for one strip set and one of 300 mm for another where
one of 1100 mm, cut in three, does. As few long sticks as will hold them are milled, and kinds share
one only where that saves one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial

from seamwright.plan import Held, Lot, Mill, Plan, Shop, milled_count
from seamwright.planner.packing import Load, Wanted, pack, shared_out

_DIGITS = 6


def with_long_sticks(plan: Plan) -> Plan:
    """The plan with its sticks milled as few long ones; its other steps stay as they are."""
    groups: dict[tuple[str, float, float], list[Mill]] = {}
    for step in plan.steps:
        if isinstance(step, Mill):
            section = (step.wood, round(step.width_mm, _DIGITS), round(step.depth_mm, _DIGITS))
            groups.setdefault(section, []).append(step)
    changed = {
        new.makes: new for mills in groups.values() for new in _as_long_ones(mills, plan.shop)
    }
    if not changed:
        return plan
    return replace(plan, steps=tuple(changed.get(step.makes, step) for step in plan.steps))


def _as_long_ones(mills: Sequence[Mill], shop: Shop) -> tuple[Mill, ...]:
    """Sticks of one section, milled as few long ones; none where that saves nothing."""
    kerf, longest = shop.saws.table_kerf_mm, shop.limits.stick_length_mm
    parts = [mill for mill in mills if mill.length_mm <= longest + 1e-9]
    if not parts or not pays(parts[0], shop):
        return ()
    alone = {mill.makes: _alone(mill, longest, kerf) for mill in parts}
    wanted = [
        Wanted(n, mill.length_mm + kerf, mill.count)
        for n, mill in sorted(enumerate(parts), key=lambda at: -at[1].length_mm)
    ]
    loads = pack(wanted, partial(shared_out, longest + kerf, 0.0))
    apart = sum(milled_count(mill) for mill in alone.values())
    if sum(times for _, times in loads) < apart:
        new = _shared(parts, alone, loads)
    else:
        new = tuple(alone.values())
    return tuple(mill for mill in new if mill not in mills)


def pays(mill: Mill, shop: Shop) -> bool:
    """Whether sticks of a section, at the saw, are parted in less time than they are milled."""
    extra, m = shop.allowances, shop.minutes
    rough = 2.0 * extra.rough_face_mm
    per_mm = (mill.width_mm + rough) * (mill.depth_mm + rough) * m.wood_litre / 1e6
    saved = m.stick - m.slice + per_mm * (extra.rough_length_mm - shop.saws.table_kerf_mm)
    return saved > 0.0 and mill.depth_mm <= shop.saws.table_depth_mm + 1e-9


def _alone(mill: Mill, longest_mm: float, kerf_mm: float) -> Mill:
    """Sticks of one kind, as many in one as will do for the fewest long ones."""
    most = int((longest_mm + kerf_mm + 1e-6) / (mill.length_mm + kerf_mm))
    long = -(-mill.count // max(most, 1))
    return replace(mill, together=-(-mill.count // long))


def _shared(
    mills: Sequence[Mill], alone: dict[str, Mill], loads: Sequence[tuple[Load, int]]
) -> tuple[Mill, ...]:
    """Kinds that share a long stick with another; each is milled where its first kind is."""
    mixed = {node for load, _ in loads if len(load) > 1 for node, _ in load}
    lots: dict[int, list[Lot]] = {}
    parted: dict[int, int] = {}
    for load, times in loads:
        first = load[0][0]
        if first not in mixed:
            continue
        holds = tuple(Held(kind=mills[node].makes, count=count) for node, count in load)
        lots.setdefault(first, []).append(Lot(holds=holds, times=times))
        for node, count in load[1:]:
            parted[node] = parted.get(node, 0) + count * times
    return tuple(
        replace(mill, together=1, long=tuple(lots.get(n, ())), parted=parted.get(n, 0))
        if n in mixed
        else alone[mill.makes]
        for n, mill in enumerate(mills)
    )
