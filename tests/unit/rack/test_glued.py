"""Sticks glued up from narrower or thinner blanks, weighed against whole ones by cost."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest

from checkers.cut_checker import check
from checkers.seeded_rack import SHOP, seeded_demand, seeded_rack
from seamwright.rack import (
    Board,
    Demand,
    Fate,
    Offer,
    Rack,
    Stick,
    Stock,
    Way,
    cut_plan,
    cut_plan_from_json,
    cut_plan_to_json,
    rules_of,
)

WIDE = Stick(name="S1", wood="ash", count=1, length_mm=400, width_mm=80, depth_mm=20)
NARROW = Board(
    name="N1", wood="ash", thickness_mm=26, width_mm=110, length_mm=460, stock=Stock.OFFCUT
)
OFFER = Offer(name="yard", wood="ash", thickness_mm=26, width_mm=150, length_mm=2400, price=60)
# one half is (80 + 2 · 0.8) / 2 + 2 · 2.4 = 45.6 mm wide: two come from 110 mm between the trims
MINUTES = 15 + 1 + 4
"""One clamping, one line of glue, one more stick milled: SHOP's minutes."""


def _plan(rack, *sticks, hour, seconds=0.3):
    rules, demand = rules_of(SHOP, hour=hour), Demand(sticks=sticks)
    plan = cut_plan(rack, demand, shop=SHOP, seconds=seconds, rules=rules)
    assert check(rack, demand, SHOP, rules, plan) == []
    used = Counter(
        plan.lines[p.stick].variants[p.way].way for cuts in plan.boards for p in cuts.of(Fate.BLANK)
    )
    return plan, used


# two boards side by side: N1 alone gives 80 mm whole as well, so it is made too narrow for that
RACK = Rack(
    boards=(replace(NARROW, width_mm=60), replace(NARROW, name="N2", width_mm=60)), offers=(OFFER,)
)


def test_gluing_is_taken_where_the_work_is_cheaper_than_the_board():
    plan, used = _plan(RACK, WIDE, hour=20.0)
    assert used == {Way.WIDENED: 2}
    assert not plan.purchases()
    boards = sum(c.cost for c in plan.boards)
    assert plan.cost == pytest.approx(boards + MINUTES * 20 / 60)


def test_a_whole_stick_is_taken_where_the_work_is_dearer():
    plan, used = _plan(RACK, WIDE, hour=120.0)
    assert used == {Way.FLAT: 1}
    assert plan.cost < MINUTES * 120 / 60


def test_the_choice_turns_where_the_costs_meet():
    dear, _ = _plan(RACK, WIDE, hour=1000.0)
    cheap, _ = _plan(RACK, WIDE, hour=0.0)
    meet = (dear.cost - cheap.cost) * 60 / MINUTES
    assert _plan(RACK, WIDE, hour=meet * 0.98)[1] == {Way.WIDENED: 2}
    assert _plan(RACK, WIDE, hour=meet * 1.02)[1] == {Way.FLAT: 1}


def test_of_equal_sticks_some_are_whole_and_some_glued():
    whole = Board(name="W", wood="ash", thickness_mm=26, width_mm=100, length_mm=460)
    rack = replace(RACK, boards=(*RACK.boards, whole))
    plan, used = _plan(rack, replace(WIDE, count=2), hour=20.0)
    assert used == {Way.FLAT: 1, Way.WIDENED: 2}
    assert plan.lines[0].missing == 0


def test_without_an_hour_or_a_price_nothing_is_weighed():
    _, used = _plan(RACK, WIDE, hour=None)
    assert used == {Way.FLAT: 1}
    big = Board(name="W", wood="ash", thickness_mm=26, width_mm=150, length_mm=900)
    plan, used = _plan(replace(RACK, boards=(*RACK.boards, big), offers=()), WIDE, hour=1.0)
    assert used == {Way.FLAT: 1}
    assert all(not v.glue for v in plan.lines[0].variants)


def test_an_odd_half_is_never_cut():
    one = replace(RACK, boards=RACK.boards[:1])
    plan, used = _plan(one, WIDE, hour=1.0)
    assert used in ({Way.FLAT: 1}, {Way.WIDENED: 2})
    assert used[Way.WIDENED] % 2 == 0
    assert plan.lines[0].made == 1


@pytest.mark.parametrize("seed", range(4))
def test_seeded_racks_pass_the_checker_when_gluing_is_weighed(seed):
    rack, demand = seeded_rack(seed, boards=8, woods=1), seeded_demand(seed, lines=4, woods=1)
    plan, _ = _plan(rack, *demand.sticks, hour=6.0, seconds=0.6)
    plain = cut_plan(rack, demand, shop=SHOP, seconds=0.6)
    assert plan.bound <= plain.cost + 1e-6


def test_a_plan_kept_before_gluing_was_weighed_is_read():
    plan, _ = _plan(RACK, WIDE, hour=None)
    written = cut_plan_to_json(plan)
    for line in written["lines"]:
        for variant in line["variants"]:
            del variant["glue"]
    assert cut_plan_from_json(written) == plan
