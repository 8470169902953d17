"""The order of steps that sets machines least, against every order there is."""

from __future__ import annotations

import itertools
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seamwright.plan import (
    EdgeCut,
    Laminate,
    Machine,
    Mill,
    Placed,
    Plan,
    SetUp,
    Step,
    Surface,
    Trim,
    check,
    default_shop,
    inputs,
    outputs,
    totals,
)
from seamwright.planner.ordering import fewest_settings


def random_plan(seed: int, later: int) -> Plan:
    """Sticks, then trims, planing and glue-ups at random: only names and settings matter here."""
    chance = random.Random(seed)
    sticks = [
        Mill(makes=f"S{i}", count=9, wood="A", length_mm=900.0, width_mm=50.0, depth_mm=20.0)
        for i in range(3)
    ]
    steps: list[Step] = []
    for i in range(later):
        # nobody may use one part up for all others: each later kind is used by one step at most
        known = [s.makes for s in sticks] + [
            s.makes for s in steps if not any(s.makes in inputs(t) for t in steps)
        ]
        what = chance.choice(["trim", "trim", "trim", "plane", "plane", "glue"])
        if what == "glue":
            parts = tuple(Placed(part=p) for p in chance.sample(known, min(2, len(known))))
            steps.append(Laminate(makes=f"U{i}", count=1, parts=parts, seams_deg=0.0, clampings=1))
        elif what == "plane":
            up = SetUp(machine=Machine.PLANER, size_mm=chance.choice([18.0, 19.0]))
            steps.append(
                Surface(
                    takes=chance.choice(known), makes=f"U{i}", count=1, depth_mm=up.size_mm,
                    set_up=up,
                )
            )  # fmt: skip
        else:
            sizes = chance.sample([10.0, 20.0, 30.0], chance.choice([1, 1, 2]))
            angle = chance.choice([90.0, 45.0])
            steps.append(
                Trim(
                    takes=chance.choice(known), makes=f"U{i}", count=1,
                    cuts=tuple(EdgeCut(x_mm=x, y_mm=0.0, angle_deg=90.0) for x in sizes),
                    set_ups=tuple(
                        SetUp(machine=Machine.SLED, size_mm=x, angle_deg=angle) for x in sizes
                    ),
                )
            )  # fmt: skip
    return Plan(
        title="", steps=(*sticks, *steps), board=steps[-1].makes, copies=1, shop=default_shop()
    )


def minutes(steps: tuple[Step, ...]) -> float:
    """Minutes of setting, counted apart from the program; trims may turn their settings round."""
    m = default_shop().minutes
    best = {(): 0.0}
    for step in steps:
        ups = (
            list(itertools.permutations(step.set_ups))
            if isinstance(step, Trim)
            else [(step.set_up,)]
            if isinstance(step, Surface)
            else [()]
        )
        after: dict[tuple, float] = {}
        for standing, spent in best.items():
            for order in ups:
                now, cost = dict(standing), spent
                for up in order:
                    if now.get(up.machine) != (up.size_mm, up.angle_deg):
                        cost += m.set_up if up.angle_deg == 90.0 else m.set_up_angle
                        now[up.machine] = (up.size_mm, up.angle_deg)
                key = tuple(sorted(now.items(), key=lambda item: item[0].value))
                after[key] = min(after.get(key, 1e9), cost)
        best = after
    return min(best.values())


def orders(steps: tuple[Step, ...]):
    """Every order in which each step comes after those that make what it takes."""
    made = {kind for step in steps for kind in outputs(step)}
    for order in itertools.permutations(steps):
        ready: set[str] = set()
        for step in order:
            if any(kind in made and kind not in ready for kind in inputs(step)):
                break
            ready |= set(outputs(step))
        else:
            yield order


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 10**6), later=st.integers(1, 6))
def test_no_order_at_all_takes_fewer_minutes_of_setting(seed: int, later: int) -> None:
    plan = random_plan(seed, later)
    found = fewest_settings(plan)
    assert found.proven
    assert sorted(s.makes for s in found.plan.steps) == sorted(s.makes for s in plan.steps)
    ours = tuple(step for step in found.plan.steps if not isinstance(step, Mill))
    theirs = tuple(step for step in plan.steps if not isinstance(step, Mill))
    assert ours in {tuple(o) for o in orders(ours)}
    least = min(minutes(order) for order in orders(theirs))
    assert minutes(ours) == pytest.approx(least)
    sticks_set = totals(plan_of(found.plan, 3)).minutes
    work = totals(found.plan).minutes - sticks_set - work_of(ours)
    assert work == pytest.approx(least)


def plan_of(plan: Plan, count: int) -> Plan:
    """The first steps alone."""
    return Plan(title="", steps=plan.steps[:count], board="S0", copies=1, shop=plan.shop)


def work_of(steps: tuple[Step, ...]) -> float:
    """Minutes of work in some steps, settings aside, by the shop's own table."""
    m = default_shop().minutes
    total = 0.0
    for step in steps:
        if isinstance(step, Trim):
            total += m.trim * len(step.cuts)
        elif isinstance(step, Surface):
            total += m.surface
        elif isinstance(step, Laminate):
            total += m.glue_up + m.glue_line * (len(step.parts) - 1)
    return total


def test_a_setting_used_again_after_another_is_counted_again() -> None:
    def planed(number: int, depth: float) -> Surface:
        up = SetUp(machine=Machine.PLANER, size_mm=depth)
        takes = f"U{number - 1}" if number else "S0"
        return Surface(takes=takes, makes=f"U{number}", count=1, depth_mm=depth, set_up=up)

    stick = Mill(makes="S0", count=1, wood="A", length_mm=900.0, width_mm=50.0, depth_mm=25.0)
    steps = (stick, planed(0, 19.0), planed(1, 18.0), planed(2, 19.0))
    plan = Plan(title="", steps=steps, board="U2", copies=1, shop=default_shop())
    assert check(plan) is None
    # planer and fence for the stick, then three times the planer: the last setting came before
    assert totals(plan).set_ups == 5


def test_a_plan_too_long_to_search_keeps_its_order() -> None:
    plan = random_plan(1, 120)
    found = fewest_settings(plan)
    if not found.proven:
        assert found.plan == plan
