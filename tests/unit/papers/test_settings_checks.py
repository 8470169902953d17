"""The sheet "Checks of your settings" as a reader gets it."""

from __future__ import annotations

import io

import pdfplumber
import pytest

from fakes import hand_plan
from mechanics_boards import triangle_board
from seamwright.app import FOR_THE_BENCH
from seamwright.fit import checks
from seamwright.papers import Page, Part, settings_checks, write_set


@pytest.mark.parametrize("page", list(Page))
def test_every_check_stands_on_its_two_pages(page: Page) -> None:
    with pdfplumber.open(io.BytesIO(settings_checks(page=page))) as document:
        texts = [sheet.extract_text() for sheet in document.pages]
        # lines to write on: one for every reading and result, twice, and one for the shop file
        rules = sum(
            1
            for sheet in document.pages
            for line in (*sheet.lines, *sheet.rects, *sheet.curves)
            if abs(line["bottom"] - line["top"]) < 1.0 and 55.0 < line["width"] < 80.0
        )
    text = " ".join("\n".join(texts).split())
    assert len(texts) == 2
    assert "page 2 of 2" in texts[1]
    assert "The machine's manual goes before anything written here" in text
    assert "?" not in text
    asked = 0
    for check in checks():
        assert check.name in text
        assert f"{check.key} =" in text
        for result in check.results:
            assert result.formula in text
        for told in (check.example, check.source, check.write):
            assert told.split()[0] in text
        asked += 2 * (sum(r.count for r in check.readings) + len(check.results)) + 1
    assert rules == asked


def test_the_words_of_every_check_stand_there_whole() -> None:
    """Columns stand side by side: each is read alone."""
    with pdfplumber.open(io.BytesIO(settings_checks(page=Page.A4))) as document:
        halves = []
        for sheet in document.pages:
            middle = 78.0 / 25.4 * 72.0
            halves.append(sheet.crop((0, 0, middle, sheet.height)).extract_text())
            halves.append(sheet.crop((middle, 0, sheet.width, sheet.height)).extract_text())
    text = " ".join("\n".join(halves).split())
    for check in checks():
        for told in (check.doing, check.example, check.source, check.write):
            assert told in text


def test_it_is_a_part_of_the_set_but_not_of_what_the_bench_needs() -> None:
    plan = hand_plan.plan()
    made = list(
        write_set(
            plan,
            triangle_board(3, 2),
            shelf=hand_plan.shelf(plan),
            page=Page.A4,
            parts=frozenset({Part.CHECKS}),
        )
    )
    assert [handout.name for handout in made] == ["settings-checks-a4.pdf"]
    assert made[0].data == settings_checks(page=Page.A4)
    assert Part.CHECKS not in FOR_THE_BENCH
