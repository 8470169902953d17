"""The best choice among patterns that lose little, exactly, where a plan may not lose much.

At the prices of the linear program a plan costs the bound, and what its patterns lose on top, and
what it gives more than is needed. Boards are gone through one by one; choices so far are told apart
by what they still need only (a dynamic program over states, with bounds on what is still to come:
Marsten and Morin 1978, from memory). Those bounds keep two rows of the demand in whole numbers and
leave all others out, for every pair of rows. With few boards, or a bound near the plan, the states
are some thousands. Where they are too many the most promising are carried on, and the choice is as
good as the best that was dropped.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import NamedTuple

import numpy as np

from seamwright.rack.grid import Floats
from seamwright.rack.kernels.arrays import Counts, Numbers
from seamwright.rack.kernels.settling import Stages, States, advanced, least_of, pairs_of
from seamwright.rack.listing import Part
from seamwright.rack.pricer import Prices
from seamwright.rack.problem import Choice, Column, Problem

_TINY = 1e-7


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """The best choice found, None where none is cheaper than asked for.

    Attributes:
        choice: with what exceeds the needs.
        bound: no choice among the columns given costs less, nor less than what was asked for.
    """

    choice: Choice | None
    bound: float


class _Offer(NamedTuple):
    """Columns of one place from one source: what each loses and gives, and how to get it."""

    loss: Floats
    gives: Counts
    column: Callable[[int], Column]


class _Stage(NamedTuple):
    """Columns of one place, those that lose least first; of which offer each is, and where."""

    skip: float
    offers: tuple[_Offer, ...]
    loss: Floats
    gives: Counts
    which: Numbers
    number: Numbers

    def column(self, n: int) -> Column:
        """One of the columns."""
        return self.offers[int(self.which[n])].column(int(self.number[n]))


def settle(
    problem: Problem,
    prices: Prices,
    parts: Iterable[Part],
    columns: Iterable[Column],
    *,
    needs: tuple[int, ...],
    under: float,
    width: int,
    work: int,
) -> Settled:
    """The cheapest choice among columns that costs less than ``under``.

    Args:
        problem: whose places are used at most as often as they may.
        prices: at which what every place gains at most is known.
        parts, columns: what may be chosen.
        needs: of each row.
        under: cost that is too much.
        width: choices carried on from board to board.
        work: columns tried at most, over all boards.
    """
    assert prices.best is not None
    offers: dict[int, list[_Offer]] = defaultdict(list)
    for part in parts:
        offers[part.place].append(_Offer(part.loss, part.gives, partial(part.column, problem)))
    gains = np.maximum(prices.best - np.array(problem.costs), 0.0)
    for place, offer in _loose(columns, prices, gains):
        offers[place].append(offer)
    uses = [
        min(limit, sum(needs)) if place in offers else 0
        for place, limit in enumerate(problem.limits)
    ]
    base = float(np.dot(prices.rows, needs)) - float(np.dot(uses, gains))
    ceiling = under - base - _TINY * abs(under)
    if ceiling <= 0:
        return Settled(choice=None, bound=min(under, base))
    stages = _stages(offers, gains=gains, uses=uses, ceiling=ceiling)
    starts = np.cumsum([0, *(len(stage.loss) for stage in stages)])
    table = Stages(
        starts=starts,
        loss=np.concatenate([np.zeros(0), *(stage.loss for stage in stages)]),
        gives=np.concatenate(
            [np.zeros((0, len(needs)), np.int16), *(stage.gives for stage in stages)]
        ),
        skips=np.array([stage.skip for stage in stages]),
        prices=prices.rows,
        short=np.array(problem.missing) - prices.rows,
    )
    path, lost, dropped = walked(table, np.array(needs, np.int16), ceiling, width, work)
    bound = base + min(dropped, ceiling)
    if path is None:
        return Settled(choice=None, bound=bound)
    choice: Choice = []
    for k, column in path:
        choice.append((stages[k].column(column - int(starts[k])), 1))
    return Settled(choice=choice, bound=min(bound, base + lost))


def _loose(
    columns: Iterable[Column], prices: Prices, gains: Floats
) -> Iterator[tuple[int, _Offer]]:
    """Columns place by place."""
    by_place: dict[int, list[Column]] = defaultdict(list)
    for column in columns:
        by_place[column.place].append(column)
    for place, mine in by_place.items():
        gives = np.array([column.gives for column in mine], np.int16)
        worth = gives @ prices.rows - np.array([column.cost for column in mine])
        yield place, _Offer(float(gains[place]) - worth, gives, mine.__getitem__)


def _stages(
    offers: dict[int, list[_Offer]], *, gains: Floats, uses: list[int], ceiling: float
) -> list[_Stage]:
    """Columns by place, most columns first: that leaves fewest choices to carry on."""
    stages = []
    for place, mine in sorted(offers.items()):
        loss = np.concatenate([offer.loss for offer in mine])
        order = np.argsort(loss, kind="stable")
        order = order[: int(np.searchsorted(loss[order], ceiling))]
        stage = _Stage(
            skip=float(gains[place]),
            offers=tuple(mine),
            loss=loss[order],
            gives=np.concatenate([offer.gives for offer in mine])[order],
            which=np.repeat(np.arange(len(mine)), [len(offer.loss) for offer in mine])[order],
            number=np.concatenate([np.arange(len(offer.loss)) for offer in mine])[order],
        )
        stages.extend([stage] * _times(stage, uses[place], ceiling))
    return sorted(stages, key=lambda stage: -len(stage.loss))


def _times(stage: _Stage, uses: int, ceiling: float) -> int:
    """How often a place may be of use."""
    if stage.skip:
        return uses
    if not len(stage.loss):
        return 0
    return min(uses, math.ceil(ceiling / max(float(stage.loss[0]), _TINY)))


def walked(
    table: Stages, needs: Counts, ceiling: float, width: int, work: int
) -> tuple[list[tuple[int, int]] | None, float, float]:
    """Stages and columns of the best choice, what it loses, and what was dropped loses at least.

    None where no choice loses less than ``ceiling``; ``width`` and ``work`` as in ``settle``.
    """
    pairs = pairs_of(table, needs)
    one = np.full(1, -1, np.int32)
    least = least_of(pairs, 0, needs)
    states = States(needs.reshape(1, -1), np.zeros(1), np.full(1, least), one, one)
    trail, dropped = [], math.inf
    if least >= ceiling:
        return None, math.inf, dropped
    for stage in range(len(table.skips)):
        states, lowest, done = advanced(states, stage, table, pairs, ceiling, width, work // 2)
        work -= done
        trail.append((states.before, states.taken))
        dropped = min(dropped, lowest)
        if not len(states.lost):
            return None, math.inf, dropped
    ends = states.lost + states.rest @ table.short
    at = int(ends.argmin())
    lost = float(ends[at])
    if lost >= ceiling:
        return None, math.inf, dropped
    path = []
    for stage in range(len(trail) - 1, -1, -1):
        before, taken = trail[stage]
        if taken[at] >= 0:
            path.append((stage, int(taken[at])))
        at = int(before[at])
    return path, lost, dropped
