"""Some boards of a plan given up, and the best choice for them among what was listed, exactly.

No new patterns are looked for: that makes it a matter of milliseconds for ten boards at once. Where
that leads no further a board is forbidden for once, and the plan that comes of it is improved in
turn (iterated local search: Lourenço, Martin and Stützle 2003, from memory).
"""

from __future__ import annotations

import random
from dataclasses import replace

from seamwright.rack.beam import cut_back
from seamwright.rack.improve import drawn, losses_of
from seamwright.rack.listing import Part
from seamwright.rack.pricer import Prices
from seamwright.rack.problem import Best, Choice, Pool, Problem
from seamwright.rack.settle import settle

_WIDTH, _WORK = 200, 1_000_000
_SIZES, _TRIES, _WORSE = (6, 8, 10), 8, 1.15


class Resettling:
    """A plan that is changed here and there; the best one met is kept in ``best``."""

    def __init__(self, problem: Problem, pool: Pool, best: Best, rng: random.Random) -> None:
        self.problem, self.pool, self.best, self._rng = problem, pool, best, rng
        self._now = Best(choice=best.choice, cost=best.cost)
        self._vain = 0

    def step(self, parts: tuple[Part, ...], prices: Prices) -> None:
        """Choose anew for some boards, among patterns listed at these prices."""
        banned: set[int] = set()
        if self._vain > _TRIES or (self.best.cost < self._now.cost - 1e-9 and not self._vain):
            self._now = Best(choice=self.best.choice, cost=self.best.cost)
        if self._vain > _TRIES and self._now.choice:
            banned = {self._rng.choice(sorted({c.place for c, _ in self._now.choice}))}
            self._vain = 0
        choice = self._changed(parts, prices, banned)
        if choice is None:
            self._vain += 1
            return
        cost = self.problem.cost_of(choice)
        if banned or cost < self._now.cost - 1e-9:
            self._now, self._vain = Best(choice=choice, cost=cost), 0
            self.best.offer(choice, cost)
        else:
            self._vain += 1

    def _changed(self, parts: tuple[Part, ...], prices: Prices, banned: set[int]) -> Choice | None:
        """The best plan that keeps most boards as they are and does without those banned.

        Boards whose pattern loses much, or that are not used though they could gain, are drawn
        more often. Sizes that can be bought are always among them.
        """
        problem, now, size = self.problem, self._now, self._rng.choice(_SIZES)
        used = sorted({c.place for c, _ in now.choice})
        losses = losses_of(problem, now.choice, prices)
        freed = set(drawn(self._rng, used, losses, size)) | banned
        unused = [p for p in range(len(problem.costs)) if p not in used and not problem.bought[p]]
        scope = freed | set(drawn(self._rng, unused, losses, size))
        scope = (scope | {p for p, bought in enumerate(problem.bought) if bought}) - banned
        stay = [(c, t) for c, t in now.choice if c.place not in freed]
        limits = [limit if p in scope else 0 for p, limit in enumerate(problem.limits)]
        for column, times in stay:
            limits[column.place] = max(0, limits[column.place] - times)
        under = now.cost - sum(c.cost * t for c, t in stay)
        found = settle(
            replace(problem, limits=tuple(limits)),
            prices,
            (part for part in parts if part.place in scope),
            (c for c, _ in now.choice if c.place in freed - banned),
            needs=problem.short(problem.needs, stay),
            under=_WORSE * under if banned else under,
            width=_WIDTH,
            work=_WORK,
        )
        if found.choice is None:
            return None
        return cut_back(problem, self.pool, (c for c, t in stay + found.choice for _ in range(t)))
