"""Levels of faces against closed forms; thicknesses chosen again."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import norm

from fakes import plans
from fakes.boards import CHECKS, CORNERS, planned
from fakes.plans import glued, plain_shop, plan, planed, put, stick
from seamwright.bench import execute
from seamwright.fit import (
    deepen,
    fewer_leaves,
    planned_mm,
    thicker,
    thickness,
    with_depths,
)
from seamwright.fit.compiling import program
from seamwright.fit.levels import depths_of
from seamwright.plan import Accuracy, Plan, read_accuracy

TRUE = Accuracy(**dict.fromkeys(Accuracy.__dataclass_fields__, 0.0))
TRIALS = 20_000


def two_sticks(*, left_mm: float = 20.0, depth_mm: float = 19.0, over: bool = False) -> Plan:
    """Two sticks glued edge to edge and planed; the second may lie upside down."""
    steps = [
        stick("S1", "A", 400.0, 40.0, 20.0),
        stick("S2", "B", 400.0, 40.0, left_mm),
        glued("L1", [put("S1"), put("S2", y=80.0 if over else 40.0, over=over)], 0.0),
        planed("F1", "L1", depth_mm),
    ]
    return plan(steps, "F1", plain_shop())


def looked(of: Plan, **spreads: float):
    return thickness(of, program(of), replace(TRUE, **spreads), trials=TRIALS)


def test_a_true_shop_leaves_what_was_planned() -> None:
    found = looked(two_sticks())
    (planing,) = found.flattenings
    assert planing.planned_mm == pytest.approx(1.0)
    assert planing.uneven_mm == pytest.approx((0.0, 0.0), abs=1e-5)
    assert planing.least_mm == pytest.approx((0.0, 0.0), abs=1e-5)
    assert (found.chance, found.causes, found.more_mm) == (1.0, (), 0.0)


def test_one_setting_moves_both_sticks_and_two_settings_make_a_step() -> None:
    same = looked(two_sticks(), thickness_mm=0.1)
    assert same.flattenings[0].uneven_mm[1] == pytest.approx(0.0, abs=1e-5)
    # planed at another depth they have errors of their own: their difference has σ√2
    other = looked(two_sticks(left_mm=20.001), thickness_mm=0.1)
    step = norm.ppf(0.975) * 0.1 * 2.0**0.5
    assert other.flattenings[0].uneven_mm[1] == pytest.approx(step, rel=0.04)


def test_scatter_leaves_the_thinner_of_two() -> None:
    found = looked(two_sticks(), planed_mm=0.1)
    # least of two normal values: both are above it with a chance of one half
    assert found.flattenings[0].least_mm[0] == pytest.approx(
        -norm.ppf(1 - 0.5**0.5) * 0.1, rel=0.05
    )


def test_parts_off_the_bed_cost_twice_once_at_each_face() -> None:
    found = looked(two_sticks(), flush_mm=0.1)
    # the slab between two parts of equal thickness loses the difference of their lifts
    rng = np.random.default_rng(3)
    lifts = np.abs(rng.standard_normal((2, 200_000))) * 0.1
    apart = np.abs(lifts[0] - lifts[1])
    assert found.flattenings[0].least_mm[1] == pytest.approx(np.quantile(apart, 0.95), rel=0.05)


@pytest.mark.parametrize("left_mm", [0.05, 0.15])
def test_the_chance_of_clean_faces_is_that_of_the_closed_form(left_mm: float) -> None:
    """Sticks and board have one planer error each: what is left must outdo their difference."""
    found = looked(two_sticks(depth_mm=20.0 - left_mm), thickness_mm=0.1)
    assert found.chance == pytest.approx(norm.cdf(left_mm / (0.1 * 2.0**0.5)), abs=0.01)
    assert {cause.setting is None for cause in found.causes} == {False}
    more = norm.ppf(0.95) * 0.1 * 2.0**0.5 - left_mm
    assert found.more_mm == pytest.approx(more, abs=0.01)


def test_the_last_leaf_of_a_billet_takes_the_error_of_the_fence_the_other_way() -> None:
    """Two leaves: one is off by the fence's error, the other by as much the other way."""
    found = looked(plans.resawn()[0], resaw_mm=0.1)
    # the thinner of the two always lacks the size of the error
    assert found.flattenings[0].least_mm[0] == pytest.approx(0.1 * norm.ppf(0.75), rel=0.05)
    assert found.flattenings[0].least_mm[1] == pytest.approx(0.1 * norm.ppf(0.975), rel=0.05)


