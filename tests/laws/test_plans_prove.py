"""Random drawings that split always plan, and every plan proves on the virtual bench."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fakes.drawings import (
    EIGHTHS,
    SQUARE_ANGLES,
    block,
    pinwheel_of_five,
    random_split,
    swirl,
)
from fakes.plans import roomy_shop
from seamwright.bench import Severity, prove
from seamwright.design import Drawing
from seamwright.errors import PlanError
from seamwright.plan import (
    Shop,
    check,
    default_shop,
    plan_from_json,
    plan_from_text,
    plan_to_json,
    plan_to_text,
    totals,
)
from seamwright.planner import Planned, make_plan

drawings = st.builds(
    random_split,
    st.integers(0, 10**6),
    st.integers(1, 24),
    woods=st.integers(1, 3),
    grains=st.sampled_from([(90.0,), (0.0,), (0.0, 90.0), (0.0, 45.0, 90.0, 135.0), None]),
    thickness=st.sampled_from([8.0, 12.7, 19.0, 30.0]),
    angles=st.sampled_from([SQUARE_ANGLES, EIGHTHS, None]),
    step_mm=st.sampled_from([0.0, 10.0, 25.0]),
    copies=st.sampled_from([1, 1, 2, 5]),
)


def open_shop() -> Shop:
    """No limits but the depth of the saw: without it every depth of billet would be tried."""
    shop = roomy_shop()
    return replace(shop, saws=replace(shop.saws, table_depth_mm=100.0))


def assert_is_sound(planned: Planned, drawing: Drawing) -> None:
    plan, best = planned.plan, planned.best
    assert check(plan) is None
    proof = prove(plan, drawing)
    wrong = [str(f) for f in proof.findings if f.severity is not Severity.WARNING]
    assert proof.holds, wrong
    assert best.cost == pytest.approx(totals(plan).minutes, rel=1e-12)
    assert 0.0 < best.bound <= best.cost
    assert best.gap == pytest.approx((best.cost - best.bound) / best.cost)
    assert best.proven == (best.stopped == "proven" and best.gap <= 1e-6)
    assert plan_from_json(json.loads(json.dumps(plan_to_json(plan)))) == plan
    assert plan_from_text(plan_to_text(plan)) == plan


@given(drawings)
@settings(deadline=None, max_examples=25)
def test_a_drawing_that_splits_plans_and_proves(drawing: Drawing) -> None:
    planned = make_plan(drawing, open_shop(), seconds=1.0)
    assert_is_sound(planned, drawing)
    assert not planned.added
    assert planned.fewest


@pytest.mark.parametrize(
    ("seed", "angles", "grains"),
    [
        (1, SQUARE_ANGLES, (90.0,)),
        (2, EIGHTHS, (90.0,)),
        (3, None, (90.0,)),
        (4, EIGHTHS, None),
        (5, None, None),
    ],
)
def test_sixty_patches_plan_and_prove(
    seed: int, angles: tuple[float, ...] | None, grains: tuple[float, ...] | None
) -> None:
    drawing = random_split(seed, 60, angles=angles, grains=grains, woods=3, width=900.0)
    assert len(drawing.patches) == 60
    assert_is_sound(make_plan(drawing, open_shop(), seconds=1.0), drawing)


@given(drawings)
@settings(deadline=None, max_examples=15)
def test_in_a_real_shop_it_plans_and_proves_or_the_piece_is_named(drawing: Drawing) -> None:
    shop = default_shop()
    answer = plan_or_refusal(drawing, shop)
    if isinstance(answer, Planned):
        assert_is_sound(answer, drawing)
    else:
        names = {f"patch {patch.name}" for patch in drawing.patches}
        assert {fault.subject for fault in answer.faults} <= names


def plan_or_refusal(drawing: Drawing, shop: Shop) -> Planned | PlanError:
    try:
        return make_plan(drawing, shop, seconds=1.0)
    except PlanError as refused:
        return refused


LOCKING = {
    "swirl": (swirl, 1),
    "pinwheel of five": (pinwheel_of_five, 1),
    "bow tie": (lambda: block("bow tie"), None),
    "eight-pointed star": (lambda: block("lemoyne star"), None),
}


@pytest.mark.parametrize("name", LOCKING)
def test_a_drawing_that_locks_plans_with_added_seams(name: str) -> None:
    make, seams = LOCKING[name]
    drawing = make()
    planned = make_plan(drawing, open_shop(), seconds=2.0)
    assert_is_sound(planned, drawing)
    assert len(planned.added) == seams if seams else planned.added
    cut = {drawing.patches[seam.cell].name for seam in planned.added}
    parts = dict(prove(planned.plan, drawing).split_patches)
    assert cut <= set(parts)
