"""Before cutting: how far seams will miss each other, which settings matter, what to do."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import Enum

import numpy as np

from seamwright.fit.compiling import program
from seamwright.fit.joints import Floats
from seamwright.fit.meeting import Meetings, meetings
from seamwright.fit.program import Program
from seamwright.fit.relations import Relations, relations
from seamwright.fit.sizes import Size, What
from seamwright.fit.sources import Setting, Sort, Sources, sources
from seamwright.fit.trials import Tally, run_trials
from seamwright.geometry import Point
from seamwright.plan import Accuracy, Plan, Slice

GAP_MM = 25.4 / 64.0
"""Points that miss by no more than this are taken as met: 1/64 in."""
TRIALS = 100_000
_FEWER = 20_000
_MOST = 3
_NOTHING_MM = 1e-4


class Advice(Enum):
    """What to do about a setting."""

    GAUGE = "gauge"
    """Set it from the real part it must equal."""
    MEASURE = "measure"
    """Cut one, measure it with a calliper, correct the setting, then cut the rest."""
    PAIR = "pair"
    """Cut a test pair: together they show twice the error of the angle."""
    LONG = "long"
    """Leave 1/32 in and trim after the glue-up."""
    PINS = "pins"
    """Hold the parts in line with pins or a stop while the clamps close."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """How far the corners at one point of the board miss each other.

    Attributes:
        place: in the drawing's frame [mm].
        sd_mm: standard deviation of the widest miss there, through the real geometry [mm].
        linear_sd_mm: the same to first order, without trials [mm].
        within: share of boards on which the point meets.
    """

    place: Point
    sd_mm: float
    linear_sd_mm: float
    within: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Matter:
    """A setting that matters.

    Attributes:
        setting: which.
        share: of the variance of all points together, 0 to 1.
        advice: what to do.
        gauge: kind of stick to set it from; "" where there is none.
        chance: of all points meeting, if that is done.
        points: places on the board that hang on it, in the drawing's frame [mm].
    """

    setting: Setting
    share: float
    advice: Advice
    gauge: str
    chance: float
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StackUp:
    """What a plan will come out like in a shop.

    Attributes:
        gap_mm: miss that still counts as met.
        trials, real: how many, and how many of them through the real geometry.
        chance, chance_error: of all points meeting, and its standard error.
        chance_closed: of all faces closing to the gap.
        chance_advised: of all points meeting where the advice for all settings named is taken.
        points: every meeting point, worst first.
        worst_mm: widest miss on a board: of half of all boards, and of 19 in 20 [mm].
        matters: up to three settings, the weightiest first.
        apart_mm: largest difference between real geometry and first order in any trial [mm].
    """

    gap_mm: float
    trials: int
    real: int
    chance: float
    chance_error: float
    chance_closed: float
    chance_advised: float
    points: tuple[Spread, ...]
    worst_mm: tuple[float, float]
    matters: tuple[Matter, ...]
    apart_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Study:
    """A plan looked at for its fit: what all questions start from."""

    plan: Plan
    program: Program
    meetings: Meetings
    relations: Relations


def study(plan: Plan) -> Study:
    """Work out what a plan's fit hangs on.

    Args:
        plan: one that holds on the virtual bench.
    """
    made = program(plan)
    found = meetings(made)
    return Study(plan=plan, program=made, meetings=found, relations=relations(made, found))


def stack_up(
    looked: Study,
    accuracy: Accuracy,
    *,
    gap_mm: float = GAP_MM,
    trials: int = TRIALS,
    seed: int = 1,
) -> StackUp:
    """How a plan will come out, and what to do about it.

    Args:
        looked: from ``study``.
        accuracy: of the shop.
        gap_mm: largest miss that counts as met, more than 0.
        trials: how many.
        seed: of the random numbers; the same seed gives the same answer.
    """
    first = sources(looked.plan, looked.program, accuracy)

    def tried(those: Sources, count: int) -> Tally:
        return run_trials(
            looked.program, looked.meetings, those, gap_mm=gap_mm, trials=count, seed=seed,
            real=min(count, 4000 if count > _FEWER else 1000),
        )  # fmt: skip

    tally = tried(first, trials)
    weights = (np.abs(looked.meetings.drift @ first.matrix.toarray()) * first.sd) ** 2
    few = min(trials, _FEWER)
    matters = [
        replace(matter, chance=tried(_heeded(looked, accuracy, first, [matter]), few).chance)
        for matter in _matters(looked, first, weights)
    ]
    advised = tried(_heeded(looked, accuracy, first, matters), few).chance if matters else 1.0
    return StackUp(
        gap_mm=gap_mm,
        trials=tally.trials,
        real=tally.real,
        chance=tally.chance,
        chance_error=tally.chance_error,
        chance_closed=tally.chance_closed,
        chance_advised=advised,
        points=_spreads(looked.meetings, tally),
        worst_mm=(
            float(np.quantile(tally.worst_mm, 0.5)),
            float(np.quantile(tally.worst_mm, 0.95)),
        ),
        matters=tuple(matters),
        apart_mm=tally.apart_mm,
    )


def chance_now(
    looked: Study,
    accuracy: Accuracy,
    sizes: Mapping[Size, float],
    made: frozenset[str],
    *,
    gap_mm: float = GAP_MM,
    trials: int = _FEWER,
    seed: int = 1,
) -> float:
    """Chance of all points meeting once some parts are made and measured.

    What is measured is known: settings of which every part is made are off no more than the sizes
    say. The scatter from part to part stays.

    Args:
        looked: from ``study``.
        accuracy: of the shop.
        sizes: deviation of every size, of the made ones as measured [mm].
        made: kinds that are made.
        gap_mm, trials, seed: as for ``stack_up``.
    """
    found = sources(looked.plan, looked.program, accuracy)
    sd = found.sd.copy()
    for number, setting in enumerate(found.settings):
        kinds = {looked.plan.steps[step - 1].makes for step in setting.steps}
        if setting.sort is Sort.SIZE and kinds <= made:
            sd[(found.setting_of == number) & found.shared] = 0.0
    return run_trials(
        looked.program,
        looked.meetings,
        replace(found, sd=sd),
        gap_mm=gap_mm,
        trials=trials,
        seed=seed,
        real=1000,
        offset=looked.program.uniform(dict(sizes))[:, 0],
    ).chance


def _spreads(found: Meetings, tally: Tally) -> tuple[Spread, ...]:
    """One for each point, by the pair that misses most there."""
    worst: dict[Point, int] = {}
    for i, place in enumerate(found.places):
        key = (round(place[0], 2), round(place[1], 2))
        if key not in worst or tally.sd_mm[i] > tally.sd_mm[worst[key]]:
            worst[key] = i
    spreads = [
        Spread(
            place=place,
            sd_mm=float(tally.sd_mm[i]),
            linear_sd_mm=float(tally.linear_sd_mm[i]),
            within=float(tally.within[i]),
        )
        for place, i in worst.items()
    ]
    return tuple(sorted(spreads, key=lambda spread: -spread.sd_mm))


def _matters(looked: Study, found: Sources, weights: Floats) -> list[Matter]:
    """The settings with the largest shares; hardly any share is not worth a word."""
    total = float(weights.sum())
    if total <= len(weights) * _NOTHING_MM**2:
        return []
    shares = np.array(
        [weights[:, found.setting_of == k].sum() / total for k in range(len(found.settings))]
    )
    matters = []
    for k in np.argsort(-shares, kind="stable")[:_MOST]:
        if shares[k] < 0.01:
            continue
        advice, gauge = _advice(looked, found.settings[k])
        each = weights[:, found.setting_of == k].sum(axis=1)
        hangs = each > 0.25 * float(each.max())
        points = {
            (round(x, 1), round(y, 1))
            for (x, y), it in zip(looked.meetings.places, hangs, strict=True)
            if it
        }
        matters.append(
            Matter(
                setting=found.settings[k],
                share=float(shares[k]),
                advice=advice,
                gauge=gauge,
                chance=0.0,
                points=tuple(sorted(points)),
            )
        )
    return matters


def _advice(looked: Study, setting: Setting) -> tuple[Advice, str]:
    if setting.sort is Sort.HAND:
        return Advice.PINS, ""
    if setting.sort is Sort.ANGLE:
        return Advice.PAIR, ""
    steps = [looked.plan.steps[number - 1] for number in setting.steps]
    for step in steps:
        if isinstance(step, Slice):
            gauge = gauge_of(looked, step)
            if gauge:
                return Advice.GAUGE, gauge
            size = Size(step.makes, What.LENGTH.value)
            about = [r for r in looked.relations.rules if any(s == size for s, _ in r.terms)]
            if about and all(rule.closes for rule in about):
                return Advice.LONG, ""
    return Advice.MEASURE, ""


def gauge_of(looked: Study, step: Slice) -> str:
    """The stick whose real width a slice's length must equal; "" where none."""
    size = Size(step.makes, What.LENGTH.value)
    for rule in looked.relations.rules:
        if len(rule.terms) == 2 and rule.terms[0][0] == size:
            other, factor = rule.terms[1]
            if other.what == What.WIDTH.value and abs(factor + 1.0) < 1e-4:
                return other.part
    return ""


def _heeded(looked: Study, accuracy: Accuracy, found: Sources, matters: list[Matter]) -> Sources:
    """The errors that are left where advice is taken."""
    gauged: dict[tuple[int, float], str] = {}
    for matter in matters:
        if matter.advice is Advice.GAUGE:
            for number in matter.setting.steps:
                gauged[number, round(matter.setting.size_mm, 3)] = matter.gauge
    left = sources(looked.plan, looked.program, accuracy, gauged=gauged) if gauged else found
    sd = left.sd.copy()
    for matter in matters:
        number = found.settings.index(matter.setting)
        bias = (left.setting_of == number) & left.shared
        scatter = (left.setting_of == number) & ~left.shared
        if matter.advice is Advice.MEASURE:
            sd[bias] = np.minimum(sd[bias], accuracy.gauge_mm)
        elif matter.advice is Advice.PAIR:
            sd[bias] = np.minimum(sd[bias], accuracy.lean_deg)
        elif matter.advice is Advice.LONG:
            sd[bias | scatter] = 0.0
        elif matter.advice is Advice.PINS:
            sd[scatter] = np.minimum(sd[scatter], accuracy.gauge_mm)
    return replace(left, sd=sd)
