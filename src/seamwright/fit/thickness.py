"""Before cutting: whether all faces come clean when they are planed, and what that hangs on."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from seamwright.fit.levels import Depths, Planed, Setting, Spreads, depths_of, levelled, planned_mm
from seamwright.fit.program import Program
from seamwright.plan import Accuracy, Machine, Plan, Surface

TRIALS = 4_000
_CHUNK = 1_000
_MOST = 3
_SURE = 0.95
_HARDLY = 0.002


@dataclass(frozen=True, slots=True, kw_only=True)
class Flattening:
    """One planing of a plan.

    Attributes:
        step, part: its number, and the kind it makes.
        planned_mm: what the plan leaves for both faces together [mm].
        uneven_mm: step between the highest and the lowest piece of the more uneven face: of half
            of all trials, and of 19 in 20 [mm].
        least_mm: what has to be left for both faces together, the same two [mm].
        chance: of every face of every part coming clean.
    """

    step: int
    part: str
    planned_mm: float
    uneven_mm: tuple[float, float]
    least_mm: tuple[float, float]
    chance: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """What unclean faces hang on.

    Attributes:
        setting: a setting of planer or resaw fence; None for parts that stand off the bed.
        chance: of all faces coming clean were it true.
    """

    setting: Setting | None
    chance: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Thickness:
    """How the thickness of a plan's parts will come out.

    Attributes:
        trials: how many.
        flattenings: every planing, in working order.
        chance: of all faces of all of them coming clean.
        causes: up to three, those that help most first; none where hardly anything can go wrong.
        more_mm: what the sticks should be thicker so that all faces come clean on 19 boards in 20;
            0 where they are thick enough.
    """

    trials: int
    flattenings: tuple[Flattening, ...]
    chance: float
    causes: tuple[Cause, ...]
    more_mm: float

    def needs_mm(self) -> dict[int, float]:
        """For each planing what to leave for both faces on 19 boards in 20 [mm]."""
        return {flattening.step: flattening.least_mm[1] for flattening in self.flattenings}


def thickness(
    plan: Plan,
    program: Program,
    accuracy: Accuracy,
    *,
    known: frozenset[str] = frozenset(),
    trials: int = TRIALS,
    seed: int = 1,
) -> Thickness:
    """How thick parts come out, and whether the wood left for planing is enough.

    Args:
        plan: the plan.
        program: made of it.
        accuracy: of the shop.
        known: kinds whose thickness was measured: their settings are off no more than planned.
        trials: how many; 1 or more.
        seed: of the random numbers.
    """
    depths = depths_of(plan, program)
    spreads = _spreads(depths, accuracy, known)
    met = _tried(depths, spreads, trials, seed)
    planned = planned_mm(plan)
    flattenings = []
    for planed in met:
        step = plan.steps[planed.step - 1]
        assert isinstance(step, Surface)
        flattenings.append(
            Flattening(
                step=planed.step,
                part=step.makes,
                planned_mm=planned[step.takes] - step.depth_mm,
                uneven_mm=_two(planed.uneven),
                least_mm=_two(planed.least),
                chance=float((planed.room >= planed.least).mean()),
            )
        )
    chance = _chance(met)
    short = [planed.least - planed.room for planed in met]
    worst = np.max(short, axis=0) if short else np.zeros(1)
    return Thickness(
        trials=trials,
        flattenings=tuple(flattenings),
        chance=chance,
        causes=_causes(depths, spreads, chance, trials, seed),
        more_mm=max(0.0, float(np.quantile(worst, _SURE))),
    )


def _spreads(depths: Depths, accuracy: Accuracy, known: frozenset[str]) -> Spreads:
    def spread(setting: Setting) -> float:
        makes = {depths.plan.steps[number - 1].makes for number in setting.steps}
        if makes <= known:
            return 0.0
        planer = setting.set_up.machine is Machine.PLANER
        return accuracy.thickness_mm if planer else accuracy.resaw_mm

    return Spreads(
        settings=tuple(spread(setting) for setting in depths.settings),
        planed=accuracy.planed_mm,
        leaf=accuracy.leaf_mm,
        flush=accuracy.flush_mm,
    )


def _tried(depths: Depths, spreads: Spreads, trials: int, seed: int) -> tuple[Planed, ...]:
    parts: list[list[Planed]] = []
    for start in range(0, trials, _CHUNK):
        count = min(_CHUNK, trials - start)
        parts.append(list(levelled(depths, spreads, seed=(seed, start), trials=count)))
    return tuple(
        Planed(
            step=same[0].step,
            uneven=np.concatenate([planed.uneven for planed in same]),
            least=np.concatenate([planed.least for planed in same]),
            room=np.concatenate([planed.room for planed in same]),
        )
        for same in zip(*parts, strict=True)
    )


def _two(values: np.ndarray) -> tuple[float, float]:
    return float(np.quantile(values, 0.5)), float(np.quantile(values, _SURE))


def _chance(met: tuple[Planed, ...]) -> float:
    if not met:
        return 1.0
    return float(np.all([planed.room >= planed.least for planed in met], axis=0).mean())


def _causes(
    depths: Depths, spreads: Spreads, chance: float, trials: int, seed: int
) -> tuple[Cause, ...]:
    """Each cause set true by itself: what that helps."""
    if chance > 1.0 - _HARDLY:
        return ()
    found = []
    for k, setting in enumerate(depths.settings):
        if spreads.settings[k]:
            without = tuple(0.0 if i == k else sd for i, sd in enumerate(spreads.settings))
            met = _tried(depths, replace(spreads, settings=without), trials, seed)
            found.append(Cause(setting=setting, chance=_chance(met)))
    met = _tried(depths, replace(spreads, flush=0.0), trials, seed)
    found.append(Cause(setting=None, chance=_chance(met)))
    found.sort(key=lambda cause: -cause.chance)
    return tuple(cause for cause in found[:_MOST] if cause.chance > chance + _HARDLY)
