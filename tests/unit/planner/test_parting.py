"""Equal sticks of a strip set milled as one and parted: where they fit, and only what it saves."""

from __future__ import annotations

from dataclasses import replace
from unittest import mock

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fakes.chosen import chosen_plan
from fakes.drawings import SMALL_BOARDS, chequers
from fakes.plans import plain_shop
from seamwright.bench import Severity, execute, prove
from seamwright.design import Drawing
from seamwright.errors import PlanError
from seamwright.plan import (
    Mill,
    Plan,
    Shop,
    Slice,
    check,
    long_sticks,
    plan_from_json,
    plan_from_text,
    plan_to_json,
    plan_to_text,
    rough_volume_mm3,
    totals,
    work_minutes,
)
from seamwright.planner import bar_pricing


def exact_shop(longest: float) -> Shop:
    shop = plain_shop()
    return replace(
        shop,
        allowances=replace(shop.allowances, edge_mm=0.0),
        limits=replace(shop.limits, stick_length_mm=longest),
    )


def mills(plan: Plan) -> list[Mill]:
    return [step for step in plan.steps if isinstance(step, Mill)]


# six slices of 40 mm with a kerf of 3 mm each; squared end 6 and its kerf, tail 150
BAR_MM = 6 * 43.0 + 6.0 + 3.0 + 150.0


@pytest.mark.parametrize(
    ("longest", "together", "milled"),
    [(3 * BAR_MM + 6.0, 3, 2), (2 * BAR_MM + 3.0, 2, 4), (2 * BAR_MM + 2.9, 1, 6)],
)
def test_as_many_in_one_as_the_longest_stick_holds(longest, together, milled) -> None:
    board = chequers(6, 6)
    chosen, plan = chosen_plan(board, exact_shop(longest))
    assert [s.length_mm for s in mills(plan)] == pytest.approx([BAR_MM] * 2)
    assert [(s.count, s.together) for s in mills(plan)] == [(3, together)] * 2
    assert totals(plan).sticks == milled
    assert totals(plan).minutes == pytest.approx(chosen.choice.minutes, abs=1e-6)
    assert chosen.stopped == "proven"
    assert prove(plan, board).holds
    assert plan_from_json(plan_to_json(plan)) == plan
    assert plan_from_text(plan_to_text(plan)) == plan


def test_minutes_and_wood_added_up_by_hand() -> None:
    shop = exact_shop(1200.0)
    step = Mill(
        makes="S1", count=5, wood="A", length_mm=400.0, width_mm=40.0, depth_mm=20.0, together=2
    )
    assert step.long_sticks == ((2, 2), (1, 1))
    assert work_minutes(step, shop) == pytest.approx(
        3 * shop.minutes.stick + 2 * shop.minutes.slice
    )
    long = 5 * 400.0 + 2 * 3.0 + 3 * shop.allowances.rough_length_mm
    rough = 2.0 * shop.allowances.rough_face_mm
    assert rough_volume_mm3(step, shop) == pytest.approx(long * (40.0 + rough) * (20.0 + rough))


def test_a_plan_without_it_reads_as_before() -> None:
    _, plan = chosen_plan(chequers(6, 6), exact_shop(2 * BAR_MM))
    assert "together" not in plan_to_text(plan)
    told = plan_to_json(plan)
    for step in told["steps"]:
        step.pop("together", None)
    assert plan_from_json(told) == plan


@pytest.mark.parametrize(
    ("change", "code"),
    [({"together": 4}, "B143"), ({"length_mm": 700.0}, "B334"), ({"depth_mm": 90.0}, "B336")],
)
def test_the_bench_tells_what_cannot_be_parted(change: dict[str, float], code: str) -> None:
    _, plan = chosen_plan(chequers(6, 6), exact_shop(2 * BAR_MM + 3.0))
    first = replace(mills(plan)[0], **change)  # type: ignore[arg-type]
    wrong = replace(plan, steps=(first, *plan.steps[1:]))
    assert code in {finding.code for finding in execute(wrong).findings}
    assert not [f for f in execute(plan).findings if f.severity is not Severity.WARNING]
    if code == "B143":
        with pytest.raises(PlanError, match="together"):
            check(wrong)


@given(
    st.one_of(SMALL_BOARDS, st.integers(3, 7).map(lambda n: chequers(n, n))),
    st.sampled_from([700.0, 1200.0, 2400.0]),
)
@settings(deadline=None, max_examples=25)
def test_no_board_becomes_dearer_by_it(board: Drawing, longest: float) -> None:
    shop = exact_shop(longest)
    try:
        chosen, plan = chosen_plan(board, shop)
    except (AssertionError, PlanError):
        return
    with mock.patch.object(bar_pricing, "parting", return_value=()):
        without, plainly = chosen_plan(board, shop)
    assert chosen.choice.minutes <= without.choice.minutes + 1e-6
    assert all(step.together == 1 for step in mills(plainly))
    for step in mills(plan):
        assert all(long.length_mm <= longest + 1e-6 for long in long_sticks(step, plan))
    parted = {s.makes for s in mills(plan) if s.together > 1}
    sliced = {s.takes for s in plan.steps if isinstance(s, Slice)}
    assert not parted & sliced, "only sticks that are glued up are parted"
    assert prove(plan, board).holds
