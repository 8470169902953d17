"""Choosing among columns that lose little: as good as trying all, and no bound above the best."""

from __future__ import annotations

import itertools
import random
from time import monotonic

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checkers.seeded_rack import SHOP, seeded_demand, seeded_rack
from seamwright.rack import cut_plan, cutting
from seamwright.rack.close import close
from seamwright.rack.improve import greedy
from seamwright.rack.listing import least_of
from seamwright.rack.master import chosen
from seamwright.rack.pattern import Pattern
from seamwright.rack.pricer import Pricer, Prices
from seamwright.rack.problem import Best, Column, Node, Pool, Problem
from seamwright.rack.relax import Relaxed, relax
from seamwright.rack.resettle import Resettling
from seamwright.rack.search import Found, Hunt
from seamwright.rack.settle import settle

_BARE = Pattern(sections=(), head=None, rest=None, credit=0.0, counts=())
_WIDE, _MUCH = 10_000, 10**9


@st.composite
def cases(draw: st.DrawFn) -> tuple[Problem, Prices, list[Column]]:
    """A few boards with a few columns each, prices, and what each board gains at most at them."""
    rows = draw(st.integers(1, 4))
    needs = draw(st.tuples(*[st.integers(0, 4) for _ in range(rows)]))
    places = draw(st.integers(1, 4))
    limits = draw(st.tuples(*[st.integers(1, 2) for _ in range(places)]))
    gives = st.tuples(*[st.integers(0, 3) for _ in range(rows)])
    columns = [
        Column(place, counts, float(cost), _BARE)
        for place in range(places)
        for cost, counts in draw(st.lists(st.tuples(st.integers(1, 40), gives), max_size=3))
    ]
    missing = draw(st.tuples(*[st.integers(20, 60).map(float) for _ in range(rows)]))
    prices = np.array([draw(st.floats(0.0, m)) for m in missing])
    costs = draw(st.tuples(*[st.integers(1, 40).map(float) for _ in range(places)]))
    best = np.zeros(places)
    for place, cost in enumerate(costs):
        worth = [cost - c.cost + prices @ c.gives for c in columns if c.place == place]
        best[place] = max(worth, default=0.0) + draw(st.sampled_from((0.0, 0.0, 3.0)))
    problem = Problem(
        kinds=(),
        needs=needs,
        missing=missing,
        costs=costs,
        limits=limits,
        bought=(False,) * places,
    )
    return problem, Prices(rows=prices, share=0.0, best=best), columns


def _nothing(problem: Problem) -> float:
    """More than it costs to cut nothing."""
    return problem.cost_of([]) + 1.0


def _cheapest(problem: Problem, columns: list[Column]) -> float:
    """The cheapest choice, by trying all."""
    by_place: list[list[tuple[Column, ...]]] = []
    for place, limit in enumerate(problem.limits):
        mine = [c for c in columns if c.place == place]
        by_place.append(
            [
                some
                for times in range(limit + 1)
                for some in itertools.combinations_with_replacement(mine, times)
            ]
        )
    return min(
        problem.cost_of([(c, 1) for some in ways for c in some])
        for ways in itertools.product(*by_place)
    )


@given(cases(), st.floats(0.5, 1.5))
@settings(deadline=None)
def test_it_is_as_good_as_trying_all(case, share) -> None:
    problem, prices, columns = case
    least = _cheapest(problem, columns)
    under = share * least + 1.0
    found = settle(
        problem, prices, (), columns, needs=problem.needs, under=under, width=_WIDE, work=_MUCH
    )
    if least < under - 1e-3:
        assert found.choice is not None
        assert problem.cost_of(found.choice) == pytest.approx(least)
        assert found.bound == pytest.approx(least)
    else:
        assert found.choice is None or problem.cost_of(found.choice) >= least - 1e-6
        assert found.bound == pytest.approx(min(under, least), rel=1e-5)


@given(cases(), st.integers(1, 3), st.integers(0, 40))
@settings(deadline=None)
def test_what_is_dropped_is_told_in_the_bound(case, width, work) -> None:
    problem, prices, columns = case
    least = _cheapest(problem, columns)
    found = settle(
        problem,
        prices,
        (),
        columns,
        needs=problem.needs,
        under=_nothing(problem),
        width=width,
        work=work,
    )
    assert found.bound <= least + 1e-6
    if found.choice is not None:
        assert least - 1e-6 <= problem.cost_of(found.choice)
        used = [column.place for column, _ in found.choice]
        assert all(used.count(p) <= limit for p, limit in enumerate(problem.limits))


