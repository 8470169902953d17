"""Search all problems of a rack side by side until time is up or everything is proven."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from time import monotonic

from seamwright.rack.apart import Report, can_split, side_by_side
from seamwright.rack.beam import beam, cut_back
from seamwright.rack.close import close
from seamwright.rack.fit import likely
from seamwright.rack.improve import dive, fill, greedy, neighbourhood, scatter
from seamwright.rack.master import choose
from seamwright.rack.problem import Best, Choice, Node, Pool, Problem
from seamwright.rack.relax import Pricing, Relaxed, relax
from seamwright.rack.tree import Tree

_LAST = 1e-4
_WORTH_SPLITTING_S = 0.5
_REACH, _FURTHER, _CLOSE_SHARE = 0.005, 1.4, 0.6
_WIDTH = 5_000
_DIVE_S = 0.4
_SIZES, _SIZES_MANY, _MANY = (2, 3, 3, 4), (3, 4, 6, 8), 24
_NEIGHBOURHOOD_S = 1.0
_BEAMS = 4
_THOROUGH = (2, 6)
_SETTLE_SHARE, _DIVE_SHARE = 0.9, 0.1

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
        self.pool, self._rng = Pool(), random.Random(seed)
        self._turn = 0
        empty: Choice = []
        self.best = Best(choice=empty, cost=problem.cost_of(empty))
        self._proven = 0.0
        self._tree: Tree | None = None
        self._root = self._relaxed(until, Pricing.ROUGH)
        self._root = self._relaxed(_share(until, _SETTLE_SHARE), Pricing.EXACT)
        self._start, self._closing = monotonic(), _Closing(_REACH * abs(self._root.value))
        self._is_large = len(problem.costs) > _MANY
        left = list(problem.limits)
        prices = self._root.prices.rows
        self._improve(greedy(problem, self.pool, problem.needs, left, prices))
        fill(problem, self.pool, problem.needs, prices)
        self._beam()
        if self._is_large:
            dive_until = max(_share(until, _DIVE_SHARE), monotonic() + _DIVE_S)
            self._improve(dive(problem, self.pool, self._root, until=dive_until, check=check))

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
        now = monotonic()
        if self._closing.is_due(now - self._start, until - now):
            self._close(until)
            return
        turn, self._turn = self._turn, self._turn + 1
        if turn % 10 == 8:
            self._step(until)
        elif turn % 3 == 2:
            self._beam()
        elif turn % 20 == 13:
            self._choose(until)
        else:
            thorough = turn % 10 in _THOROUGH and turn > 20
            sizes = _SIZES_MANY if self._is_large else _SIZES
            neighbourhood(
                self.problem,
                self.pool,
                self.best,
                self._rng,
                size=self._rng.choice(sizes),
                prices=self._root.prices,
                pricing=Pricing.BRIEF if thorough else Pricing.ROUGH,
                until=min(until, monotonic() + _NEIGHBOURHOOD_S),
                check=self.check,
            )

    def _step(self, until: float) -> None:
        """One case looked into, or the linear program solved to its end."""
        if self._tree is None:
            self._root = self._relaxed(_share(until, _SETTLE_SHARE), Pricing.EXACT)
            self._tree = Tree(self.problem, self.pool, self.best, self._root, Node())
        elif not self._tree.is_done:
            self._tree.step(until=until, check=self.check)

    def _close(self, until: float) -> None:
        """List the patterns that lose little, more of them every time, and choose."""
        start, reach = monotonic(), self._closing.reach
        closed = close(
            self.problem,
            self.pool,
            self._root,
            needs=self.problem.needs,
            reach=min(reach, self.best.cost - self._root.bound),
            under=self.best.cost,
            seconds=until - start,
            check=self.check,
            width=_WIDTH,
        )
        if closed.choice is not None:
            self._improve(closed.choice)
        self._proven = max(self._proven, closed.bound)
        self._closing.note(monotonic() - start, is_whole=closed.is_settled)

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
    """How far the next listing reaches, and when it is due.

    Attributes:
        reach: loss up to which patterns are listed.
        spent, last, before: time spent closing, and the last two times.
    """

    reach: float
    spent: float = 0.0
    last: float = 0.0
    before: float = 0.0

    def is_due(self, since: float, left: float) -> bool:
        """Whether to list again, given the time since the start and the time left."""
        more = min(5.0, max(1.5, self.last / self.before if self.before else 3.0))
        return self.spent <= _CLOSE_SHARE * since and self.last * more < left

    def note(self, seconds: float, *, is_whole: bool) -> None:
        """What the last listing took, and whether it was listed and chosen from to the end."""
        self.spent, self.before, self.last = self.spent + seconds, self.last, seconds
        if is_whole:
            self.reach *= _FURTHER


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
