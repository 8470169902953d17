"""What the graph of a plan alone can know."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fakes import plans
from seamwright.errors import PlanError
from seamwright.plan import Machine, Plan, SetUp, Slice, Step, check, numbered_faults, numbers


def codes(plan: Plan) -> set[tuple[int, str]]:
    return {(number, fault.code) for number, fault in numbered_faults(plan)}


def with_step(plan: Plan, number: int, **changes: object) -> Plan:
    step: Step = replace(plan.steps[number - 1], **changes)  # type: ignore[arg-type]
    return replace(plan, steps=(*plan.steps[: number - 1], step, *plan.steps[number:]))


@pytest.mark.parametrize("name", plans.ALL)
def test_sound_plans_pass(name: str) -> None:
    plan, _ = plans.ALL[name]()
    check(plan)
    assert numbered_faults(plan) == ()


def test_all_faults_are_told_at_once() -> None:
    plan, _ = plans.nine_patch()
    bad = with_step(with_step(plan, 1, width_mm=-1.0), 5, count=1)
    with pytest.raises(PlanError) as refused:
        check(bad)
    told = [str(fault) for fault in refused.value.faults]
    assert any("step 1 (mill SA) has a width of -1 mm" in line for line in told)
    assert any("step 5 (slice P1) makes 1 of 1 bars × 2 pieces" in line for line in told)
    assert any("step 7 (laminate U1) needs 2 of P1; 1 are left" in line for line in told)


NINE = {
    "no name": (2, {"makes": " "}, "P101"),
    "made twice": (2, {"makes": "SA"}, "P102"),
    "not a number": (1, {"length_mm": float("inf")}, "P103"),
    "none made": (1, {"count": 0}, "P104"),
    "flat stick": (1, {"depth_mm": 0.0}, "P105"),
    "per bar": (5, {"per_bar": 0, "count": 0, "cuts": ()}, "P104"),
    "cuts": (5, {"cuts": ()}, "P107"),
    "along the bar": (
        5,
        {"cuts": tuple(plans.SawCut(at_mm=50.0 * i, angle_deg=180.0) for i in range(3))},
        "P108",
    ),
    "out of order": (5, {"cuts": tuple(plans.SawCut(at_mm=-50.0 * i) for i in range(3))}, "P109"),
    "one part": (3, {"parts": (plans.put("SA"),)}, "P110"),
    "clampings": (3, {"clampings": 2}, "P111"),
    "seams": (3, {"seams_deg": 180.0}, "P112"),
    "machine": (5, {"set_up": SetUp(machine=Machine.RIP_FENCE, size_mm=40.0)}, "P120"),
    "setting": (5, {"set_up": SetUp(machine=Machine.SLED, size_mm=-40.0)}, "P121"),
    "match": (5, {"set_up": SetUp(machine=Machine.SLED, size_mm=40.0, match="P9")}, "P122"),
    "planer": (8, {"set_up": plans.planer(18.0)}, "P124"),
    "sled angle": (5, {"set_up": plans.sled(40.0, 80.0)}, "P125"),
    "stop": (5, {"set_up": plans.sled(41.0)}, "P126"),
    "too early": (3, {"parts": (plans.put("SA"), plans.put("U1"))}, "P130"),
    "too many": (3, {"parts": (plans.put("SB"),) * 4}, "P132"),
}


@pytest.mark.parametrize("what", NINE)
def test_one_fault_is_told_by_code_and_step(what: str) -> None:
    number, changes, code = NINE[what]
    plan, _ = plans.nine_patch()
    assert (number, code) in codes(with_step(plan, number, **changes))


def test_counts_of_bars_and_billets() -> None:
    plan, _ = plans.quarter_turns()
    assert (2, "P131") in codes(with_step(plan, 2, bars=0))
    plan, _ = plans.resawn()
    assert (4, "P106") in codes(with_step(plan, 4, leaves=3))
    assert (4, "P106") in codes(with_step(plan, 4, leaves=1, count=1))


def test_a_trim_needs_its_set_ups() -> None:
    plan, _ = plans.cut_corners()
    assert (5, "P123") in codes(with_step(plan, 5, set_ups=()))
    assert (5, "P123") in codes(with_step(plan, 5, set_ups=(plans.sled(30.0, 45.0),) * 5))


def test_the_rest_of_a_bar_is_a_kind_like_any_other() -> None:
    plan, _ = plans.quarter_turns()
    assert (2, "P102") in codes(with_step(plan, 2, rest="P1"))
    assert (3, "P130") in codes(with_step(plan, 2, rest=""))
    dropped = replace(plan, steps=(*plan.steps[:2], *plan.steps[3:]))
    assert (2, "P143") in codes(dropped)
    short = plan.steps[2]
    assert isinstance(short, Slice)
    assert (3, "P107") in codes(with_step(plan, 3, squared=False))
    assert (3, "P126") in codes(with_step(plan, 3, set_up=plans.sled(33.0)))


def test_slices_between_slanted_cuts_may_be_measured_along_or_across() -> None:
    plan, _ = plans.leaning()
    assert not codes(with_step(plan, 4, set_up=plans.sled(50.0, 60.0)))
    assert not codes(with_step(plan, 4, set_up=plans.sled(50.0 * 0.75**0.5, 120.0)))
    assert (4, "P126") in codes(with_step(plan, 4, set_up=plans.sled(49.0, 60.0)))


def test_the_board_itself() -> None:
    plan, _ = plans.nine_patch()
    assert (0, "P140") in codes(replace(plan, copies=0))
    assert (0, "P141") in codes(replace(plan, board="F9"))
    assert (0, "P142") in codes(replace(plan, copies=2))
    assert (9, "P143") in codes(replace(plan, steps=(*plan.steps, plans.stick("S9", "A", 9, 9, 9))))


@pytest.mark.parametrize("kerf", [-1.0, float("nan"), float("inf")])
def test_a_shop_that_cannot_be(kerf: float) -> None:
    plan, _ = plans.nine_patch()
    shop = replace(plan.shop, saws=replace(plan.shop.saws, table_kerf_mm=kerf))
    assert (0, "P144") in codes(replace(plan, shop=shop))


@pytest.mark.parametrize("name", plans.ALL)
def test_every_number_of_every_step_is_looked_at(name: str) -> None:
    plan, _ = plans.ALL[name]()
    for step in plan.steps:
        written = numbers(step)
        for field in ("length_mm", "depth_mm", "per_bar", "leaves", "seams_deg", "clampings"):
            if hasattr(step, field):
                assert getattr(step, field) in written
        for cut in getattr(step, "cuts", ()):
            assert cut.angle_deg in written
        for placed in getattr(step, "parts", ()):
            assert {placed.at.x_mm, placed.at.y_mm, placed.at.turn_deg} <= set(written)
