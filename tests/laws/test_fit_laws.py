"""Real parts: nothing measured changes nothing; what can be mended proves on the virtual bench."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fakes.boards import CHECKS, CORNERS, drawing, planned, studied
from fakes.drawings import EIGHTHS, SQUARE_ANGLES, random_split
from fakes.plans import roomy_shop
from seamwright.bench import Severity, prove
from seamwright.design import Drawing
from seamwright.errors import FitError, PlanError
from seamwright.fit import Measured, Size, Study, levers, resolve, rewrite, study
from seamwright.fit.remaking import needed_for
from seamwright.plan import Mill, Shop, Slice, check
from seamwright.planner import make_plan

SLANTED = """
title = "Slanted"
unit = "in"
thickness = "3/4"
woods = {{ A = "sugar maple", B = "black walnut", C = "black cherry" }}
[block.one]
from = "{block}"
size = "6"
[board]
set = "one one"
borders = [{{ wood = "B", width = "1" }}]
"""

boards = st.builds(
    random_split,
    st.integers(0, 10**6),
    st.integers(2, 14),
    woods=st.integers(1, 3),
    grains=st.sampled_from([(90.0,), (0.0,), (0.0, 90.0), None]),
    thickness=st.just(19.0),
    angles=st.sampled_from([SQUARE_ANGLES, EIGHTHS, None]),
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
        late = choose.choice(looked.relations.sizes)
        as_measured(looked, board, one_off(looked, late, choose.uniform(-0.4, 0.4)))


def one_off(looked: Study, size: Size, off_mm: float) -> dict[Size, float]:
    """One size is off, and all it was made from is made as drawn."""
    parts = needed_for(looked.plan, [size.part])
    drawn = {known: 0.0 for known in looked.relations.sizes if known.part in parts}
    return {**drawn, size: off_mm}


@pytest.mark.parametrize(
    "block", ["bow tie", "pinwheel", "flying geese unit", "economy", "hourglass"]
)
def test_slanted_cuts_through_corners_still_prove(block: str) -> None:
    """Points of triangles a hair short or long, corners that a cut leaves blunt, proud fillers."""
    text = SLANTED.format(block=block)
    looked, board = studied(text), drawing(text)
    choose = random.Random(5)
    mended = 0
    for _ in range(12):
        size = choose.choice(looked.relations.sizes)
        mended += as_measured(looked, board, one_off(looked, size, choose.uniform(-0.4, 0.4)))
    # what is no exact mending has faces that cannot close: it is told as nearly, not proven
    assert mended >= 6


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


@pytest.mark.parametrize("block", ["jacobs ladder", "bears paw"])
def test_a_bar_too_short_for_all_its_slices_gives_fewer_and_a_new_one_the_rest(block: str) -> None:
    text = SLANTED.format(block=block)
    looked, board = studied(text), drawing(text)
    known = levers(looked)
    widths = [size for size in looked.relations.sizes if size.what == "width"]
    short = 0
    for size in widths:
        made = {size: 0.45}
        parts = frozenset({size.part})
        found = resolve(looked, Measured(made=made, heights={}, parts=parts), known)
        if found is None or not (found.mends() and found.closes):
            continue
        new = rewrite(looked, board, found, made=parts)
        assert len(new.own_steps()) == len(looked.plan.steps)
        check(new.plan)
        assert prove(new.plan, new.drawing).holds
        for bar in new.bars:
            short += 1
            step = looked.plan.steps[bar.step - 1]
            assert isinstance(step, Slice)
            assert bar.each * bar.bars + bar.missing == step.count
            kinds = {new.plan.maker(kind).verb for kind in bar.copies}
            assert "mill" in kinds
            # the sticks that are made stay as long as they are
            for mill in looked.plan.steps:
                if isinstance(mill, Mill) and mill.makes in parts:
                    assert new.plan.maker(mill.makes).length_mm == mill.length_mm
    assert short
