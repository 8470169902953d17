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
from dataclasses import dataclass, field, replace
from itertools import count

from seamwright.plan import Mill, Plan, SetUp, Shop, Slice, Step, Trim, inputs, outputs, set_ups
from seamwright.plan.effort import set_up_minutes
from seamwright.seams import members

_MOST_WORK = 70_000
"""Steps tried, over all states, times steps there are, before the order is left as it was."""

_Key = tuple[str, int, int]


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
    later = plan.steps[first:]
    found = _Search(later, plan.shop).best(_left_standing(plan.steps[:first]))
    if found is None:
        return Ordered(plan=plan, proven=False)
    return Ordered(plan=replace(plan, steps=plan.steps[:first] + found), proven=True)


def _is_early(step: Step) -> bool:
    return isinstance(step, Mill) or (isinstance(step, Slice) and not step.apart)


def _left_standing(steps: Sequence[Step]) -> tuple[tuple[str, _Key], ...]:
    """What machines stand at after strip sets were planed."""
    standing = {
        up.machine.value: up.key for step in steps if not _is_early(step) for up in set_ups(step)
    }
    return tuple(sorted(standing.items()))


@dataclass(frozen=True, slots=True)
class _State:
    """Steps done, as a bit set, and the setting each machine stands at.

    Attributes:
        ready: steps that wait for nothing any more (a bit set); follows from ``done``.
        wanted: minutes of all settings that some step still to be done needs; so does this.
    """

    done: int
    standing: tuple[tuple[str, _Key], ...]
    ready: int = field(compare=False)
    wanted: float = field(compare=False)


@dataclass(frozen=True, slots=True)
class _Move:
    """A step done next, its settings in the order they are made."""

    number: int
    ups: tuple[SetUp, ...]


class _Search:
    def __init__(self, steps: Sequence[Step], shop: Shop) -> None:
        self.steps = steps
        self.ups = [set_ups(step) for step in steps]
        self.keys = [tuple((up.machine.value, up.key) for up in ups) for ups in self.ups]
        self.minutes: dict[_Key, float] = {}
        self.users: dict[_Key, int] = {}
        for number, ups in enumerate(self.ups):
            for up in ups:
                self.minutes[up.key] = set_up_minutes(up, shop)
                self.users[up.key] = self.users.get(up.key, 0) | 1 << number
        makers: dict[str, int] = {}
        for number, step in enumerate(steps):
            for kind in outputs(step):
                makers[kind] = makers.get(kind, 0) | 1 << number
        self.waits: list[int] = []
        self.followers: list[list[int]] = [[] for _ in steps]
        for number, step in enumerate(steps):
            waits = 0
            for kind in inputs(step):
                waits |= makers.get(kind, 0)
            self.waits.append(waits)
            for maker in members(waits):
                self.followers[maker].append(number)

    def best(self, standing: tuple[tuple[str, _Key], ...]) -> tuple[Step, ...] | None:
        """The steps in the best order; None where that takes too long to find."""
        everything = (1 << len(self.steps)) - 1
        begin = sum(1 << number for number, waits in enumerate(self.waits) if not waits)
        first = _State(0, standing, begin, sum(self.minutes.values()))
        start, moves = self._free(first, ())
        queue: list[tuple[float, int, int, _State, tuple[_Move, ...]]] = [
            (self._still(start), 0, 0, start, moves)
        ]
        spent: dict[_State, float] = {start: 0.0}
        turn = count(1)
        while queue:
            *_, state, moves = heapq.heappop(queue)
            if state.done == everything:
                return tuple(self._written(move) for move in moves)
            for after, move, cost in self._next(state):
                number = next(turn)
                if number * len(self.steps) > _MOST_WORK:
                    return None
                free, all_moves = self._free(after, (*moves, move))
                total = spent[state] + cost
                if total < spent.get(free, float("inf")) - 1e-9:
                    spent[free] = total
                    # among equals the order the plan came in, and the deeper state, come first
                    rank = -free.done.bit_count() * 10_000 + move.number
                    rest = self._still(free)
                    heapq.heappush(queue, (total + rest, rank, number, free, all_moves))
        return None

    def _free(self, state: _State, moves: tuple[_Move, ...]) -> tuple[_State, tuple[_Move, ...]]:
        """Do every step that needs nothing set."""
        standing = set(state.standing)
        done: list[_Move] = []
        again = True
        while again:
            again = False
            for number in members(state.ready):
                if standing.issuperset(self.keys[number]):
                    state = self._done(state, number, state.standing)
                    done.append(_Move(number, self.ups[number]))
                    again = True
        return state, (*moves, *done)

    def _done(self, state: _State, number: int, standing: tuple[tuple[str, _Key], ...]) -> _State:
        """The state after a step."""
        done, ready, wanted = state.done | 1 << number, state.ready & ~(1 << number), state.wanted
        for follower in self.followers[number]:
            if not self.waits[follower] & ~done:
                ready |= 1 << follower
        for key in {key for _, key in self.keys[number]}:
            if not self.users[key] & ~done:
                wanted -= self.minutes[key]
        return _State(done, standing, ready, wanted)

    def _next(self, state: _State) -> Iterator[tuple[_State, _Move, float]]:
        standing = dict(state.standing)
        for number in members(state.ready):
            for ups in self._orders(number, standing):
                now = dict(standing)
                cost = 0.0
                for up in ups:
                    if now.get(up.machine.value) != up.key:
                        cost += self.minutes[up.key]
                        now[up.machine.value] = up.key
                after = self._done(state, number, tuple(sorted(now.items())))
                yield after, _Move(number, ups), cost

    def _orders(self, number: int, standing: dict[str, _Key]) -> Iterator[tuple[SetUp, ...]]:
        """Orders of a step's settings that differ in what stands at the end.

        Only trims may change the order of theirs: any cut may come first.
        """
        ups = self.ups[number]
        if not isinstance(self.steps[number], Trim) or len(ups) < 2:
            yield ups
            return
        first = [up for up in ups if standing.get(up.machine.value) == up.key]
        rest = [up for up in ups if up not in first]
        for last in rest:
            yield (*first, *(up for up in rest if up is not last), last)

    def _still(self, state: _State) -> float:
        """Minutes of setting that are to come whatever the order: each new setting once."""
        stand = {key for _, key in state.standing if self.users.get(key, 0) & ~state.done}
        return state.wanted - sum(self.minutes[key] for key in stand)

    def _written(self, move: _Move) -> Step:
        step = self.steps[move.number]
        return replace(step, set_ups=move.ups) if isinstance(step, Trim) else step
