"""Spares beforehand, and what to do about parts that were lost."""

from __future__ import annotations

from math import comb

import pytest
from scipy.stats import binom

from fakes.boards import CHECKS, planned
from seamwright.fit import shortage, spares
from seamwright.fit.losses import enough
from seamwright.plan import Losses, Slice, read_losses


@pytest.mark.parametrize(("made", "needed", "rate"), [(12, 12, 0.02), (14, 12, 0.1), (5, 6, 0.2)])
def test_chances_are_those_of_the_binomial(made: int, needed: int, rate: float) -> None:
    assert enough(made, needed, rate) == pytest.approx(binom.sf(needed - 1, made, 1.0 - rate))
    assert comb(12, 1) == 12


def test_spares_bring_the_chance_up_and_a_careful_shop_needs_none() -> None:
    plan = planned(CHECKS)
    for spare in spares(plan, read_losses()):
        rate = {"S": 0.02, "P": 0.02}.get(spare.part[0], 0.02)
        assert enough(spare.made + spare.more, spare.needed, rate) >= 0.95
        if spare.more:
            assert enough(spare.made + spare.more - 1, spare.needed, rate) < 0.95
    none = Losses(stick_pct=0.0, slice_pct=0.0, trim_pct=0.0, glue_up_pct=0.0)
    assert spares(plan, none) == ()


def test_lost_slices_are_made_from_new_sticks_of_the_length_they_need() -> None:
    plan = planned(CHECKS)
    number = next(
        i for i, s in enumerate(plan.steps, 1) if isinstance(s, Slice) and s.makes == "P1"
    )
    step = plan.steps[number - 1]
    found = shortage(plan, number, step.count - 2)
    assert (found.lost, found.short) == (2, 2)
    assert {part for part, _, _ in found.sticks} == {"S1", "S2"}
    for _, count, length in found.sticks:
        assert count == 2  # each strip set has two of either
        assert length >= plan.shop.limits.stick_min_length_mm
    assert found.wood_mm3 > 0.0
    assert shortage(plan, number, step.count).short == 0


def test_the_tail_gives_no_slice_that_would_make_it_unsafe() -> None:
    plan = planned(CHECKS)
    for number, step in enumerate(plan.steps, 1):
        if isinstance(step, Slice) and not step.rest:
            assert shortage(plan, number, 0).from_tail <= step.count
