"""Sheets, templates, labels and files of every small plan the bench is tested with."""

from __future__ import annotations

import re

import pytest

from fakes import plans
from fakes.reading import page_texts, squeezed
from seamwright.bench import execute
from seamwright.papers import Part, bench_sheets, write_set
from seamwright.pictures import Ruler
from seamwright.plan import Slice, Trim, set_ups

MAKERS = {
    "nine patch": plans.nine_patch,
    "half square": plans.half_square,
    "cut corners": plans.cut_corners,
    "resawn": plans.resawn,
    "leaning": plans.leaning,
    "quarter turns": plans.quarter_turns,
    "halves": lambda: plans.random_halves(9, seed=4),
}


@pytest.fixture(scope="module", params=MAKERS, ids=str)
def made(request: pytest.FixtureRequest):
    plan, drawing = MAKERS[request.param]()
    shelf = execute(plan)
    return plan, drawing, shelf, bench_sheets(plan, drawing, shelf=shelf)


def test_steps_are_whole_and_in_order(made) -> None:
    plan, _, _, data = made
    pages = page_texts(data)
    order = [int(n) for text in pages for n in re.findall(r"^Step (\d+) · ", text, re.M)]
    assert order == list(range(1, len(plan.steps) + 1))
    for text in pages:
        assert len(re.findall(r"^Step \d+ · ", text, re.M)) == text.count("Becomes")


def test_settings_and_cut_numbers_are_read_back(made) -> None:
    plan, drawing, _, data = made
    ruler = Ruler(unit=drawing.unit)
    pages = page_texts(data)
    for number, step in enumerate(plan.steps, start=1):
        (page,) = [p for p in pages if re.search(rf"^Step {number} · ", p, re.M)]
        text = squeezed(page)
        for setting in set_ups(step):
            assert squeezed(ruler.first(setting.size_mm)) in text
            assert squeezed(ruler.inch(setting.size_mm)) in text
        if isinstance(step, Trim) and len(set_ups(step)) > 1:
            for cut in range(1, len(step.cuts) + 1):
                assert re.search(rf"cuts?(\d+and)*{cut}\D", text)
        if isinstance(step, Slice) and step.second_set_up:
            assert "oddcuts" in text
            assert "evencuts" in text


def test_every_other_file_is_made(made) -> None:
    plan, drawing, shelf, _ = made
    rest = frozenset(Part) - {Part.SHEETS, Part.WOOD}
    names = [h.name for h in write_set(plan, drawing, shelf=shelf, parts=rest)]
    assert {"sticks.csv", "cuts.csv", "drawing-mm.dxf"} <= set(names)
