"""Whatever a plan says, the bench answers with a proof, never with a traceback."""

from __future__ import annotations

import json
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from fakes import plans
from seamwright.bench import prove
from seamwright.geometry import Motion
from seamwright.plan import (
    EdgeCut,
    Laminate,
    Machine,
    Mill,
    Placed,
    Plan,
    Resaw,
    SawCut,
    SetUp,
    Slice,
    Step,
    Surface,
    Trim,
    default_shop,
)

sizes = st.sampled_from([0.0, 1.0, 20.0, 40.0, 100.0, 300.0, -5.0, 1e-12, 1e12, 1e200]) | st.floats(
    -500.0, 500.0
)
angles = st.sampled_from([0.0, 45.0, 60.0, 90.0, 135.0, 180.0, 1e-9]) | st.floats(-400.0, 400.0)
counts = st.integers(-1, 3)
kinds = st.sampled_from(["K1", "K2", "K3", "K4", "K5"])
set_ups = st.builds(SetUp, machine=st.sampled_from(Machine), size_mm=sizes, angle_deg=angles)
motions = st.builds(Motion, turn_deg=angles, over=st.booleans(), x_mm=sizes, y_mm=sizes)
saw_cuts = st.lists(st.builds(SawCut, at_mm=sizes, angle_deg=angles), max_size=4).map(tuple)
edge_cuts = st.lists(st.builds(EdgeCut, x_mm=sizes, y_mm=sizes, angle_deg=angles), max_size=3)
parts = st.lists(st.builds(Placed, part=kinds, at=motions | st.just(Motion())), max_size=4)
mills = st.builds(
    Mill, makes=kinds, count=st.integers(0, 9), wood=st.sampled_from("AB"),
    length_mm=sizes, width_mm=sizes, depth_mm=st.sampled_from([20.0, 21.0]) | sizes,
)  # fmt: skip


def stepped(makes: str) -> st.SearchStrategy[Step]:
    made = {"makes": st.just(makes) | kinds, "count": counts}
    return st.one_of(
        mills,
        st.builds(
            Slice, **made, takes=kinds, bars=counts, per_bar=counts, cuts=saw_cuts,
            head_to_tail=st.booleans(), set_up=set_ups, second_set_up=st.none() | set_ups,
            squared=st.booleans(), rest=st.just("") | kinds,
        ),
        st.builds(
            Trim, **made, takes=kinds, cuts=edge_cuts.map(tuple),
            set_ups=st.lists(set_ups, max_size=2).map(tuple),
        ),
        st.builds(
            Laminate, **made, parts=parts.map(tuple), seams_deg=angles, clampings=counts
        ),
        st.builds(Resaw, **made, takes=kinds, billets=counts, leaves=counts, set_up=set_ups),
        st.builds(Surface, **made, takes=kinds, depth_mm=sizes, set_up=set_ups),
    )  # fmt: skip


wild_plans = st.builds(
    Plan,
    title=st.just(""),
    steps=st.tuples(
        mills.map(lambda step: replace(step, makes="K1", count=9)),
        *(stepped(f"K{i}") for i in range(2, 6)),
    ),
    board=kinds,
    copies=st.integers(-1, 3),
    shop=st.sampled_from([default_shop(), plans.roomy_shop(), plans.roomy_shop(kerf_mm=0.0)]),
)


@given(wild_plans)
@settings(deadline=None, max_examples=300)
def test_any_plan_gets_a_proof(plan: Plan) -> None:
    _, drawing = plans.nine_patch()
    proof = prove(plan, drawing)
    json.dumps(proof.as_dict())
    # no accident makes nine squares of two woods
    assert not proof.holds
    assert proof.findings


@given(st.sampled_from(sorted(plans.ALL)), st.data())
@settings(deadline=None, max_examples=200)
def test_a_sound_plan_with_one_number_changed_gets_a_proof(name: str, data: st.DataObject) -> None:
    plan, drawing = plans.ALL[name]()
    number = data.draw(st.integers(0, len(plan.steps) - 1))
    step = plan.steps[number]
    fields = [f for f in ("length_mm", "width_mm", "depth_mm", "seams_deg") if hasattr(step, f)]
    counted = [f for f in ("count", "per_bar", "leaves", "bars") if hasattr(step, f)]
    field = data.draw(st.sampled_from(fields + counted))
    value = data.draw(counts if field in counted else sizes)
    bad = replace(step, **{field: value})
    proof = prove(
        replace(plan, steps=(*plan.steps[:number], bad, *plan.steps[number + 1 :])), drawing
    )
    assert all(str(finding) for finding in proof.findings)
