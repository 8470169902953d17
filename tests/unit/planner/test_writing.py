"""Written plans: names, order, and minutes that are the minutes chosen by."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fakes.chosen import chosen_plan
from fakes.drawings import EIGHTHS, SQUARE_ANGLES, drawing, random_split, with_joints
from fakes.plans import plain_shop
from seamwright.bench import prove
from seamwright.design import Drawing
from seamwright.errors import PlanError
from seamwright.plan import (
    Laminate,
    Mill,
    Plan,
    Resaw,
    Shop,
    Slice,
    Surface,
    Trim,
    check,
    inputs,
    outputs,
    set_ups,
    totals,
)
from seamwright.plan import settings as settings_made
from seamwright.plan.effort import set_up_minutes
from seamwright.planner import Chosen


def exact_shop() -> Shop:
    """No wood left round the outline: all slices are equal."""
    shop = plain_shop()
    return replace(shop, allowances=replace(shop.allowances, edge_mm=0.0))


drawings = st.builds(
    random_split,
    st.integers(0, 10**6),
    st.integers(1, 14),
    woods=st.integers(1, 3),
    grains=st.sampled_from([(90.0,), (0.0, 90.0)]),
    thickness=st.sampled_from([8.0, 12.7, 19.0]),
    angles=st.sampled_from([SQUARE_ANGLES, EIGHTHS]),
    step_mm=st.sampled_from([0.0, 25.0]),
    copies=st.sampled_from([1, 3]),
)


def stripes(count: int, *, width: float = 12.0, length: float = 300.0) -> Drawing:
    rings = [
        ((0.0, i * width), (length, i * width), (length, (i + 1) * width), (0.0, (i + 1) * width))
        for i in range(count)
    ]
    return drawing(rings, ["AB"[i % 2] for i in range(count)], [0.0] * count)


def checkerboard(side: int, *, size: float = 40.0, copies: int = 1) -> Drawing:
    rings = [
        tuple((size * (x + a), size * (y + b)) for a, b in ((0, 0), (1, 0), (1, 1), (0, 1)))
        for y in range(side)
        for x in range(side)
    ]
    woods = ["AB"[(i % side + i // side) % 2] for i in range(side * side)]
    return drawing(with_joints(rings), woods, [90.0] * len(rings), copies=copies)


def assert_workable(plan: Plan) -> None:
    made: list[str] = []
    for step in plan.steps:
        assert set(inputs(step)) <= set(made), "a step uses what is there already"
        made += [name for name in outputs(step) if name not in made]
    makers: dict[str, set[type]] = {}
    for step in plan.steps:
        makers.setdefault(step.makes, set()).add(type(step))
    assert all(len(verbs) == 1 for verbs in makers.values()), "an id means one kind of part"
    once = [s.makes for s in plan.steps if not isinstance(s, Slice)]
    assert len(once) == len(set(once))
    assert made[-1] == plan.board
    assert check(plan) is None


def left_standing(plan: Plan) -> float:
    """Minutes saved by settings that stand from one step after the slicing to the next.

    They were chosen as if every step made its own; only strip sets are planed together.
    """
    saved = 0.0
    sliced = False
    for step, made in zip(plan.steps, settings_made(plan), strict=True):
        sliced = sliced or isinstance(step, Slice)
        if isinstance(step, Surface) and not sliced and plan.users(step.makes)[0].verb == "slice":
            continue
        if not isinstance(step, Mill | Slice) or (isinstance(step, Slice) and step.apart):
            own = {up.key: up for up in set_ups(step)}
            saved += sum(set_up_minutes(up, plan.shop) for up in own.values())
            saved -= sum(set_up_minutes(up, plan.shop) for up in made)
    return saved


def assert_costs_what_it_was_chosen_for(chosen: Chosen, plan: Plan) -> None:
    minutes = totals(plan).minutes + left_standing(plan)
    assert minutes == pytest.approx(chosen.choice.minutes, abs=1e-6)


def answer(board: Drawing, shop: Shop) -> tuple[Chosen, Plan] | None:
    try:
        return chosen_plan(board, shop, seconds=1.0)
    except (AssertionError, PlanError):
        return None


@given(drawings)
@settings(deadline=None, max_examples=20)
def test_the_plan_costs_what_it_was_chosen_for(board: Drawing) -> None:
    found = answer(board, plain_shop())
    if found is None:
        return
    chosen, plan = found
    assert_costs_what_it_was_chosen_for(chosen, plan)
    assert_workable(plan)


def test_sticks_then_strip_sets_then_slices_then_the_rest() -> None:
    board = random_split(5, 12, angles=EIGHTHS, step_mm=25.0)
    _, plan = chosen_plan(board, plain_shop())
    first_glued = next(i for i, s in enumerate(plan.steps) if isinstance(s, Slice))
    last_sliced = max(i for i, s in enumerate(plan.steps) if isinstance(s, Slice))
    for i, step in enumerate(plan.steps):
        if isinstance(step, Mill):
            assert i < first_glued
        elif isinstance(step, Trim | Resaw | Surface):
            assert i > last_sliced
        elif isinstance(step, Laminate):
            assert i < first_glued or i > last_sliced


def test_more_stripes_than_one_glue_up_closes_are_glued_in_stages() -> None:
    board = stripes(31)
    chosen, plan = chosen_plan(board, plain_shop())
    most = plain_shop().limits.seams_per_glue_up + 1
    glued = [step for step in plan.steps if isinstance(step, Laminate)]
    assert len(glued) > 1
    assert all(len(step.parts) <= most for step in glued)
    assert_costs_what_it_was_chosen_for(chosen, plan)
    assert prove(plan, board).holds
    assert_workable(plan)


def test_a_checkerboard_is_one_strip_set_with_every_second_slice_turned() -> None:
    board = checkerboard(8)
    chosen, plan = chosen_plan(board, exact_shop())
    sets = {s.takes for s in plan.steps if isinstance(s, Slice)}
    assert chosen.stopped == "proven"
    assert len(sets) == 1, "a row and its neighbour are one slice, turned"
    assert totals(plan).glue_ups == 2
    assert prove(plan, board).holds


def test_bars_as_long_as_the_stick_allows_and_more_of_them() -> None:
    shop = plain_shop()
    board = checkerboard(8, copies=4)
    short = replace(shop, limits=replace(shop.limits, stick_length_mm=500.0))
    chosen, plan = chosen_plan(board, short)
    assert all(s.length_mm <= 500.0 + 1e-6 for s in plan.steps if isinstance(s, Mill))
    assert_costs_what_it_was_chosen_for(chosen, plan)
    assert prove(plan, board).holds
    assert_workable(plan)


def test_a_stop_as_wide_as_a_stick_is_set_from_the_stick() -> None:
    _, plan = chosen_plan(checkerboard(4), exact_shop())
    (step,) = [s for s in plan.steps if isinstance(s, Slice)]
    sticks = {s.makes for s in plan.steps if isinstance(s, Mill)}
    assert step.set_up.match in sticks


def long_and_short() -> Drawing:
    """Four rows of two pieces, no two of one length: four of wood A, two long and two short."""
    rings, woods = [], []
    for row, split in enumerate((520.0, 530.0, 510.0, 540.0)):
        y = 40.0 * row
        for a, b in ((0.0, split), (split, 850.0)):
            rings.append(((a, y), (b, y), (b, y + 40.0), (a, y + 40.0)))
        woods += ["C", "A"] if row % 2 else ["A", "B"]
    return drawing(with_joints(rings), woods, [0.0] * 8)


def test_long_and_short_pieces_share_sticks_of_the_lengths_they_need() -> None:
    board = long_and_short()
    chosen, plan = chosen_plan(board, exact_shop())
    shop = exact_shop()
    spare = shop.allowances.square_end_mm + shop.allowances.tail_mm + 3 * shop.saws.table_kerf_mm
    sticks = [s for s in plan.steps if isinstance(s, Mill) and s.wood == "A"]
    assert sum(s.count for s in sticks) == 2, "two would do, and no stick for each is paid"
    lengths = sum(s.count * (s.length_mm - spare) for s in sticks)
    assert lengths == pytest.approx(520.0 + 510.0 + 320.0 + 310.0)
    assert_costs_what_it_was_chosen_for(chosen, plan)
    assert chosen.stopped == "proven"
    assert prove(plan, board).holds
    assert_workable(plan)
