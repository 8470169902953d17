"""The order of steps in which machines are set least.

Sticks are milled on one day and bars sliced together, so each setting of theirs is made once
whatever the order. What comes after waits for glue: there the order decides how often a setting is
made. A machine keeps its setting until another one is needed; so steps that share one are worked
one behind the other, as far as what they wait for allows.

The search is exact: from every state (steps done, settings standing) all steps that cost a setting
are tried, cheapest total first. A step that costs nothing is done at once: that can only help.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import count
from math import inf
from typing import NamedTuple

from seamwright.plan import (
    Laminate,
    Mill,
    Plan,
    SetUp,
    Shop,
    Slice,
    Step,
    Trim,
    inputs,
    outputs,
    set_ups,
)
from seamwright.plan.effort import set_up_minutes
from seamwright.seams import members

_MOST_WORK = 70_000
"""Steps tried, over all states, times steps there are, before the order is left as it was."""

_Key = tuple[str, int, int]
_Standing = tuple[tuple[str, _Key], ...]
"""The setting each machine stands at."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ordered:
    """A plan in a good order.

    Attributes:
        plan: the plan; the same steps.
        proven: whether no order of its steps takes fewer minutes of setting.
    """

    plan: Plan
    proven: bool


def fewest_settings(plan: Plan) -> Ordered:
    """The plan with its steps, after the slicing, in the order that sets machines least."""
    early = [i for i, step in enumerate(plan.steps) if _is_early(step)]
    first = early[-1] + 1 if early else 0
    later = _units(plan.steps[first:])
    found = _Search(later, plan.shop).best(_left_standing(plan.steps[:first]))
    if found is None:
        return Ordered(plan=plan, proven=False)
    return Ordered(plan=replace(plan, steps=plan.steps[:first] + found), proven=True)


def _units(steps: Sequence[Step]) -> tuple[tuple[Step, ...], ...]:
    """Steps one behind the other that lie in the clamps together are worked as one."""
    units: list[tuple[Step, ...]] = []
    for step in steps:
        if isinstance(step, Laminate) and step.beside:
            units[-1] += (step,)
        else:
            units.append((step,))
    return tuple(units)


def _is_early(step: Step) -> bool:
    return isinstance(step, Mill) or (isinstance(step, Slice) and not step.apart)


def _left_standing(steps: Sequence[Step]) -> _Standing:
    """What machines stand at after strip sets were planed."""
    standing = {
        up.machine.value: up.key for step in steps if not _is_early(step) for up in set_ups(step)
    }
    return tuple(sorted(standing.items()))


class _State(NamedTuple):
    """Steps done, as a bit set, and the number of what machines stand at.

    Attributes:
        ready: steps that wait for nothing any more (a bit set); follows from ``done``.
        wanted: minutes of all settings that some step still to be done needs; so does this.
    """

    done: int
    standing: int
    ready: int
    wanted: float


class _Move(NamedTuple):
    """A step done next: its settings in the order they are made, what stands then, the cost."""

    number: int
    ups: tuple[SetUp, ...]
    standing: int
    cost: float


class _Path(NamedTuple):
    """How a state was reached: a step that was set for, then all that needed nothing set."""

    before: _Path | None
    move: _Move | None
    free: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class _Stand:
    """What machines stand at.

    Attributes:
        settings: by machine.
        enough_for: the steps that need nothing set then, as a bit set.
        used: for each of the settings the steps that need it, as a bit set, and its minutes.
        moves: for each step that was looked at, how it may be done next.
    """

    settings: _Standing
    enough_for: int
    used: tuple[tuple[int, float], ...]
    moves: dict[int, tuple[_Move, ...]]


