"""Real parts: nothing measured changes nothing; what can be mended proves on the virtual bench."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fakes.boards import CHECKS, CORNERS, drawing, planned, studied
from fakes.drawings import SQUARE_ANGLES, random_split
from fakes.plans import roomy_shop
from seamwright.bench import Severity, prove
from seamwright.design import Drawing
from seamwright.errors import FitError, PlanError
from seamwright.fit import Measured, Size, Study, levers, resolve, rewrite, study
from seamwright.plan import Shop, check
from seamwright.planner import make_plan

boards = st.builds(
    random_split,
    st.integers(0, 10**6),
    st.integers(2, 14),
    woods=st.integers(1, 3),
    grains=st.sampled_from([(90.0,), (0.0,), (0.0, 90.0), None]),
    thickness=st.just(19.0),
    # where a cut runs exactly through a corner of another piece the choice may give a plan that
    # does not hold; it is then refused, not shown: see decision 0080
    angles=st.sampled_from([SQUARE_ANGLES, None]),
    step_mm=st.sampled_from([0.0, 10.0, 25.0]),
)


def shop() -> Shop:
    """Without limits, but with wood to square the ends of bars."""
    roomy = roomy_shop()
    return replace(
        roomy,
        saws=replace(roomy.saws, table_depth_mm=100.0),
        allowances=replace(roomy.allowances, square_end_mm=12.0),
    )


def as_measured(looked: Study, board: Drawing, made: dict[Size, float]) -> bool:
    """Choose the rest again, write the plan, prove it; whether it could be mended exactly."""
    parts = frozenset(size.part for size in made)
    found = resolve(looked, Measured(made=made, heights={}, parts=parts), levers(looked))
    if found is None or not (found.mends() and found.closes):
        return False
    for size, mm in made.items():
        assert found.sizes[size] == pytest.approx(mm, abs=1e-6)
    try:
        new = rewrite(looked, board, found, made=parts)
    except FitError:
        return False
    check(new.plan)
    proof = prove(new.plan, new.drawing)
    assert proof.holds, [str(f) for f in proof.findings if f.severity is not Severity.WARNING]
    shown = prove(new.plan, board)
    assert (shown.missing, shown.doubled, shown.wood_errors, shown.grain_errors) == ((), (), 0, 0)
    return True


@settings(max_examples=12, deadline=None)
@given(boards, st.integers(0, 10**6))
def test_random_plans_prove_with_what_was_measured(board: Drawing, seed: int) -> None:
    try:
        plan = make_plan(board, shop(), seconds=3.0).plan
    except PlanError:
        return
    looked = study(plan)
    nothing = resolve(looked, Measured(made={}, heights={}, parts=frozenset()))
    assert nothing is not None
    assert not any(nothing.sizes.values())
    assert rewrite(looked, board, nothing).plan is plan
    choose = random.Random(seed)
    widths = [size for size in looked.relations.sizes if size.what == "width"]
    if widths:
        picked = choose.sample(widths, min(len(widths), choose.choice([1, 1, 2])))
        as_measured(looked, board, {size: choose.uniform(-0.5, 0.5) for size in picked})


@pytest.mark.parametrize("text", [CHECKS, CORNERS])
@pytest.mark.parametrize("off_mm", [-0.6, 0.35])
def test_any_one_kind_of_stick_can_be_off_and_the_board_is_still_made(
    text: str, off_mm: float
) -> None:
    looked, board = studied(text), drawing(text)
    widths = [size for size in looked.relations.sizes if size.what == "width"]
    mended = [as_measured(looked, board, {size: off_mm}) for size in widths]
    assert sum(mended) >= len(mended) - 1


@pytest.mark.parametrize("text", [CHECKS, CORNERS])
def test_nothing_measured_gives_the_very_same_plan(text: str) -> None:
    looked = studied(text)
    everything = dict.fromkeys(looked.relations.sizes, 0.0)
    found = resolve(
        looked, Measured(made=everything, heights={}, parts=frozenset(s.part for s in everything))
    )
    assert found is not None
    assert rewrite(looked, drawing(text), found).plan is planned(text)


def test_the_border_takes_up_the_difference_on_both_sides_alike() -> None:
    looked, board = studied(CHECKS), drawing(CHECKS)
    made = {Size("S1", "width"): -0.6, Size("S2", "width"): -0.6}
    found = resolve(looked, Measured(made=made, heights={}, parts=frozenset({"S1", "S2"})))
    assert found is not None
    new = rewrite(looked, board, found)
    patches = {patch.name: patch.points for patch in new.drawing.patches}
    left = max(x for x, _ in patches["left 1"]) - min(x for x, _ in patches["left 1"])
    right = max(x for x, _ in patches["right 1"]) - min(x for x, _ in patches["right 1"])
    assert left == pytest.approx(right, abs=1e-3)
    assert left > 50.8 + 0.3
    assert max(x for x, _ in new.drawing.outline) == pytest.approx(304.8, abs=1e-3)
