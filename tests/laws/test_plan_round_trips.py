"""Any plan, sound or not, comes back equal from both of its written forms."""

from __future__ import annotations

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seamwright.errors import PlanError
from seamwright.geometry import Motion
from seamwright.plan import (
    EdgeCut,
    Held,
    Laminate,
    Lot,
    Machine,
    Mill,
    Placed,
    Plan,
    Resaw,
    SawCut,
    SetUp,
    Slice,
    Surface,
    Trim,
    default_shop,
    plan_from_json,
    plan_from_text,
    plan_to_json,
    plan_to_text,
)

numbers = st.floats(allow_nan=False, allow_infinity=False, min_value=-1e299, max_value=1e299)
counts = st.integers(min_value=-5, max_value=10**6)
# surrogates cannot be written to any file
names = st.sampled_from(["S1", "over", "P.2-b", "", "a b", '"', "@,=#", "é\n\u2028"]) | st.text(
    st.characters(exclude_categories=["Cs"]), max_size=6
)
motions = st.builds(Motion, turn_deg=numbers, over=st.booleans(), x_mm=numbers, y_mm=numbers)
set_ups = st.builds(
    SetUp, machine=st.sampled_from(Machine), size_mm=numbers, angle_deg=numbers, match=names
)
few = {"max_size": 3}
saw_cuts = st.lists(st.builds(SawCut, at_mm=numbers, angle_deg=numbers | st.just(90.0)), **few).map(
    tuple
)
edge_cuts = st.lists(st.builds(EdgeCut, x_mm=numbers, y_mm=numbers, angle_deg=numbers), **few).map(
    tuple
)
parts = st.lists(st.builds(Placed, part=names, at=motions | st.just(Motion())), **few).map(tuple)
made = {"makes": names, "count": counts}
held = st.lists(st.builds(Held, kind=names, count=counts), **few).map(tuple)
lots = st.lists(st.builds(Lot, holds=held, times=counts), **few).map(tuple)
steps = st.one_of(
    st.builds(
        Mill,
        **made,
        wood=names,
        length_mm=numbers,
        width_mm=numbers,
        depth_mm=numbers,
        together=counts,
        long=lots,
        parted=counts,
    ),
    st.builds(
        Slice, **made, takes=names, bars=counts, per_bar=counts, cuts=saw_cuts,
        head_to_tail=st.booleans(), set_up=set_ups, second_set_up=st.none() | set_ups,
        squared=st.booleans(), rest=names, apart=st.booleans(),
    ),
    st.builds(
        Trim, **made, takes=names, cuts=edge_cuts, set_ups=st.lists(set_ups, **few).map(tuple),
        each=counts,
    ),
    st.builds(
        Laminate, **made, parts=parts, seams_deg=numbers, clampings=counts, angled=st.booleans(),
        corner_deg=st.none() | numbers, closes=st.integers(0, 40),
        lots=lots, beside=counts,
    ),
    st.builds(Resaw, **made, takes=names, billets=counts, leaves=counts, set_up=set_ups),
    st.builds(Surface, **made, takes=names, depth_mm=numbers, set_up=set_ups),
)  # fmt: skip
plans = st.builds(
    Plan,
    title=names,
    steps=st.lists(steps, max_size=4).map(tuple),
    board=names,
    copies=counts,
    shop=st.just(default_shop()),
)


@given(plans)
@settings(deadline=None)
def test_json_brings_a_plan_back(plan: Plan) -> None:
    assert plan_from_json(json.loads(json.dumps(plan_to_json(plan)))) == plan


@given(plans)
@settings(deadline=None)
def test_text_brings_a_plan_back_line_for_line(plan: Plan) -> None:
    text = plan_to_text(plan)
    assert plan_from_text(text) == plan
    assert plan_to_text(plan_from_text(text)) == text
    assert len(text.splitlines()) == 11 + len(plan.steps)


json_values = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=4),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(["verb", "steps", "shop", "makes", "count", "x"]), inner, max_size=4
        )
    ),
    max_leaves=12,
)


@given(st.dictionaries(st.sampled_from(["title", "steps", "board", "shop"]), json_values))
@settings(deadline=None)
def test_any_other_document_is_refused_in_words(document: dict[str, object]) -> None:
    with pytest.raises(PlanError) as refused:
        plan_from_json({"schema": 1, **document})
    assert all(str(fault) for fault in refused.value.faults)


@given(plans, st.data())
@settings(deadline=None)
def test_a_text_with_a_letter_changed_is_read_or_refused(plan: Plan, data: st.DataObject) -> None:
    text = plan_to_text(plan)
    place = data.draw(st.integers(0, len(text) - 1))
    letter = data.draw(st.characters(codec="ascii"))
    told: object
    try:
        told = plan_from_text(text[:place] + letter + text[place + 1 :])
    except PlanError as refused:
        told = refused
    assert isinstance(told, Plan | PlanError)
