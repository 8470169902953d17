"""The page "Will it hold" as a reader gets it."""

from __future__ import annotations

import io

import pdfplumber
import pytest

from fakes import hand_plan
from mechanics_boards import triangle_board
from seamwright.app import Situation, sound
from seamwright.errors import Fault
from seamwright.papers import Page, Part, Sound, will_it_hold, write_set
from seamwright.pictures import looks
from seamwright.strength.safety import BoardUse, plan_cautions

PLAN = hand_plan.plan()
# not the hand plan's own drawing, which leaves gaps that the mechanics refuse
DRAWING = triangle_board(3, 2)


@pytest.fixture(scope="module")
def sheet() -> Sound:
    found = sound(DRAWING, Situation(use=BoardUse.CUTTING, element_mm=12.0))
    assert found.soundness is not None
    return Sound(
        situation=found.situation.words,
        findings=found.findings,
        soundness=found.soundness,
        faults=(),
        cautions=plan_cautions(PLAN),
    )


def read(data: bytes) -> tuple[str, int]:
    with pdfplumber.open(io.BytesIO(data)) as document:
        text = "\n".join(page.extract_text() for page in document.pages)
        return " ".join(text.split()), len(document.pages)


def test_verdicts_pictures_cautions_and_sources_stand_on_it(sheet: Sound) -> None:
    text, pages = read(will_it_hold(DRAWING, sheet, looks=looks(DRAWING.woods), page=Page.LETTER))
    assert pages >= 2
    assert "Will it hold, will it move, is it safe?" in text
    assert "movement drawn" in text
    assert "up to a quarter" in text
    assert "Wood for cutting food" in text
    assert "FDA Food Code 4-101.17" in text
    assert "29 CFR 1910.213" in text
    assert "CP: common practice" in text
    assert "local codes and licensed practice go before anything" in text
    for finding in sheet.findings:
        assert (finding.subject[:1].upper() + finding.subject[1:]) in text
    for finding in sheet.cautions:
        assert f"Step {finding.step}, " in text


def test_it_says_why_where_nothing_could_be_reckoned(sheet: Sound) -> None:
    fault = Fault("W101", 'the wood "grue"', "is not known", "add it to your shop file")
    bare = Sound(
        situation=sheet.situation, findings=(), soundness=None, faults=(fault,), cautions=()
    )
    text, _ = read(will_it_hold(DRAWING, bare, looks=looks(DRAWING.woods), page=Page.A4))
    assert 'the wood "grue" is not known: add it to your shop file' in text
    assert "movement drawn" not in text


def test_it_is_a_part_of_the_set(sheet: Sound) -> None:
    made = write_set(
        PLAN,
        DRAWING,
        shelf=hand_plan.shelf(PLAN),
        parts=frozenset({Part.SOUNDNESS}),
        sound=sheet,
    )
    assert [handout.name for handout in made] == ["will-it-hold-letter.pdf"]
