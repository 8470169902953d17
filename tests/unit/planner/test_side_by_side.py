"""Several bars of one profile in one clamping, side by side: what fits, and only what it saves."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fakes.chosen import chosen_plan
from fakes.drawings import drawing, with_joints
from fakes.plans import plain_shop
from seamwright.bench import execute, prove
from seamwright.design import Drawing
from seamwright.plan import Laminate, Mill, Plan, Shop, Slice, check, totals
from seamwright.planner.packing import sizes_of
from seamwright.planner.problem import Pool, laid_out, shares


def ladder(rungs: int, *, copies: int = 1) -> Drawing:
    """Rows of three patches, two bars of other wood between neighbours that lie off the seams."""
    boxes: list[tuple[float, float, float, float, str]] = []
    for row in range(rungs):
        y = 60.0 * row
        boxes += [(40.0 * i, y, 40.0 * i + 40.0, y + 40.0, wood) for i, wood in enumerate("ABA")]
        boxes += [(0.0, y + 40.0, 60.0, y + 60.0, "C"), (60.0, y + 40.0, 120.0, y + 60.0, "D")]
    rings = [((a, b), (c, b), (c, d), (a, d)) for a, b, c, d, _ in boxes]
    woods = [wood for *_, wood in boxes]
    # too thick for two leaves under the saw
    return drawing(with_joints(rings), woods, [90.0] * len(rings), copies=copies, thickness=38.0)


def exact_shop(**limits: float) -> Shop:
    shop = plain_shop()
    return replace(
        shop,
        allowances=replace(shop.allowances, edge_mm=0.0),
        limits=replace(shop.limits, **limits),  # type: ignore[arg-type]
    )


def strip_sets(plan: Plan) -> list[Laminate]:
    sticks = {step.makes for step in plan.steps if isinstance(step, Mill)}
    return [
        step
        for step in plan.steps
        if isinstance(step, Laminate) and {placed.part for placed in step.parts} <= sticks
        if len(step.parts) == 3
    ]


@pytest.mark.parametrize(
    ("limits", "clampings"),
    [
        ({}, 1),
        ({"seams_per_glue_up": 5}, 1),
        # three patches of 40 mm: two strip sets are 240 mm across
        ({"clamp_reach_mm": 660.0, "seams_per_glue_up": 3}, 2),
    ],
)
def test_as_many_as_clamps_and_glue_allow(limits: dict[str, float], clampings: int) -> None:
    board = ladder(10, copies=4)
    chosen, plan = chosen_plan(board, exact_shop(**limits))
    (glued,) = strip_sets(plan)
    assert glued.count == 2
    assert glued.clampings == clampings
    assert totals(plan).minutes <= chosen.choice.minutes + 1e-6
    assert chosen.stopped == "proven"
    assert prove(plan, board).holds
    assert check(plan) is None


def test_bars_made_alike_where_slices_do_not_divide() -> None:
    board = ladder(9, copies=3)
    chosen, plan = chosen_plan(board, exact_shop())
    (glued,) = strip_sets(plan)
    assert (glued.count, glued.clampings) == (2, 1)
    (planed,) = plan.users(glued.makes)
    sliced = [s for s in plan.users(planed.makes) if isinstance(s, Slice)]
    assert sorted(s.per_bar for s in sliced) == [13, 14]
    assert chosen.stopped == "proven"
    assert prove(plan, board).holds


def test_the_bench_measures_them_together() -> None:
    _, plan = chosen_plan(ladder(10, copies=4), exact_shop())
    narrow = replace(plan, shop=exact_shop(clamp_reach_mm=230.0))
    found = [f for f in execute(narrow).findings if f.code == "B321"]
    assert any("2 side by side, 240 mm across" in finding.message for finding in found)


@given(
    st.integers(1, 60),
    st.integers(10, 40),
    st.integers(1, 5),
    st.integers(0, 20),
    st.integers(0, 8),
)
@settings(deadline=None, max_examples=200)
def test_shared_only_where_it_saves(count: int, pitch: int, batch: int, minutes: int, wood) -> None:
    pool = Pool(
        bar=0, deep=False, room_mm=100.0, full_mm=100.0, overhead_mm=20.0, least_mm=40.0,
        per_bar=5.0, per_mm=wood / 8.0, settings=(), most=99, clamping=float(minutes), batch=batch,
    )  # fmt: skip
    sizes = sizes_of({float(pitch): count})
    laid = laid_out(pool, sizes)
    each = 100 // pitch
    bars = -(-count // each)
    assert laid.bars == bars
    # by hand: all alike, as long as the fullest, or each as long as it must be
    fullest = -(-count // bars)
    alike = pool.per_mm * bars * max(40.0, 20.0 + fullest * pitch) + minutes * -(-bars // batch)
    alone = minutes * bars + pool.per_mm * sum(
        n * max(40.0, 20.0 + share[0] * pitch) for share, n in shares(pool, sizes)
    )
    assert laid.minutes(pool) == pytest.approx(5.0 * bars + min(alike, alone), abs=1e-6)
