"""What was measured makes the shop's own accuracy: a prior that is seen, and robust readings.

Each value is a standard deviation. The shop file's value, or the default, counts like so many
settings seen before (``PRIOR_WORTH``); each measured setting adds its own. A reading far out weighs
less, as if errors followed Student's t, so that one slip of the pen spoils nothing.

Reference:
    Gelman et al., "Bayesian Data Analysis": scaled inverse chi-squared prior of a variance; t
    weights by iteration as in Lange, Little & Taylor 1989 (both from memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields, replace
from statistics import fmean

from seamwright.fit.measures import nominal_mm
from seamwright.plan import Accuracy, Mill, Plan, Resaw, Slice, Surface, Trim

PRIOR_WORTH = 6.0
"""Settings the prior counts as."""
_FREEDOM = 4.0
_ROUNDS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """Readings of one setting.

    Attributes:
        shared, scatter: names in ``Accuracy`` of what the setting itself is off, and its parts.
        off_mm: each reading less the size the plan wanted [mm].
    """

    shared: str
    scatter: str
    off_mm: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """One value of the shop's accuracy.

    Attributes:
        name: in ``Accuracy``.
        prior, value: before any reading, and now [mm or °].
        settings: measured settings (or parts, for scatter) it was learned from.
        mean_mm: what those settings were off on the average, with a sign [mm].
        doubted: readings that weigh less than a third.
    """

    name: str
    prior: float
    value: float
    settings: int
    mean_mm: float
    doubted: int


def seen_in(
    plan: Plan,
    readings: Iterable[tuple[int, Sequence[float]]],
    thick: Iterable[tuple[int, Sequence[float]]] = (),
) -> tuple[Seen, ...]:
    """What readings on a plan say of the shop.

    Args:
        plan: the plan.
        readings: (step number, calliper readings [mm]).
        thick: the same of the thickness after a step that is not about it; those of milled sticks
            tell of the planer.
    """
    found = []
    for number, sizes in thick:
        step = plan.steps[number - 1]
        if sizes and isinstance(step, Mill):
            off = tuple(size - step.depth_mm for size in sizes)
            found.append(Seen(shared="thickness_mm", scatter="planed_mm", off_mm=off))
    for number, sizes in readings:
        step = plan.steps[number - 1]
        if not sizes or not isinstance(step, Mill | Slice | Trim | Resaw | Surface):
            continue
        wanted = nominal_mm(plan, number)
        off = tuple(size - min(wanted, key=lambda mm: abs(mm - size)) for size in sizes)
        if isinstance(step, Mill):
            names = ("fence_mm", "strip_mm")
        elif isinstance(step, Slice):
            gauged = step.set_up.match not in {"", step.makes}
            names = ("gauge_mm" if gauged else "stop_mm", "slice_mm")
        elif isinstance(step, Trim):
            names = ("stop_mm", "slice_mm")
        elif isinstance(step, Resaw):
            names = ("resaw_mm", "leaf_mm")
        else:
            names = ("thickness_mm", "planed_mm")
        found.append(Seen(shared=names[0], scatter=names[1], off_mm=off))
    return tuple(found)


def learn(prior: Accuracy, seen: Iterable[Seen]) -> tuple[Learned, ...]:
    """Every value of a shop's accuracy after what was seen.

    Args:
        prior: from the shop file or the defaults.
        seen: from ``seen_in``, of any number of jobs.
    """
    shared: dict[str, list[float]] = {}
    scatter: dict[str, list[float]] = {}
    for setting in seen:
        middle = fmean(setting.off_mm)
        shared.setdefault(setting.shared, []).append(middle)
        count = len(setting.off_mm)
        if setting.scatter and count > 1:
            # parts of a setting spread about their own mean: one of them is used up by it
            stretch = (count / (count - 1.0)) ** 0.5
            scatter.setdefault(setting.scatter, []).extend(
                stretch * (off - middle) for off in setting.off_mm
            )
    return tuple(
        _learned(
            field.name,
            getattr(prior, field.name),
            shared.get(field.name) or scatter.get(field.name) or [],
        )
        for field in fields(Accuracy)
    )


def _learned(name: str, prior: float, off: Sequence[float]) -> Learned:
    variance = prior**2
    weights = [1.0] * len(off)
    for _ in range(_ROUNDS):
        weights = [(_FREEDOM + 1.0) / (_FREEDOM + e * e / variance) for e in off]
        total = sum(w * e * e for w, e in zip(weights, off, strict=True))
        variance = (PRIOR_WORTH * prior**2 + total) / (PRIOR_WORTH + len(off))
    heavy = sum(weights)
    return Learned(
        name=name,
        prior=prior,
        value=variance**0.5,
        settings=len(off),
        mean_mm=sum(w * e for w, e in zip(weights, off, strict=True)) / heavy if off else 0.0,
        doubted=sum(w < 1.0 / 3.0 for w in weights),
    )


def learned_accuracy(prior: Accuracy, learned: Iterable[Learned]) -> Accuracy:
    """A shop's accuracy with what was learned."""
    return replace(prior, **{value.name: value.value for value in learned})
