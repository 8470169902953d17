"""The verb "papers": what is written is what was asked for, or nothing."""

import csv
import io

import pypdfium2
import pytest

from seamwright.app import (
    OnHand,
    boards_in_papers,
    papers,
    plan,
    read_design,
)
from seamwright.errors import Cancelled
from seamwright.papers import Page, Part
from seamwright.plan import Mill
from seamwright.rack import Fate, Rack, demo_rack

TRAY = """
title = "Tea tray"
unit = "in"
thickness = "3/4"
woods = { A = "sugar maple", B = "black walnut" }
[block.b]
columns = "3 3"
rows = "3 3"
cells = '''
A B
B A
'''
"""


@pytest.fixture(scope="module")
def report():
    return plan(read_design(TRAY.encode(), name="tray"))


def test_the_sheets_are_on_the_paper_asked_for(report, tmp_path):
    (path,) = papers(report, tmp_path, page=Page.A4, parts=frozenset({Part.SHEETS}))
    pdf = pypdfium2.PdfDocument(path)
    width, height = pdf[0].get_size()
    assert (width, height) == pytest.approx((595.28, 841.89), abs=0.1)
    text = pdf[0].get_textpage().get_text_bounded()
    pdf.close()
    assert "Tea tray" in text


def test_the_stick_list_has_every_stick(report, tmp_path):
    papers(report, tmp_path, parts=frozenset({Part.LISTS}))
    text = (tmp_path / "sticks.csv").read_text("utf-8-sig")
    listed = {row["stick"]: int(row["count"]) for row in csv.DictReader(io.StringIO(text))}
    assert listed == {s.makes: s.count for s in report.plan.steps if isinstance(s, Mill)}


def test_stopping_writes_nothing(report, tmp_path):
    with pytest.raises(Cancelled):
        papers(report, tmp_path / "sheets", cancelled=lambda: True)
    assert list(tmp_path.iterdir()) == []


def test_the_same_plan_gives_the_same_bytes(report, tmp_path):
    first = papers(report, tmp_path / "one", parts=frozenset({Part.SHEETS, Part.DRAWING}))
    second = papers(report, tmp_path / "two", parts=frozenset({Part.SHEETS, Part.DRAWING}))
    assert [path.read_bytes() for path in first] == [path.read_bytes() for path in second]


@pytest.fixture(scope="module")
def boards(report):
    return boards_in_papers(report, OnHand(rack=demo_rack(), job="tray"), seconds=0.5)


def test_boards_on_hand_are_drawn_with_their_cuts_in_order(report, boards, tmp_path):
    written = papers(report, tmp_path, parts=frozenset({Part.BOARDS}), boards=boards)
    assert [path.name for path in written] == ["boards-letter.pdf", "shopping.csv"]
    pdf = pypdfium2.PdfDocument(written[0])
    text = "".join(page.get_textpage().get_text_bounded() for page in pdf)
    pdf.close()
    for cuts in boards.plan.boards:
        assert cuts.board.name in text
        assert [cut.number for cut in cuts.cuts] == list(range(1, len(cuts.cuts) + 1))
    kept = sum(len(cuts.of(Fate.LEFTOVER)) for cuts in boards.plan.boards)
    assert kept
    assert "Keep:" in text


def test_boards_set_aside_are_the_ones_drawn(report, boards):
    on_hand = OnHand(rack=demo_rack(), job="tray", held=boards.plan)
    again = boards_in_papers(report, on_hand, seconds=0.5)
    assert again.plan is boards.plan
    assert again.suits_plan


def test_boards_set_aside_for_other_sticks_are_told_of(report, boards, tmp_path):
    other = plan(read_design(TRAY.replace('"3 3"', '"3 4"').encode(), name="tray"))
    on_hand = OnHand(rack=demo_rack(), job="tray", held=boards.plan)
    found = boards_in_papers(other, on_hand)
    assert not found.suits_plan
    path, _ = papers(other, tmp_path, parts=frozenset({Part.BOARDS}), boards=found)
    pdf = pypdfium2.PdfDocument(path)
    text = " ".join(pdf[0].get_textpage().get_text_bounded().split())
    pdf.close()
    assert "set aside for sticks of other sizes" in text


def test_no_board_of_its_woods_draws_nothing(report, tmp_path):
    on_hand = OnHand(rack=Rack(offers=demo_rack().offers), job="tray")
    assert boards_in_papers(report, on_hand) is None
    assert papers(report, tmp_path, parts=frozenset({Part.BOARDS})) == ()
