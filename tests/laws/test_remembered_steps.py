"""A plan carried out with what was carried out before gives what it gives on an empty bench."""

from __future__ import annotations

from dataclasses import fields, replace
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fakes import plans
from fakes.drawings import EIGHTHS, SQUARE_ANGLES, random_split
from fakes.edits import edited, open_shop
from fakes.spoiling import spoilt_plans
from seamwright.bench import Workbook, execute, prove, prove_shelf
from seamwright.design import Drawing
from seamwright.errors import PlanError
from seamwright.plan import Laminate, Mill, Placed, Plan, Slice, Step
from seamwright.planner import Memory, make_plan


def renamed(plan: Plan, chance: Random) -> Plan:
    """The same plan with other names for all its kinds."""
    kinds = [kind for step in plan.steps for kind in (step.makes, getattr(step, "rest", ""))]
    new = [f"K{i}" for i in range(len(set(kinds)))]
    chance.shuffle(new)
    names = dict(zip(sorted(set(kinds)), new, strict=True)) | {"": ""}

    def step_renamed(step: Step) -> Step:
        changed: dict[str, object] = {"makes": names[step.makes]}
        if isinstance(step, Laminate):
            changed["parts"] = tuple(replace(p, part=names.get(p.part, p.part)) for p in step.parts)
        elif not isinstance(step, Mill):
            changed["takes"] = names.get(step.takes, step.takes)
        if isinstance(step, Slice):
            changed["rest"] = names[step.rest]
        return replace(step, **changed)

    return replace(
        plan,
        steps=tuple(step_renamed(step) for step in plan.steps),
        board=names.get(plan.board, plan.board),
    )


def assert_the_same(plan: Plan, drawing: Drawing, workbook: Workbook) -> None:
    """Whatever comes out, comes out of an empty bench too (as text: not a number is not itself)."""
    with_it, without = execute(plan, workbook=workbook), execute(plan)
    assert repr(with_it) == repr(without)
    assert repr(prove_shelf(with_it, plan, drawing)) == repr(prove(plan, drawing))


@pytest.mark.parametrize("name", plans.ALL)
def test_spoilt_plans_are_not_taken_for_the_sound_one(name: str) -> None:
    plan, drawing = plans.ALL[name]()
    workbook, chance = Workbook(), Random(1)
    assert_the_same(plan, drawing, workbook)
    for _, bad in spoilt_plans(plan):
        assert_the_same(bad, drawing, workbook)
        assert_the_same(renamed(bad, chance), drawing, workbook)
    assert_the_same(plan, drawing, workbook)


@settings(max_examples=15, deadline=None)
@given(
    seed=st.integers(0, 10_000),
    count=st.integers(2, 25),
    angles=st.sampled_from([SQUARE_ANGLES, EIGHTHS]),
    edits=st.lists(st.tuples(st.integers(0, 24), st.integers(0, 4)), min_size=1, max_size=5),
)
def test_edit_after_edit_is_proven_as_on_an_empty_bench(
    seed: int, count: int, angles: tuple[float, ...], edits: list[tuple[int, int]]
) -> None:
    shop, memory, workbook, chance = open_shop(), Memory(), Workbook(), Random(seed)
    drawing = random_split(seed, count, woods=2, angles=angles, step_mm=25.0)
    for number, what in edits:
        drawing = edited(drawing, number, what)
        try:
            plan = make_plan(drawing, shop, seconds=5, memory=memory).plan
        except PlanError:
            continue
        assert_the_same(plan, drawing, workbook)
        spoilt = list(spoilt_plans(plan))
        for _, bad in chance.sample(spoilt, min(5, len(spoilt))):
            assert_the_same(bad, drawing, workbook)
        assert_the_same(renamed(plan, chance), drawing, workbook)


def test_nothing_is_carried_out_twice(monkeypatch: pytest.MonkeyPatch) -> None:
    plan, _ = plans.ALL["nine patch"]()
    workbook = Workbook()
    shelf = execute(plan, workbook=workbook)

    def again(*_: object) -> None:
        raise AssertionError("glued again")

    monkeypatch.setattr("seamwright.bench.running.glue", again)
    assert execute(plan, workbook=workbook) == shelf


def test_a_step_is_known_by_all_that_is_set_of_its_parts() -> None:
    """Parts are told apart by what they are and where they lie: there is nothing else to them."""
    assert [field.name for field in fields(Placed)] == ["part", "at"]
