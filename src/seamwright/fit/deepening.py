"""At the bench: parts are thinner or thicker than planned, and the other thicknesses follow.

All that is glued together, sliced or trimmed without planing in between is equally thick: one
depth for each such group. A planing must leave enough to come clean, a billet gives as many equal
leaves as planned; the board stays as thick as drawn if it can, else it loses as little as possible.
That is a small linear programme.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import linprog

from seamwright.fit.levels import planned_mm
from seamwright.fit.remaking import ways_again
from seamwright.plan import (
    Laminate,
    Mill,
    Plan,
    Resaw,
    Slice,
    Step,
    Surface,
    Trim,
    outputs,
    still_shared,
)

THINNEST = 0.9
"""A board thinner than this share of what was drawn is refused."""
_BOARD, _FREE = 1000.0, 1.0
_SAME_MM = 1e-6
_SHOWS_MM = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Deepened:
    """The thicknesses of a plan chosen again.

    Attributes:
        depths: of every kind [mm].
        board_mm: finished thickness.
        proud: made kinds that stand proud of what they are glued to, and by how much [mm].
    """

    depths: Mapping[str, float]
    board_mm: float
    proud: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FewerLeaves:
    """A billet that is not deep enough for all its leaves.

    Attributes:
        step: number of the resawing.
        leaves, missing: leaves each billet still gives at full thickness, and how many are missing
            in all.
        deep_mm: how deep a billet would have to be [mm].
    """

    step: int
    leaves: int
    missing: int
    deep_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Thicker:
    """Steps to do again so that the board comes out as thick as drawn.

    Attributes:
        steps: their numbers.
        minutes: what that costs, with the wood [min].
        sticks: to be milled for them.
    """

    steps: tuple[int, ...]
    minutes: float
    sticks: tuple[Mill, ...]


def groups_of(plan: Plan) -> dict[str, int]:
    """For each kind the number of its group: kinds of one group are equally thick."""
    root: dict[str, str] = {}

    def top(kind: str) -> str:
        while root.setdefault(kind, kind) != kind:
            kind = root[kind]
        return kind

    for step in plan.steps:
        same = [step.makes]
        if isinstance(step, Laminate):
            same += [placed.part for placed in step.parts]
        elif isinstance(step, Slice | Trim):
            same += [step.takes, *outputs(step)]
        for kind in same:
            root[top(kind)] = top(step.makes)
    numbers: dict[str, int] = {}
    return {kind: numbers.setdefault(top(kind), len(numbers)) for kind in list(root)}


def deepen(
    plan: Plan,
    measured: Mapping[str, float],
    made: frozenset[str],
    *,
    needs: Mapping[int, float],
    drawn_mm: float,
) -> Deepened | None:
    """Choose the thicknesses that are not made yet; None where no choice keeps the limits.

    Args:
        plan: as it was made.
        measured: thickness of kinds that were measured [mm].
        made: kinds that are made; those not measured count as planned if their wood allows it.
        needs: for each planing, by the number of its step, what it must leave for both faces [mm].
        drawn_mm: finished thickness wanted.
    """
    planned = planned_mm(plan)
    group = groups_of(plan)
    count = max(group.values()) + 1
    wanted = np.zeros(count)
    for kind, number in group.items():
        wanted[number] = planned[kind]
    real = _real(plan, measured)
    fixed = _fixed(plan, real, made, group, planned)
    depths: Mapping[str, float] = planned
    if any(abs(depth - wanted[number]) >= _SAME_MM for number, depth in fixed.items()):
        solved = _solved(plan, group, wanted, fixed, made, needs, drawn_mm)
        if solved is None:
            return None
        depths = {kind: float(solved[number]) for kind, number in group.items()}
    proud = tuple(
        (kind, real[kind] - depths[kind])
        for kind in sorted(made)
        if real[kind] - depths[kind] > _SHOWS_MM
        and isinstance(plan.maker(kind), Mill | Surface)
        and any(user.makes not in made for user in plan.users(kind))
    )
    return Deepened(depths=depths, board_mm=depths[plan.board], proud=proud)


def _real(plan: Plan, measured: Mapping[str, float]) -> dict[str, float]:
    """Thickness of every kind were it made: as measured, else as planned if its wood allows it."""
    real: dict[str, float] = {}
    for step in plan.steps:
        found = measured.get(step.makes, _thick(step, real, plan))
        real |= dict.fromkeys(outputs(step), found)
    return real


def _fixed(
    plan: Plan,
    real: Mapping[str, float],
    made: frozenset[str],
    group: Mapping[str, int],
    planned: Mapping[str, float],
) -> dict[int, float]:
    """Groups with made parts are no thicker than the thinnest of them; others stand proud.

    What is not made yet follows thin parts, not thick ones: there may be no thicker wood.
    """
    found: dict[int, float] = {}
    for kind, number in group.items():
        step = plan.maker(kind)
        if kind in made and isinstance(step, Mill | Surface | Resaw):
            found[number] = min(found.get(number, real[kind]), real[kind])
    for kind in made & group.keys():
        if abs(real[kind] - planned[kind]) > _SAME_MM:
            found[group[kind]] = min(found.get(group[kind], real[kind]), real[kind])
    for kind, number in group.items():
        if number in found and kind not in made and isinstance(plan.maker(kind), Mill | Surface):
            found[number] = min(found[number], planned[kind])
    return found


def _solved(
    plan: Plan,
    group: Mapping[str, int],
    wanted: np.ndarray,
    fixed: Mapping[int, float],
    made: frozenset[str],
    needs: Mapping[int, float],
    drawn_mm: float,
) -> np.ndarray | None:
    """Depths, from a programme over them and how far each is above and below what is wanted."""
    count = len(wanted)
    wanted = wanted.copy()
    for number, depth in fixed.items():
        wanted[number] = depth
    eye = np.eye(count)
    equal, given = [np.concatenate([eye, -eye, eye], axis=1)], [wanted]
    least, at_least = [], []
    board = group[plan.board]
    low, high = np.full(count, _SAME_MM), np.full(count, np.inf)
    planned = planned_mm(plan)
    for number, step in enumerate(plan.steps, start=1):
        out = group[step.makes]
        floor = _floor(plan, step)
        low[out] = max(low[out], min(floor, wanted[out]))
        if isinstance(step, Surface) and step.makes not in made:
            row = np.zeros(3 * count)
            row[group[step.takes]], row[out] = 1.0, -1.0
            least.append(row)
            taken = planned[step.takes] - planned[step.makes]
            at_least.append(min(needs.get(number, 0.0), taken))
        elif isinstance(step, Resaw) and out not in fixed:
            row = np.zeros((1, 3 * count))
            row[0, group[step.takes]], row[0, out] = 1.0, -float(step.leaves)
            equal.append(row)
            given.append(np.array([(step.leaves - 1) * plan.shop.saws.resaw_kerf_mm]))
    high[board] = min(drawn_mm, wanted[board])
    for number, depth in fixed.items():
        low[number], high[number] = min(low[number], depth), min(high[number], depth)
    costs = np.full(2 * count, _FREE)
    costs[[board, count + board]] = _BOARD
    found = linprog(
        np.concatenate([np.zeros(count), costs]),
        A_ub=-np.array(least) if least else None,
        b_ub=-np.array(at_least) if least else None,
        A_eq=np.concatenate(equal),
        b_eq=np.concatenate(given),
        bounds=[*zip(low, high, strict=True), *[(0.0, None)] * (2 * count)],
        method="highs",
    )
    return np.asarray(found.x[:count]) if found.status == 0 else None


def _floor(plan: Plan, step: Step) -> float:
    limits = plan.shop.limits
    if isinstance(step, Mill | Surface):
        return limits.stick_min_depth_mm
    return limits.resaw_min_leaf_mm if isinstance(step, Resaw) else 0.0


def with_depths(plan: Plan, depths: Mapping[str, float]) -> Plan:
    """A plan with other thicknesses; the same one where none differs."""
    steps: list[Step] = []
    for step in plan.steps:
        new: Step = step
        if isinstance(step, Mill):
            new = replace(step, depth_mm=depths[step.makes])
        elif isinstance(step, Surface):
            size = depths[step.makes]
            new = replace(step, depth_mm=size, set_up=replace(step.set_up, size_mm=size))
        elif isinstance(step, Resaw):
            kerf = plan.shop.saws.resaw_kerf_mm
            leaf = (depths[step.takes] - (step.leaves - 1) * kerf) / step.leaves
            new = replace(step, set_up=replace(step.set_up, size_mm=leaf))
        same = isinstance(step, Mill | Surface | Resaw) and abs(_size(step) - _size(new)) < _SAME_MM
        steps.append(step if same else new)
    if all(new is old for new, old in zip(steps, plan.steps, strict=True)):
        return plan
    return still_shared(replace(plan, steps=tuple(steps)))


def _size(step: Step) -> float:
    return step.set_up.size_mm if isinstance(step, Resaw) else getattr(step, "depth_mm", 0.0)


def fewer_leaves(
    plan: Plan, measured: Mapping[str, float], needs: Mapping[int, float]
) -> tuple[FewerLeaves, ...]:
    """Billets that were measured and are not deep enough for leaves as thick as planned."""
    planned = planned_mm(plan)
    thick = dict(planned)
    found = []
    for number, step in enumerate(plan.steps, start=1):
        thick[step.makes] = measured.get(step.makes, _thick(step, thick, plan))
        if not isinstance(step, Resaw):
            continue
        kerf = plan.shop.saws.resaw_kerf_mm
        users = [
            (planned[s.makes], min(needs.get(n, 0.0), planned[step.makes] - planned[s.makes]))
            for n, s in enumerate(plan.steps, start=1)
            if isinstance(s, Surface) and s.takes == step.makes
        ]
        leaf = max((flat + need for flat, need in users), default=planned[step.makes])
        leaves = int((thick[step.takes] + kerf + _SAME_MM) / (leaf + kerf))
        if leaves < step.leaves:
            found.append(
                FewerLeaves(
                    step=number,
                    leaves=max(leaves, 0),
                    missing=step.billets * (step.leaves - max(leaves, 0)),
                    deep_mm=step.leaves * leaf + (step.leaves - 1) * kerf,
                )
            )
    return tuple(found)


def _thick(step: Step, thick: Mapping[str, float], plan: Plan) -> float:
    if isinstance(step, Mill):
        return step.depth_mm
    if isinstance(step, Surface):
        return min(step.depth_mm, thick[step.takes])
    if isinstance(step, Laminate):
        return min(thick[placed.part] for placed in step.parts)
    if isinstance(step, Resaw):
        return (thick[step.takes] - (step.leaves - 1) * plan.shop.saws.resaw_kerf_mm) / step.leaves
    return thick[step.takes]


def thicker(
    plan: Plan,
    measured: Mapping[str, float],
    made: frozenset[str],
    *,
    needs: Mapping[int, float],
    drawn_mm: float,
) -> Thicker | None:
    """The least to make again for a board as thick as drawn; None where no one or two steps do."""
    for way in ways_again(plan, measured, made):
        left = {kind: mm for kind, mm in measured.items() if kind not in way.kinds}
        found = deepen(plan, left, made - way.kinds, needs=needs, drawn_mm=drawn_mm)
        if found is not None and found.board_mm > drawn_mm - _SHOWS_MM:
            return Thicker(steps=way.steps, minutes=way.minutes, sticks=way.sticks)
    return None
