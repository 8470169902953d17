"""What the sheets and the screen say after the face of an overlay is made."""

from __future__ import annotations

import io

import pdfplumber
import pytest

from seamwright.app import plan as planned
from seamwright.app import told_steps
from seamwright.app.plan_words import board_words, look_first
from seamwright.app.planning import PlanReport
from seamwright.app.sound_words import hand_words
from seamwright.app.step_pictures import step_svg
from seamwright.design import read
from seamwright.lengths import Unit
from seamwright.papers import backing_steps, bench_sheets
from seamwright.pictures import Ruler
from seamwright.plan import read_gluing


@pytest.fixture(scope="module")
def report() -> PlanReport:
    drawing = read(
        """
        unit = "mm"
        kind = "overlay"
        thickness = 3
        woods = { A = "pear", B = "bog oak" }
        [backing]
        panel = "birch plywood"
        thickness = 12
        [block.one]
        from = "pinwheel"
        size = 150
        """,
        name="face",
    )
    return planned(drawing, seconds=5.0)


def test_four_steps_follow_those_of_the_face(report: PlanReport) -> None:
    told = told_steps(report)
    assert [words.number for words in told] == list(range(1, len(told) + 1))
    assert len(told) == len(report.plan.steps) + 4
    titles = [words.title for words in told[-4:]]
    assert titles[0].startswith("Cut the backing, birch plywood")
    assert titles[1] == "Press face and balancing veneer to the backing"
    assert "flush" in titles[2]
    assert titles[3].startswith("Sand face to its thickness, 3.0 mm")


def test_a_face_is_told_as_a_face_and_the_cover_gives_the_whole_thickness(
    report: PlanReport,
) -> None:
    words = board_words(report.drawing)
    assert "150.0 × 150.0 mm" in words
    assert "a face 3.0 mm (1/8″) thick on its backing" in words
    pages = bench_sheets(report.plan, report.drawing, shelf=report.shelf)
    with pdfplumber.open(io.BytesIO(pages)) as sheets:
        cover = sheets.pages[0].extract_text()
    # 12 mm between two veneers of 3 mm
    assert "× 18.0 mm" in cover


def test_the_press_names_cauls_clamps_and_glue(report: PlanReport) -> None:
    (_, press, _, _) = backing_steps(report.plan, Ruler(unit=Unit.MM), read_gluing())
    words = " ".join(press.lines)
    assert press.cauls == 1
    assert "2 clamps, one at either end" in words
    assert "g of glue" in words


def test_every_step_has_its_cautions_and_its_picture(report: PlanReport) -> None:
    last = len(report.plan.steps)
    for number in range(last + 1, last + 5):
        assert hand_words(report, number)
        assert step_svg(report, number, unit=Unit.MM).startswith("<svg")
    assert "cauls" in step_svg(report, last + 2, unit=Unit.MM)
    assert "cauls" not in step_svg(report, last + 1, unit=Unit.MM)


def test_what_is_not_planned_is_said(report: PlanReport) -> None:
    assert any("To be bought as a sheet: the panel" in line for line in look_first(report))


def test_the_sheets_are_set(report: PlanReport) -> None:
    pages = bench_sheets(report.plan, report.drawing, shelf=report.shelf)
    assert pages.startswith(b"%PDF")
