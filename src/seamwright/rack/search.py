"""Search all problems of a rack side by side until time is up or everything is proven."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from time import monotonic, process_time

from seamwright.rack.apart import Report, can_split, side_by_side
from seamwright.rack.beam import beam, cut_back
from seamwright.rack.close import close
from seamwright.rack.fit import likely
from seamwright.rack.improve import fill, greedy, neighbourhood, scatter
from seamwright.rack.listing import Part, least_of
from seamwright.rack.master import choose
from seamwright.rack.problem import Best, Choice, Node, Pool, Problem
from seamwright.rack.relax import Pricing, Relaxed, relax
from seamwright.rack.resettle import Resettling
from seamwright.rack.tree import Tree

_LAST = 1e-4
_WORTH_SPLITTING_S = 0.5
_REACH, _FURTHER, _FAR, _LITTLE, _LEAST_MORE = 0.003, 1.4, 2.0, 0.02, 1.05
_CLOSE_SHARE, _FITS, _SHORT_OF = 0.6, 0.8, 0.9
_WIDTH = 1_000
_SIZES, _SIZES_MANY, _MANY = (2, 3, 3, 4), (3, 4, 6, 8), 24
_NEIGHBOURHOOD_S, _RESETTLE_S, _RESETTLE_SHARE = 1.0, 0.3, 0.1
_MOST_KEPT, _MOST_USED = 15_000, (1_000, 2_000, 4_000, 10_000)
_BEAMS = 4
_THOROUGH = (2, 6)
_SETTLE_SHARE = 0.9

PROOF = 1e-4
"""Relative gap below which a plan counts as the best possible."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """The best choice for one problem and its proven bound."""

    choice: Choice
    cost: float
    bound: float


class Hunt:
    """One problem being solved."""

    def __init__(self, problem: Problem, *, seed: int, until: float, check: Callable[[], None]):
        self.problem, self.check = problem, check
        self._start, self._used = monotonic(), process_time()
        self.pool, self._rng = Pool(), random.Random(seed)
        self._turn = 0
        self._parts: tuple[Part, ...] = ()
        empty: Choice = []
        self.best = Best(choice=empty, cost=problem.cost_of(empty))
        self._proven = 0.0
        self._tree: Tree | None = None
        self._root = self._relaxed(until, Pricing.ROUGH)
        self._root = self._relaxed(_share(until, _SETTLE_SHARE), Pricing.EXACT)
        self._closing = _Closing(_REACH * abs(self._root.value))
        self._is_large = len(problem.costs) > _MANY
        left = list(problem.limits)
        prices = self._root.prices.rows
        self._improve(greedy(problem, self.pool, problem.needs, left, prices))
        fill(problem, self.pool, problem.needs, prices)
        self._beam()
        self._resettling = Resettling(problem, self.pool, self.best, self._rng)

    def _relaxed(self, until: float, pricing: Pricing) -> Relaxed:
        root = relax(
            self.problem, self.pool, until=until, check=self.check, target=_LAST, pricing=pricing
        )
        known = root.bound > self._proven or not self._proven
        self._proven = max(self._proven, root.bound)
        return root if known else self._root

    def _improve(self, choice: Choice) -> None:
        self.best.offer(choice, self.problem.cost_of(choice))

    @property
    def bound(self) -> float:
        """No plan costs less."""
        tree = self._tree.bound if self._tree else 0.0
        return min(self.best.cost, max(self._proven, tree))

    @property
    def gap(self) -> float:
        """Cost above the bound."""
        return self.best.cost - self.bound

    @property
    def is_done(self) -> bool:
        """Proven."""
        return self.gap <= PROOF * max(self.best.cost, 1e-9)

    def work(self, until: float) -> None:
        """One piece of work: list patterns, choose from the pool, a case, or a neighbourhood."""
        if self._close(until):
            return
        turn, self._turn = self._turn, self._turn + 1
        if turn % 20 == 18:
            self._step(until)
        elif turn % 10 == 5:
            self._beam()
        elif turn % 20 == 13:
            self._choose(until)
        elif turn % 4 == 3:
            self._neighbourhood(until)
        else:
            self._resettle(until)

    def _neighbourhood(self, until: float) -> None:
        """A few boards priced and chosen anew."""
        turn = self._turn
        thorough = turn % 10 in _THOROUGH and turn > 20
        neighbourhood(
            self.problem,
            self.pool,
            self.best,
            self._rng,
            size=self._rng.choice(_SIZES_MANY if self._is_large else _SIZES),
            prices=self._root.prices,
            pricing=Pricing.BRIEF if thorough else Pricing.ROUGH,
            until=min(until, monotonic() + _NEIGHBOURHOOD_S),
            check=self.check,
        )

    def _resettle(self, until: float) -> None:
        """Several boards chosen anew from what was listed, again and again for a while."""
        until = min(_share(until, _RESETTLE_SHARE), monotonic() + _RESETTLE_S)
        parts = least_of(self._parts, self._rng.choice(_MOST_USED))
        while monotonic() < until and not self.is_done:
            self.check()
            self._resettling.step(parts, self._root.prices)

    def _step(self, until: float) -> None:
        """One case looked into, or the linear program solved to its end."""
        if self._tree is None:
            self._root = self._relaxed(_share(until, _SETTLE_SHARE), Pricing.EXACT)
            self._tree = Tree(self.problem, self.pool, self.best, self._root, Node())
        elif not self._tree.is_done:
            self._tree.step(until=until, check=self.check)

    def _close(self, until: float) -> bool:
        """List the patterns that lose little, more of them every time, and choose; if it is due."""
        start = monotonic()
        reach = self._closing.next_reach(
            start - self._start, until - start, self._proven - self._root.bound
        )
        if not reach:
            return False
        closed = close(
            self.problem,
            self.pool,
            self._root,
            needs=self.problem.needs,
            reach=min(reach, self.best.cost - self._root.bound),
            under=self.best.cost,
            seconds=until - start,
            pace=self._pace(),
            check=self.check,
            width=_WIDTH,
        )
        if closed.choice is not None:
            self._improve(closed.choice)
        self._proven = max(self._proven, closed.bound)
        if sum(len(part.loss) for part in closed.parts) <= _MOST_KEPT:
            self._parts = closed.parts
        self._closing.note(reach, monotonic() - start, is_whole=closed.is_settled)
        return True

    def _pace(self) -> float:
        """Share of a processor that this process has had so far."""
        had = (process_time() - self._used) / max(1e-3, monotonic() - self._start)
        return min(1.0, max(0.1, had))

    def _beam(self) -> None:
        """Many partial plans side by side, through columns of which there are more every time."""
        prices = self._root.prices.rows
        for _ in range(_BEAMS):
            found = beam(self.problem, self.pool, self._root, self._rng)
            self._improve(cut_back(self.problem, self.pool, found))
            scatter(self.problem, self.pool, prices, self._rng, times=1)

    def _choose(self, until: float) -> None:
        prices = self._root.prices.rows
        scatter(self.problem, self.pool, prices, self._rng, times=8)
        found = choose(
            self.problem,
            likely(self.pool, prices),
            needs=self.problem.needs,
            seconds=min(4.0, 0.25 * (until - monotonic())),
        )
        if found is not None:
            self._improve(found)

    def found(self) -> Found:
        """The best so far."""
        return Found(choice=self.best.choice, cost=self.best.cost, bound=self.bound)


@dataclass(slots=True)
class _Closing:
    """How far the next listing reaches, and whether it is due.

    Attributes:
        reach: of the last listing from which the best was chosen, 0 before the first.
        first: reach of the first.
        seconds: what the last one took.
        steep: patterns, and so the time, grow as the reach to the power of this.
        failed: reach of the last from which the best could not be chosen.
        spent: time spent so far.
    """

    first: float
    reach: float = 0.0
    seconds: float = 0.0
    steep: float = 3.0
    failed: float = math.inf
    spent: float = 0.0

    def next_reach(self, since: float, left: float, known: float) -> float:
        """Reach of the next listing, 0 where none is due.

        Given times since the start and left, and by how much the bound was raised already.
        """
        if self.spent > _CLOSE_SHARE * since:
            return 0.0
        if not self.reach:
            return self.first
        fits = (_FITS * max(0.0, left) / max(1e-3, self.seconds)) ** (1 / self.steep)
        further = _FURTHER if self.seconds > _LITTLE * left else _FAR
        reach = min(self.reach * min(further, fits), _SHORT_OF * self.failed)
        return reach if reach >= _LEAST_MORE * max(self.reach, known) else 0.0

    def note(self, reach: float, seconds: float, *, is_whole: bool) -> None:
        """A listing: how far it reached, what it took, whether the best was chosen from it."""
        self.spent += seconds
        if not is_whole:
            self.failed, self.first = reach, self.first / 2
            return
        if self.reach and reach > self.reach and self.seconds:
            steep = math.log(seconds / self.seconds) / math.log(reach / self.reach)
            self.steep = min(5.0, max(2.0, steep))
        self.reach, self.seconds = reach, seconds


def _share(until: float, share: float) -> float:
    """The time when a share of what is left is used up."""
    return monotonic() + share * (until - monotonic())


def search(
    problems: tuple[Problem, ...],
    *,
    seed: int,
    until: float,
    check: Callable[[], None],
    tell: Callable[[float, str], None],
) -> tuple[Found, ...]:
    """Solve problems until ``until`` (monotonic seconds), at once where the machine has room."""
    start = monotonic()

    def heard(said: list[tuple[float, float]]) -> None:
        spent = (monotonic() - start) / max(1e-9, until - start)
        cost = max(1e-9, sum(c for c, _ in said))
        gap = sum(c - b for c, b in said) / cost
        tell(min(0.99, 0.3 + 0.7 * spent), f"within {gap * 100:.1f} % of the best possible")

    if len(problems) < 2 or until - start < _WORTH_SPLITTING_S or not can_split():
        return _in_turn(problems, seed=seed, until=until, check=check, heard=heard)
    tell(0.3, "first cut plan")
    jobs = tuple(partial(_apart, problem, seed + n) for n, problem in enumerate(problems))
    found = side_by_side(jobs, seconds=until - start, check=check, heard=heard)
    lost = [n for n, answer in enumerate(found) if answer is None]
    again = _in_turn(
        tuple(problems[n] for n in lost), seed=seed, until=until, check=check, heard=heard
    )
    instead = dict(zip(lost, again, strict=True))
    return tuple(instead[n] if f is None else f for n, f in enumerate(found))


def _apart(
    problem: Problem, seed: int, seconds: float, report: Report, check: Callable[[], None]
) -> Found:
    def heard(said: list[tuple[float, float]]) -> None:
        report(*said[0])

    until = monotonic() + seconds
    return _in_turn((problem,), seed=seed, until=until, check=check, heard=heard)[0]


def _in_turn(
    problems: tuple[Problem, ...],
    *,
    seed: int,
    until: float,
    check: Callable[[], None],
    heard: Callable[[list[tuple[float, float]]], None],
) -> tuple[Found, ...]:
    """Solve problems in turn; the widest gap is worked on first."""
    start = monotonic()
    hunts: list[Hunt] = []
    for n, problem in enumerate(problems):
        # each first look gets its share of the time, so that all have a plan and a bound
        share = start + (until - start) * 0.5 * (n + 1) / len(problems)
        hunts.append(Hunt(problem, seed=seed + n, until=share, check=check))
    while monotonic() < until:
        check()
        heard([(h.best.cost, h.bound) for h in hunts])
        open_hunts = [h for h in hunts if not h.is_done]
        if not open_hunts:
            break
        hunt = max(open_hunts, key=lambda h: h.gap)
        hunt.work(until)
    return tuple(hunt.found() for hunt in hunts)
