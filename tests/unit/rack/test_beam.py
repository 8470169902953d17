"""A beam wide enough leaves nothing out; a narrow one still gives plans that can be cut."""

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
from seamwright.rack.beam import beam, cut_back
from seamwright.rack.kernels.stages import cheapest
from seamwright.rack.problem import Pool, Problem
from seamwright.rack.relax import Pricing, relax
from seamwright.rack.search import search


@st.composite
def stages(draw: st.DrawFn) -> tuple[list[list[tuple[float, tuple[int, ...]]]], tuple[int, ...]]:
    rows = draw(st.integers(1, 4))
    column = st.tuples(
        st.integers(1, 40).map(float), st.tuples(*[st.integers(0, 3) for _ in range(rows)])
    )
    offered = draw(st.lists(st.lists(column, min_size=1, max_size=3), min_size=1, max_size=5))
    return offered, draw(st.tuples(*[st.integers(0, 5) for _ in range(rows)]))


@given(stages(), st.randoms(use_true_random=False))
@settings(deadline=None)
def test_a_wide_beam_is_as_good_as_trying_all(given_stages, rnd) -> None:
    offered, needs = given_stages
    missing = np.full(len(needs), 100.0)

    def cost(picked) -> float:
        rest = list(needs)
        for _, gives in picked:
            rest = [max(0, n - g) for n, g in zip(rest, gives, strict=True)]
        return sum(c for c, _ in picked) + float(np.dot(missing, rest))

    flat = [column for stage in offered for column in stage]
    taken = cheapest(
        np.cumsum([0, *map(len, offered)]),
        np.array([c for c, _ in flat]),
        np.array([g for _, g in flat], np.int64).reshape(len(flat), len(needs)),
        np.array(needs, np.int64),
        np.array([rnd.uniform(0.0, 100.0) for _ in needs]),
        missing,
        4**5,
    )
    for stage, which in enumerate(taken):
        first = sum(map(len, offered[:stage]))
        assert which == -1 or first <= which < first + len(offered[stage])
    mine = cost([flat[n] for n in taken if n >= 0])
    ways = itertools.product(*([None, *stage] for stage in offered))
    assert mine == pytest.approx(min(cost([c for c in way if c]) for way in ways))


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_what_a_beam_finds_can_be_cut_and_meets_every_need(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    (problem,) = _problems(seed, monkeypatch)
    pool = Pool()
    until = monotonic() + 60.0
    root = relax(problem, pool, until=until, check=lambda: None, pricing=Pricing.ROUGH)
    choices = [
        cut_back(problem, pool, beam(problem, pool, root, random.Random(n))) for n in range(5)
    ]
    for choice in choices:
        used = [column.place for column, _ in choice]
        assert all(used.count(place) <= problem.limits[place] for place in set(used))
    best = min(choices, key=problem.cost_of)
    assert root.bound <= problem.cost_of(best) + 1e-6
    assert not any(problem.short(problem.needs, best))


def _problems(seed: int, monkeypatch: pytest.MonkeyPatch) -> tuple[Problem, ...]:
    """What a seeded rack asks the search to solve."""
    met: list[Problem] = []

    def watched(problems: tuple[Problem, ...], **how: object) -> object:
        met.extend(problems)
        return search(problems, **how)  # type: ignore[arg-type]

    monkeypatch.setattr(cutting, "search", watched)
    rack, demand = seeded_rack(seed, boards=14, woods=1), seeded_demand(seed, lines=6, woods=1)
    cut_plan(rack, demand, shop=SHOP, seconds=0.3)
    return tuple(met)
