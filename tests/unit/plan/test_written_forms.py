"""Plans as JSON and as text: samples kept for ever, and refusals in words."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from fakes import plans
from seamwright.errors import PlanError
from seamwright.plan import (
    NO_JIGS,
    Hold,
    Machine,
    Trim,
    default_shop,
    plan_from_json,
    plan_from_text,
    plan_to_json,
    plan_to_text,
)

GOLDEN = Path(__file__).parents[2] / "golden" / "plans"


@pytest.mark.parametrize("name", ["quarter turns", "cut corners", "resawn"])
def test_samples_of_schema_1_are_read_and_written_as_ever(name: str) -> None:
    plan, _ = plans.ALL[name]()
    stem = name.replace(" ", "-")
    text = (GOLDEN / f"{stem}.schema-1.txt").read_text(encoding="utf-8")
    document = json.loads((GOLDEN / f"{stem}.schema-1.json").read_text(encoding="utf-8"))
    assert plan_to_text(plan) == text
    assert plan_from_text(text) == plan
    assert contains(plan_to_json(plan), document)
    assert plan_from_json(document) == plan


def contains(now: object, before: object) -> bool:
    """Whether everything that was written before still is, word for word; keys may be added."""
    if isinstance(before, dict):
        return isinstance(now, dict) and all(
            key in now and contains(now[key], value) for key, value in before.items()
        )
    if isinstance(before, list):
        return (
            isinstance(now, list)
            and len(now) == len(before)
            and all(contains(a, b) for a, b in zip(now, before, strict=True))
        )
    return now == before


def test_comments_and_empty_lines_are_passed_over() -> None:
    plan, _ = plans.nine_patch()
    text = plan_to_text(plan).replace("\n", "\n\n# a note\n")
    assert plan_from_text(text) == plan


def told(text: str) -> str:
    with pytest.raises(PlanError) as refused:
        plan_from_text(text)
    return "\n".join(str(fault) for fault in refused.value.faults)


@pytest.mark.parametrize(
    ("old", "new", "wanted"),
    [
        ("seamwright plan 1", "seamwright plan 2", "has schema '2': this version reads 1"),
        ("seamwright plan 1", "hello", "does not begin with: seamwright plan 1"),
        ("board F1", "bord F1", "line 3: bord begins no line of a plan"),
        ("copies 1", "copies one", "line 4: copies cannot be read"),
        ("1 mill SA", "1 mull SA", "line 9: 1 begins no line of a plan"),
        ("1 mill SA", "1 mill S/A", "put it in double quotes"),
        ("wood=A", "wod=A", "line 9: wod does not belong to mill"),
        ("wood=A ", "", "line 9: plan.steps[0].wood is missing"),
        ("length=305.0", "length=long", "line 9: plan.steps[0].length_mm is 'long'"),
        ("length=305.0", "length=nan", "line 9: plan.steps[0].length_mm is 'nan'"),
        ("table_kerf_mm=3.0 ", "", "line 5: plan.shop.saws.table_kerf_mm is missing"),
        ("set=sled", "set=sledge", "machine sledge: use one of planer, rip_fence"),
        ("part=SB@0.0,40.0,0.0", "part=SB@0.0,40.0,0.0,under", "line 11: 3 cannot be read"),
        ("part=SB@0.0,40.0,0.0", 'part="SB', "line 11: 3 cannot be read"),
        ("count=3", "count=3.5", "line 9: plan.steps[0].count is '3.5'"),
    ],
)
def test_a_slip_in_the_text_is_told_with_its_line(old: str, new: str, wanted: str) -> None:
    text = plan_to_text(plans.nine_patch()[0])
    assert old in text
    assert wanted in told(text.replace(old, new, 1))


def test_a_text_that_is_no_plan() -> None:
    assert "does not begin" in told("")
    assert "does not begin" in told("\n\n")


def refused(document: object) -> str:
    with pytest.raises(PlanError) as caught:
        plan_from_json(document)  # type: ignore[arg-type]
    return "\n".join(str(fault) for fault in caught.value.faults)


def test_slips_in_a_document_are_told_together() -> None:
    document = json.loads(json.dumps(plan_to_json(plans.nine_patch()[0])))
    document["copies"] = True
    document["colour"] = "red"
    document["steps"][0]["wood"] = 7
    document["steps"][1]["verb"] = "hammer"
    document["steps"][2]["parts"] = "all"
    document["steps"][3]["parts"][0]["at"]["over"] = 1
    document["steps"][4]["set_up"]["machine"] = "axe"
    document["steps"][5]["set_up"] = []
    document["steps"][6] = 7
    del document["shop"]["saws"]["table_kerf_mm"]
    message = refused(document)
    for wanted in (
        "plan.copies is 'True': write a whole number",
        "plan.colour is not known",
        "plan.steps[0].wood is '7': write text",
        "plan.steps[1] has verb 'hammer': use one of: mill, slice",
        "plan.steps[2].parts is 'all': write a list",
        "plan.steps[3].parts[0].at.over is '1': write true or false",
        "plan.steps[4].set_up.machine is 'axe': use one of: planer",
        "plan.steps[5].set_up is '[]': write an object",
        "plan.steps[6] has verb 'None'",
        "plan.shop.saws.table_kerf_mm is missing",
    ):
        assert wanted in message


def test_a_document_full_of_slips_names_the_first_forty() -> None:
    document = json.loads(json.dumps(plan_to_json(plans.nine_patch()[0])))
    document["steps"] = [{"verb": "hammer"}] * 1000
    assert len(refused(document).splitlines()) == 40
    document["steps"] = [{**plan_to_json(plans.nine_patch()[0])["steps"][0], "length_mm": 1e305}]  # type: ignore[index]
    assert "plan.steps[0].length_mm is 1e+305" in refused(document)


def test_documents_that_are_no_plan() -> None:
    assert "is not a JSON object" in refused([])
    assert "has schema 'None'" in refused({})
    assert "has schema 'True'" in refused({"schema": True})
    deep: list[object] = []
    for _ in range(100_000):
        deep = [deep]
    assert refused({"schema": 1, "title": deep})


def test_a_number_that_json_cannot_hold_is_refused() -> None:
    plan, _ = plans.nine_patch()
    bad = replace(plan, steps=(replace(plan.steps[0], length_mm=float("nan")),))  # type: ignore[call-arg]
    with pytest.raises(PlanError, match=r"plan.steps\[0\].length_mm is nan"):
        plan_to_json(bad)
    with pytest.raises(PlanError, match=r"plan.steps\[0\].length_mm is nan"):
        plan_to_text(bad)


def test_how_a_part_is_held_is_written_and_read_back() -> None:
    plan, _ = plans.cut_corners()
    step = next(s for s in plan.steps if isinstance(s, Trim))
    held = replace(
        step,
        hold=Hold.CARRIER,
        set_ups=tuple(replace(up, machine=Machine.CARRIER) for up in step.set_ups),
    )
    jigs = replace(plan.shop, small_parts=default_shop().small_parts)
    steps = tuple(held if s is step else s for s in plan.steps)
    changed = replace(plan, steps=steps, shop=jigs)
    text = plan_to_text(changed)
    assert "hold=carrier" in text
    assert "shop small_parts carriers=1 " in text
    assert plan_from_text(text) == changed == plan_from_json(plan_to_json(changed))
    assert "use one of sled, long_end" in told(text.replace("hold=carrier", "hold=teeth"))


def test_a_plan_from_before_there_were_jigs_is_of_a_shop_without_any() -> None:
    plan, _ = plans.nine_patch()
    assert plan_from_text(plan_to_text(plan)).shop.small_parts == NO_JIGS
