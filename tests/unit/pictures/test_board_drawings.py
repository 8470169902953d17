from __future__ import annotations

import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from checkers.seeded_rack import SHOP, seeded_demand, seeded_rack
from seamwright.pictures.boards import board_svg, cuts_svg
from seamwright.rack import Fate, cut_plan

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def plan():
    rack = seeded_rack(5, boards=10, woods=2)
    return cut_plan(rack, seeded_demand(5, lines=6, woods=2), shop=SHOP, seconds=0.5)


def _cut_numbers(text: str) -> list[int]:
    return [int(t.text) for t in ET.fromstring(text).iter(f"{SVG}text") if t.get("class") == "c"]


def test_every_cut_is_numbered_in_order(plan):
    for cuts in plan.boards:
        assert _cut_numbers(cuts_svg(cuts, plan)) == list(range(1, len(cuts.cuts) + 1))


def test_cuts_can_be_stepped_through(plan):
    cuts = max(plan.boards, key=lambda c: len(c.cuts))
    assert _cut_numbers(cuts_svg(cuts, plan, upto=2)) == [1, 2]
    assert _cut_numbers(cuts_svg(cuts, plan, upto=0)) == []


def test_flaws_and_leftovers_are_drawn(plan):
    cuts = next(c for c in plan.boards if c.board.flaws and c.of(Fate.LEFTOVER))
    text = cuts_svg(cuts, plan)
    titles = [t.text for t in ET.fromstring(text).iter(f"{SVG}title")]
    assert titles == [f.kind.value for f in cuts.board.flaws]
    assert text.count('stroke-dasharray="5 3"') == len(cuts.of(Fate.LEFTOVER))


def test_names_are_escaped(plan):
    board = replace(plan.boards[0].board, name='<b>"A"&')
    root = ET.fromstring(board_svg(board))
    assert root.get("aria-label").startswith('<b>"A"&')
