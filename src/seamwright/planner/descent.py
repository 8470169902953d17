"""A good choice fast: start from what looks cheapest alone, then mend one node at a time.

Gives the exact solver a plan to beat, and the screen something to show at once.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from random import Random

from seamwright.planner.problem import Choice, Mode, Pool, Problem, recount
from seamwright.planner.tally import Tally
from seamwright.planner.tariffs import Draft

_WORTH = 1e-6
"""A smaller gain is rounding [min]."""


@dataclass(frozen=True, slots=True)
class Alone:
    """What each node costs when it is made in its full number and nothing else is.

    Attributes:
        picked: the cheapest mode of each node.
        minutes: for one of each.
    """

    picked: dict[int, int]
    minutes: list[float]


def descend(
    problem: Problem,
    former: Mapping[int, tuple[int, int]] | None = None,
    alone: Alone | None = None,
) -> Choice:
    """A choice that no change of a single node's mode improves.

    Args:
        problem: with at least one feasible plan.
        former: for nodes that were made in another drawing the mode, and how often it was used.
            Where a node is made as often as then, its mode is left as it is: a good choice, and
            soon, though not always one that no change improves.
        alone: what nodes cost alone, where that is known.
    """
    picked = dict((alone or made_alone(problem)).picked)
    if not former:
        return mended(problem, picked)
    picked.update({number: mode for number, (mode, _) in former.items()})
    return mended(problem, picked, former=former)


def descend_from(problem: Problem, likely: Sequence[Sequence[float]], *, draws: int) -> Choice:
    """The best choice reached from starts drawn by how likely each mode is.

    Args:
        problem: with at least one feasible plan.
        likely: for each node and mode a weight; the heaviest modes are the first start.
        draws: how many starts are drawn besides; the random numbers are always the same.
    """
    picked = made_alone(problem).picked
    for number, weights in enumerate(likely):
        if max(weights, default=0.0) > 1e-6:
            picked[number] = max(range(len(weights)), key=weights.__getitem__)
    best = mended(problem, dict(picked))
    chance = Random(problem.copies)
    for _ in range(draws):
        trial = dict(picked)
        for number, weights in enumerate(likely):
            if sum(weights) > 1e-6:
                (trial[number],) = chance.choices(range(len(weights)), weights)
        choice = mended(problem, trial)
        if choice.minutes < best.minutes - 1e-9:
            best = choice
    return best


def mended(
    problem: Problem,
    picked: dict[int, int],
    *,
    rounds: int = 12,
    former: Mapping[int, tuple[int, int]] | None = None,
) -> Choice:
    """Change one mode at a time while that makes it cheaper; changes ``picked``.

    What is as in the former choice is left as it is.
    """
    tally = Tally(problem, picked)
    for _ in range(rounds):
        before = tally.minutes
        for number in tally.active():
            if not tally.wanted[number] or len(problem.nodes[number].modes) == 1:
                continue
            if former is None or former.get(number) != (tally.picked[number], tally.uses(number)):
                _best_mode(tally, number)
        if tally.minutes > before - _WORTH:
            break
    picked.update(tally.picked)
    return recount(problem, picked)


def _best_mode(tally: Tally, number: int) -> None:
    best, minutes = tally.picked[number], tally.minutes
    for mode in range(len(tally.problem.nodes[number].modes)):
        tally.change(number, mode)
        if tally.minutes < minutes - _WORTH:
            best, minutes = mode, tally.minutes
    tally.change(number, best)


def made_alone(problem: Problem) -> Alone:
    """For every node the mode that is cheapest when the node is made in its full number alone."""
    cost = [0.0] * len(problem.nodes)
    picked: dict[int, int] = {}
    for number in range(len(problem.nodes) - 1, -1, -1):
        node = problem.nodes[number]
        best = float("inf")
        for k, mode in enumerate(node.modes):
            below = 0.0
            for child, times in mode.children:
                below += cost[child] * times
            settings = sum([problem.setting_minutes[s] for s in mode.settings])
            pool = problem.pools[mode.pool] if mode.pool >= 0 else None
            each = minutes_alone(mode, below, settings, pool, node.most)
            if each < best:
                best, picked[number] = each, k
        cost[number] = best
    return Alone(picked, cost)


def minutes_alone(
    mode: Mode, below: float, settings: float, pool: Pool | Draft | None, most: int
) -> float:
    """Minutes for one of a node when it is made in its full number and nothing else is.

    Args:
        mode: how it is made.
        below: minutes for what one use of the mode needs [min].
        settings: minutes for its settings [min].
        pool: the bars it is sliced from.
        most: the full number.
    """
    each, once = mode.each + below, mode.once + settings
    if mode.batch:
        each += mode.clamping / mode.batch
    if pool is not None:
        each += pool.per_mm * mode.pitch_mm
        once += pool.per_bar + pool.clamping + pool.per_mm * pool.overhead_mm
    return (each + once / max(most, 1)) / mode.yields