@pytest.mark.parametrize("seed", [0, 1, 2, 3, 4, 5])
def test_the_general_solver_chooses_no_better(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    (problem,) = _problems(seed, monkeypatch)
    pool = Pool()
    root = _root(problem, pool)
    hunt = _solved(problem)
    assert hunt.bound == pytest.approx(hunt.cost, rel=1e-4)
    reach = 1.01 * (hunt.cost - root.bound) + 1e-3
    pricer = Pricer(problem, pool, problem.needs, Node())
    parts = list(pricer.within(root.prices, reach, most=10**8, check=lambda: False))
    assert not pricer.missed
    columns = [part.column(problem, n) for part in parts for n in range(len(part.loss))]
    choice, bound = chosen(problem, columns, needs=problem.needs, seconds=60)
    assert choice is not None
    # leftovers that only appear when sections are pushed together are not in the bound
    assert problem.cost_of(choice) == pytest.approx(hunt.cost, rel=3e-4)
    assert bound == pytest.approx(hunt.cost, rel=3e-4)


@pytest.mark.parametrize("seed", [0, 1, 2])
def test_a_short_reach_never_lifts_the_bound_above_the_best(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    (problem,) = _problems(seed, monkeypatch)
    pool = Pool()
    root = _root(problem, pool)
    cost = _solved(problem).cost
    before = root.bound
    for share in (0.1, 0.5, 0.9, 1.2):
        closed = close(
            problem,
            pool,
            root,
            needs=problem.needs,
            reach=share * (cost - root.bound),
            under=_nothing(problem),
            seconds=60,
            check=lambda: None,
            width=_WIDE,
        )
        assert before - 1e-6 <= closed.bound <= cost + 1e-6
        before = closed.bound
    assert before == pytest.approx(cost, rel=3e-4)


@pytest.mark.parametrize("seed", [0, 1, 2, 3])
def test_changing_a_plan_here_and_there_finds_the_best_of_a_small_rack(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    (problem,) = _problems(seed, monkeypatch)
    pool, rng = Pool(), random.Random(seed)
    root = _root(problem, pool)
    least = _solved(problem).cost
    pricer = Pricer(problem, pool, problem.needs, Node())
    reach = 1.01 * (least - root.bound) + 1e-3
    parts = tuple(pricer.within(root.prices, reach, most=10**8, check=lambda: False))
    rows = root.prices.rows
    first = greedy(problem, pool, problem.needs, list(problem.limits), rows)
    best = Best(choice=first, cost=problem.cost_of(first))
    changing = Resettling(problem, pool, best, rng)
    for _ in range(60):
        before = best.cost
        changing.step(parts, root.prices)
        assert best.cost <= before
        assert best.cost == pytest.approx(problem.cost_of(best.choice))
        used = [column.place for column, times in best.choice for _ in range(times)]
        assert all(used.count(p) <= limit for p, limit in enumerate(problem.limits))
    assert best.cost == pytest.approx(least, rel=3e-4)


def test_the_patterns_that_lose_least_are_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    (problem,) = _problems(2, monkeypatch)
    pool = Pool()
    root = _root(problem, pool)
    pricer = Pricer(problem, pool, problem.needs, Node())
    reach = 0.02 * root.bound
    parts = tuple(pricer.within(root.prices, reach, most=10**8, check=lambda: False))
    losses = sorted(float(loss) for part in parts for loss in part.loss)
    assert len(losses) > 20
    few = least_of(parts, 20)
    kept = sorted(float(loss) for part in few for loss in part.loss)
    assert kept == losses[: len(kept)]
    assert len(kept) <= 20
    for part in few:
        for n, (loss, gives) in enumerate(zip(part.loss, part.gives, strict=True)):
            column = part.column(problem, n)
            assert column.gives == tuple(gives)
            assert column.cost <= part.cost[n] + 1e-9
            assert loss <= reach + 1e-6


def _root(problem: Problem, pool: Pool) -> Relaxed:
    return relax(problem, pool, until=monotonic() + 60, check=lambda: None)


def _solved(problem: Problem) -> Found:
    until = monotonic() + 120
    hunt = Hunt(problem, seed=1, until=until, check=lambda: None)
    while not hunt.is_done and monotonic() < until:
        hunt.work(until)
    return hunt.found()


def _problems(seed: int, monkeypatch: pytest.MonkeyPatch) -> tuple[Problem, ...]:
    """What a seeded rack asks the search to solve."""
    met: list[Problem] = []

    class EnoughError(Exception):
        pass

    def watched(problems: tuple[Problem, ...], **_: object) -> object:
        met.extend(problems)
        raise EnoughError

    monkeypatch.setattr(cutting, "search", watched)
    rack, demand = seeded_rack(seed, boards=8, woods=1), seeded_demand(seed, lines=4, woods=1)
    with pytest.raises(EnoughError):
        cut_plan(rack, demand, shop=SHOP, seconds=0.3)
    return tuple(met)
