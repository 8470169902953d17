"""The verb "papers": what is written is what was asked for, or nothing."""

import csv
import io

import pypdfium2
import pytest

from seamwright.app import papers, plan, read_design
from seamwright.errors import Cancelled
from seamwright.papers import Page, Part
from seamwright.plan import Mill

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