@pytest.mark.parametrize("text", [CHECKS, CORNERS])
def test_settings_and_pieces_are_found_in_planned_boards(text: str) -> None:
    made = planned(text)
    whole = program(made)
    depths = depths_of(made, whole)
    kept = [len(k) for at in depths.kept for k in at]
    assert min(kept) >= 1
    served = sorted(number for setting in depths.settings for number in setting.steps)
    assert served == [n for n, at in enumerate(depths.setting_of, 1) if at >= 0]
    found = thickness(made, whole, read_accuracy(), trials=500)
    assert 0.9 < found.chance <= 1.0


def test_planned_depths_are_those_the_bench_finds() -> None:
    for made in (plans.resawn()[0], plans.cut_corners()[0], planned(CHECKS)):
        solids = dict(execute(made).solids)
        for kind, depth in planned_mm(made).items():
            assert depth == pytest.approx(solids[kind].depth_mm, abs=1e-9)


def chosen(of: Plan, measured: dict[str, float], needs: float = 0.6):
    numbers = {n: needs for n, step in enumerate(of.steps, 1) if step.verb == "surface"}
    board = planned_mm(of)[of.board]
    return deepen(of, measured, frozenset(measured), needs=numbers, drawn_mm=board), numbers, board


def test_nothing_measured_leaves_the_plan_alone() -> None:
    made, _ = plans.resawn()
    deep, _, board = chosen(made, {})
    assert deep is not None
    assert deep.board_mm == board
    assert with_depths(made, deep.depths) is made


def test_what_is_not_milled_yet_follows_a_thin_stick_and_the_board_stays() -> None:
    made = two_sticks()
    deep, _, _ = chosen(made, {"S1": 19.7})
    assert deep is not None
    assert deep.depths["S2"] == pytest.approx(19.7)
    assert deep.board_mm == pytest.approx(19.0)
    new = with_depths(made, deep.depths)
    assert all(f.severity.value == "warning" for f in execute(new).findings)


def test_a_stick_too_thin_costs_the_board_what_planing_needs() -> None:
    made = two_sticks()
    deep, needs, board = chosen(made, {"S1": 19.3})
    assert deep is not None
    assert deep.board_mm == pytest.approx(19.3 - 0.6)
    again = thicker(made, {"S1": 19.3}, frozenset({"S1"}), needs=needs, drawn_mm=board)
    assert again is not None
    assert again.steps == (1,)
    # two that are too thin have both to be made again
    both = {"S1": 19.3, "S2": 19.4}
    again = thicker(made, both, frozenset(both), needs=needs, drawn_mm=board)
    assert again is not None
    assert again.steps == (1, 2)


def test_a_thick_stick_stands_proud_and_nothing_follows_it() -> None:
    deep, _, board = chosen(two_sticks(), {"S1": 20.4})
    assert deep is not None
    assert deep.depths["S2"] == pytest.approx(20.0)
    assert deep.proud == (("S1", pytest.approx(0.4)),)
    assert deep.board_mm == board


def test_a_shallow_billet_gives_thinner_leaves_or_fewer() -> None:
    made, _ = plans.resawn()
    step = next(s for s in made.steps if s.verb == "resaw")
    mill = next(s for s in made.steps if s.verb == "mill")
    kerf = made.shop.saws.resaw_kerf_mm
    deep, needs, board = chosen(made, {mill.makes: mill.depth_mm - 0.6})
    assert deep is not None
    leaf = (deep.depths[step.takes] - (step.leaves - 1) * kerf) / step.leaves
    assert deep.depths[step.makes] == pytest.approx(leaf)
    assert deep.board_mm == pytest.approx(board)
    assert not fewer_leaves(made, {mill.makes: mill.depth_mm - 0.6}, needs)
    thin = {mill.makes: mill.depth_mm - 6.0}
    deep, _, _ = chosen(made, thin)
    assert deep is not None
    assert deep.board_mm < board - 0.5
    (short,) = fewer_leaves(made, thin, needs)
    assert short.leaves == step.leaves - 1
    assert short.missing == step.billets
    assert short.deep_mm <= mill.depth_mm + 1e-6


def test_what_was_made_of_thin_wood_is_thin_measured_or_not() -> None:
    made = plans.resawn()[0]
    mill = next(s for s in made.steps if s.verb == "mill")
    step = next(s for s in made.steps if s.verb == "resaw")
    thin = {mill.makes: mill.depth_mm - 6.0}
    done = frozenset({"SA", "SB", "L1", "R1", "R2"})
    numbers = {n: 0.6 for n, s in enumerate(made.steps, 1) if s.verb == "surface"}
    deep = deepen(made, thin, done, needs=numbers, drawn_mm=planned_mm(made)[made.board])
    assert deep is not None
    leaf = (mill.depth_mm - 6.0 - made.shop.saws.resaw_kerf_mm) / step.leaves
    assert deep.depths["R2"] == pytest.approx(leaf)
    assert deep.board_mm == pytest.approx(leaf - 0.6)
    # what is used up already does not stand proud of anything any more
    assert deep.proud == ()
