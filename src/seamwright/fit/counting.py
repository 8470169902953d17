"""Which single part goes where: the first one made is the first one used."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from seamwright.fit.shapes import Indices
from seamwright.plan import Laminate, Plan, Slice, inputs, outputs


@dataclass(frozen=True, slots=True, kw_only=True)
class Uses:
    """Which parts a step takes.

    Attributes:
        taken: for each part of a lamination, or for the one kind another step takes: numbers of
            the single parts, from 0, one for each thing made (each bar, for a slice).
    """

    taken: tuple[Indices, ...]


def uses(plan: Plan) -> tuple[Uses, ...]:
    """Step by step, which single parts are used."""
    gone: dict[str, int] = {}
    found: list[Uses] = []
    for step in plan.steps:
        taken: list[Indices] = []
        if isinstance(step, Laminate):
            each: dict[str, int] = {}
            for placed in step.parts:
                each[placed.part] = each.get(placed.part, 0) + 1
            met: dict[str, int] = {}
            for placed in step.parts:
                k = met.get(placed.part, 0)
                met[placed.part] = k + 1
                start = gone.get(placed.part, 0) + k
                taken.append(start + each[placed.part] * np.arange(step.count))
        else:
            for kind, count in inputs(step).items():
                taken.append(gone.get(kind, 0) + np.arange(count))
        for kind, count in inputs(step).items():
            gone[kind] = gone.get(kind, 0) + count
        found.append(Uses(taken=tuple(taken)))
    return tuple(found)


def made(plan: Plan) -> dict[str, int]:
    """How many of each kind are made in all."""
    counts: dict[str, int] = {}
    for step in plan.steps:
        for kind, count in outputs(step).items():
            counts[kind] = counts.get(kind, 0) + count
    return counts


def first_of(plan: Plan, number: int) -> int:
    """Number of the first single part a step makes; more than 0 where earlier steps made some."""
    step = plan.steps[number - 1]
    return sum(
        earlier.count
        for earlier in plan.steps[: number - 1]
        if isinstance(earlier, Slice) and earlier.makes == step.makes
    )
