from __future__ import annotations

from dataclasses import replace

import pytest

from checkers.cut_checker import check
from checkers.seeded_rack import SHOP
from seamwright.rack import Board, Rack, RackError, Stock, rules_of
from seamwright.rack.flexible import (
    Layer,
    StripSet,
    demand_for,
    equal_splits,
    flexible_plan,
    neighbours,
)

SET = StripSet(
    layers=(
        Layer(name="L1", wood="ash", width_mm=30, depth_mm=20),
        Layer(name="L2", wood="cherry", width_mm=20, depth_mm=20, count=2),
    ),
    slices=24,
    slice_mm=25,
    kerf_mm=3.2,
    square_mm=10,
    tail_mm=100,
    glue_up=0.2,
)


def _rack(length: float, count: int) -> Rack:
    return Rack(
        boards=tuple(
            Board(
                name=f"{wood} {n}",
                wood=wood,
                thickness_mm=26,
                width_mm=110,
                length_mm=length,
                stock=Stock.OFFCUT,
            )
            for wood in ("ash", "cherry")
            for n in range(count)
        )
    )


def _assert_sound(rack, plan):
    # recounted here: every lamination has all its layers at one length, and slices suffice
    step = SET.slice_mm + SET.kerf_mm
    slices = [
        int((length - SET.square_mm - SET.tail_mm + 1e-6) // step) for length in plan.lengths_mm
    ]
    assert slices == list(plan.split)
    assert sum(slices) >= SET.slices
    for length in set(plan.lengths_mm):
        times = plan.lengths_mm.count(length)
        made = {
            line.stick.name.split()[0]: line.made - line.missing
            for line in plan.plan.lines
            if line.stick.length_mm == pytest.approx(length)
        }
        assert made == {"L1": times, "L2": 2 * times}
    assert check(rack, demand_for(SET, plan.split), SHOP, rules_of(SHOP), plan.plan) == []


def test_short_offcuts_give_several_laminations():
    rack = _rack(520, 3)
    plan = flexible_plan(rack, SET, shop=SHOP, seconds=3)
    assert len(plan.split) == 2
    _assert_sound(rack, plan)


def test_long_boards_give_one():
    rack = _rack(1200, 2)
    plan = flexible_plan(rack, SET, shop=SHOP, seconds=3)
    assert plan.split == (24,)
    _assert_sound(rack, plan)


def test_a_dear_glue_up_is_avoided():
    rack = _rack(1000, 4)
    cheap = flexible_plan(rack, replace(SET, glue_up=0.0), shop=SHOP, seconds=2)
    dear = flexible_plan(rack, replace(SET, glue_up=100.0), shop=SHOP, seconds=2)
    assert len(dear.split) <= len(cheap.split)
    assert len(dear.split) == 1


def test_equal_splits_cover_the_slices():
    for split in equal_splits(SET, SHOP, _rack(1200, 1)):
        assert sum(split) >= 24
        assert max(split) - min(split) <= 1


def test_neighbours_keep_enough_slices_and_suit_the_shop():
    found = neighbours((12, 12), SET, SHOP, _rack(1200, 1))
    assert (13, 11) in found
    assert (24,) in found
    for split in found:
        assert sum(split) >= 24
        assert all(SET.length_mm(n) >= SHOP.limits.stick_min_length_mm for n in split)


def test_a_senseless_set_is_refused():
    with pytest.raises(RackError) as caught:
        flexible_plan(_rack(900, 1), replace(SET, slices=0, layers=()), shop=SHOP, seconds=1)
    assert len(caught.value.faults) == 2


def test_slices_too_few_for_the_planer_give_some_to_spare():
    plan = flexible_plan(_rack(900, 1), replace(SET, slices=2), shop=SHOP, seconds=1)
    least = SHOP.limits.stick_min_length_mm
    assert plan.lengths_mm[0] >= least > SET.length_mm(2)
    assert sum(plan.split) >= 2


def test_boards_too_short_for_any_lamination_are_refused():
    with pytest.raises(RackError) as caught:
        flexible_plan(_rack(250, 1), SET, shop=SHOP, seconds=1)
    assert caught.value.faults[0].code == "R151"
