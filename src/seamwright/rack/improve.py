"""From the linear program to a plan: cutting back, and solving neighbourhoods again."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from time import monotonic

import numpy as np

from seamwright.rack.close import close
from seamwright.rack.fit import likely, localised, variants_of
from seamwright.rack.grid import Floats
from seamwright.rack.pricer import Prices
from seamwright.rack.problem import Best, Choice, Column, Pool, Problem
from seamwright.rack.relax import Pricing, relax

_EVEN, _TINY = 0.5, 1e-9
_CHOICE_S, _LOCAL_REACH = 0.3, 0.03
_LOCAL_WIDTH = 2_000


def prefixes(problem: Problem, column: Column) -> list[Column]:
    """The same board cut only part of the way, from either end; the rest is a leftover."""
    sections, found = column.pattern.sections, []
    for n in range(1, len(sections)):
        for part in (sections[:n], sections[n:]):
            short = problem.closed(column.place, part)
            if any(short.gives):
                found.append(short)
    return found


def fill(problem: Problem, pool: Pool, needs: tuple[int, ...], prices: Floats) -> None:
    """Add to a pool its likely columns cut back to the needs, refilled, and their prefixes."""
    for column in likely(pool, prices, most=300 + 10 * len(problem.costs)):
        for whole in variants_of(problem, column, needs):
            pool.add(whole)
            for short in prefixes(problem, whole):
                pool.add(short)


def scatter(
    problem: Problem, pool: Pool, prices: Floats, rng: random.Random, *, times: int
) -> None:
    """Add the patterns that would be best if prices were a little different."""
    for _ in range(times):
        shaken = prices * np.array([rng.uniform(0.5, 1.5) for _ in prices])
        place = 0
        for kind in problem.kinds:
            priced = kind.solve(kind.worth(shaken))
            for b in range(len(kind.boards)):
                if priced.best[b] > 0.5 * problem.costs[place]:
                    column = problem.column(place, priced.pattern(b))
                    favour = tuple(rng.uniform(0.3, 1.0) for _ in prices)
                    for whole in variants_of(problem, column, problem.needs, favour=favour):
                        pool.add(whole)
                        for short in prefixes(problem, whole):
                            pool.add(short)
                place += 1


def greedy(
    problem: Problem, pool: Pool, needs: tuple[int, ...], left: list[int], prices: Floats
) -> Choice:
    """Meet needs at once with the columns there are, cheapest for what they are worth first.

    ``left`` says how often each place may still be used, and is used up.
    """
    columns = list(pool)
    if not columns:
        return []
    gives = np.array([c.gives for c in columns])
    costs = np.array([c.cost for c in columns])
    places = np.array([c.place for c in columns])
    chosen: Choice = []
    while any(needs):
        worth = np.minimum(gives, needs) @ np.maximum(prices, 1e-9)
        free = (np.array(left)[places] > 0) & (worth > 0)
        if not free.any():
            break
        rate = np.where(free, costs / np.maximum(worth, 1e-12), np.inf)
        best = columns[int(rate.argmin())]
        options = variants_of(problem, best, needs)
        whole = min(options, key=lambda c: c.cost / float(np.dot(prices + 1e-9, c.gives)))
        chosen.append((whole, 1))
        left[whole.place] -= 1
        needs = problem.short(needs, [(whole, 1)])
    return chosen


def neighbourhood(
    problem: Problem,
    pool: Pool,
    best: Best,
    rng: random.Random,
    *,
    size: int,
    prices: Prices,
    pricing: Pricing,
    until: float,
    check: Callable[[], None],
) -> bool:
    """Free a few boards of the best choice, add some unused ones, and solve that part again.

    Boards whose pattern loses much at the prices, or that are not used though they could gain, are
    drawn more often: their losses are what the plan costs above the bound.
    """
    used = sorted({c.place for c, _ in best.choice})
    if not used:
        return False
    losses = losses_of(problem, best.choice, prices)
    freed = set(drawn(rng, used, losses, size))
    unused = [p for p in range(len(problem.costs)) if p not in used and not problem.bought[p]]
    extra = set(drawn(rng, unused, losses, size + 1))
    extra |= {p for p, bought in enumerate(problem.bought) if bought}
    stay = [(c, t) for c, t in best.choice if c.place not in freed]
    needs = problem.short(problem.needs, stay)
    if not any(needs):
        return best.offer(stay, problem.cost_of(stay))
    part, kept = problem.part(freed | extra)
    taken = {p: sum(t for c, t in stay if c.place == p) for p in kept}
    part = replace(part, limits=tuple(problem.limits[p] - taken[p] for p in kept))
    now = best.cost - sum(c.cost * t for c, t in stay)
    local = localised(part, pool, kept, needs, prices=prices.rows)
    relaxed = relax(
        part,
        local,
        needs=needs,
        until=until,
        check=check,
        cutoff=now - 1e-6,
        target=1e-3,
        pricing=pricing,
    )
    if relaxed.bound >= now - 1e-6:
        return False
    closed = close(
        part,
        local,
        relaxed,
        needs=needs,
        reach=min(now - relaxed.bound, _LOCAL_REACH * now),
        under=now,
        seconds=min(_CHOICE_S, until - monotonic()),
        check=check,
        width=_LOCAL_WIDTH,
    )
    for column in local:
        pool.add(column._replace(place=kept[column.place]))
    if closed.choice is None:
        return False
    whole = stay + [(c._replace(place=kept[c.place]), t) for c, t in closed.choice]
    return best.offer(whole, problem.cost_of(whole))


def losses_of(problem: Problem, choice: Choice, prices: Prices) -> Floats:
    """What each place loses against the best that could be made of it."""
    costs = np.array(problem.costs)
    best = costs if prices.best is None else prices.best
    losses: Floats = np.maximum(0.0, best - costs)
    for column, _ in choice:
        place = column.place
        worth = costs[place] - column.cost + float(np.dot(prices.rows, column.gives))
        losses[place] = max(0.0, costs[place], float(best[place])) - worth
    return np.maximum(losses, 0.0)


def drawn(rng: random.Random, places: list[int], losses: Floats, number: int) -> list[int]:
    """Some places, each the more likely the more it loses."""
    if len(places) <= number:
        return places
    usual = _EVEN * float(np.mean(losses[places])) + _TINY
    keys = {p: rng.random() ** (1.0 / (usual + float(losses[p]))) for p in places}
    return sorted(places, key=keys.__getitem__)[-number:]