class _Search:
    def __init__(self, steps: Sequence[tuple[Step, ...]], shop: Shop) -> None:
        self.steps = steps
        # glue-ups, which alone are worked several at a time, need nothing set
        self.ups = [set_ups(first) for first, *_ in steps]
        self.keys = [tuple([(up.machine.value, up.key) for up in ups]) for ups in self.ups]
        self.minutes: dict[_Key, float] = {}
        self.users: dict[_Key, int] = {}
        for number, ups in enumerate(self.ups):
            for up, (_, key) in zip(ups, self.keys[number], strict=True):
                self.minutes[key] = set_up_minutes(up, shop)
                self.users[key] = self.users.get(key, 0) | 1 << number
        makers: dict[str, int] = {}
        for number, unit in enumerate(steps):
            for kind in (kind for step in unit for kind in outputs(step)):
                makers[kind] = makers.get(kind, 0) | 1 << number
        self.followers: list[list[tuple[int, int]]] = [[] for _ in steps]
        self.begin = 0
        for number, unit in enumerate(steps):
            waits = 0
            for kind in (kind for step in unit for kind in inputs(step)):
                waits |= makers.get(kind, 0)
            if not waits:
                self.begin |= 1 << number
            for maker in members(waits):
                self.followers[maker].append((1 << number, waits))
        self.is_set_for = sum([1 << number for number, ups in enumerate(self.ups) if ups])
        self.stands: list[_Stand] = []
        self.stand_numbers: dict[_Standing, int] = {}

    def best(self, standing: _Standing) -> tuple[Step, ...] | None:
        """The steps in the best order; None where that takes too long to find."""
        everything = (1 << len(self.steps)) - 1
        stand = self._stand(standing)
        nothing = _State(0, stand, self.begin, sum(self.minutes.values()))
        start, free = self._after(nothing, 0, stand)
        queue = [(self._still(start), 0, 0, start, _Path(None, None, free))]
        spent = {(start.done, start.standing): 0.0}
        tried: dict[tuple[int, int], float] = {}
        turn = count(1)
        while queue:
            *_, state, path = heapq.heappop(queue)
            if state.done == everything:
                return self._written(path)
            so_far = spent[state.done, state.standing]
            for move in self._next(state):
                number = next(turn)
                if number * len(self.steps) > _MOST_WORK:
                    return None
                total = so_far + move.cost
                place = (state.done | 1 << move.number, move.standing)
                if total > tried.get(place, inf) - 1e-9:
                    continue
                tried[place] = total
                after, free = self._after(state, 1 << move.number, move.standing)
                place = (after.done, after.standing)
                if total < spent.get(place, inf) - 1e-9:
                    spent[place] = total
                    # among equals the order the plan came in, and the deeper state, come first
                    rank = -after.done.bit_count() * 10_000 + move.number
                    rest = self._still(after)
                    item = (total + rest, rank, number, after, _Path(path, move, free))
                    heapq.heappush(queue, item)
        return None

    def _stand(self, standing: _Standing) -> int:
        """The number of what machines stand at."""
        number = self.stand_numbers.get(standing)
        if number is None:
            number = self.stand_numbers[standing] = len(self.stands)
            stand, enough = set(standing), (1 << len(self.keys)) - 1
            for n in members(self.is_set_for):
                if not stand.issuperset(self.keys[n]):
                    enough &= ~(1 << n)
            used = [(self.users.get(key, 0), self.minutes.get(key, 0.0)) for _, key in standing]
            self.stands.append(_Stand(standing, enough, tuple(used), {}))
        return number

    def _after(self, state: _State, steps: int, standing: int) -> tuple[_State, tuple[int, ...]]:
        """The state after some steps that are ready and all that then needs nothing set.

        Args:
            state: before.
            steps: the steps, a bit set.
            standing: the number of what machines stand at afterwards.
        Returns:
            The state, and those that needed nothing set as bit sets, in the order they got ready.
        """
        enough_for, followers = self.stands[standing].enough_for, self.followers
        done, ready = state.done, state.ready
        free: list[int] = []
        while True:
            done |= steps
            ready &= ~steps
            while steps:
                number = (steps & -steps).bit_length() - 1
                steps &= steps - 1
                for follower, waits in followers[number]:
                    if not waits & ~done:
                        ready |= follower
            steps = ready & enough_for
            if not steps:
                break
            free.append(steps)
        wanted = state.wanted
        done_now = done & ~state.done & self.is_set_for
        for key in {key for number in members(done_now) for _, key in self.keys[number]}:
            if not self.users[key] & ~done:
                wanted -= self.minutes[key]
        return _State(done, standing, ready, wanted), tuple(free)

    def _next(self, state: _State) -> Iterator[_Move]:
        stand = self.stands[state.standing]
        for number in members(state.ready):
            moves = stand.moves.get(number)
            if moves is None:
                moves = stand.moves[number] = tuple(self._moves(number, stand.settings))
            yield from moves

    def _moves(self, number: int, standing: _Standing) -> Iterator[_Move]:
        """A step done where machines stand so, in each order of its settings that may count."""
        before = dict(standing)
        for ups in self._orders(number, before):
            now = dict(before)
            cost = 0.0
            for up in ups:
                key = up.key
                if now.get(up.machine.value) != key:
                    cost += self.minutes[key]
                    now[up.machine.value] = key
            yield _Move(number, ups, self._stand(tuple(sorted(now.items()))), cost)

    def _orders(self, number: int, standing: dict[str, _Key]) -> Iterator[tuple[SetUp, ...]]:
        """Orders of a step's settings that differ in what stands at the end.

        Only trims may change the order of theirs: any cut may come first.
        """
        ups = self.ups[number]
        if not isinstance(self.steps[number][0], Trim) or len(ups) < 2:
            yield ups
            return
        first = [up for up in ups if standing.get(up.machine.value) == up.key]
        rest = [up for up in ups if up not in first]
        for last in rest:
            yield (*first, *(up for up in rest if up is not last), last)

    def _still(self, state: _State) -> float:
        """Minutes of setting that are to come whatever the order: each new setting once."""
        left = ~state.done
        stand = self.stands[state.standing].used
        return state.wanted - sum([minutes for users, minutes in stand if users & left])

    def _written(self, path: _Path | None) -> tuple[Step, ...]:
        """The steps along a path."""
        steps: list[Step] = []
        while path is not None:
            free = [n for steps in path.free[::-1] for n in members(steps)[::-1]]
            steps += [step for n in free for step in self.steps[n][::-1]]
            if path.move is not None:
                steps.append(self._set(path.move))
            path = path.before
        return tuple(steps[::-1])

    def _set(self, move: _Move) -> Step:
        (step,) = self.steps[move.number]
        return replace(step, set_ups=move.ups) if isinstance(step, Trim) else step
