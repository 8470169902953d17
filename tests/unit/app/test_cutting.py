"""Cut plans for boards that were planned: wood names, wishes, words, quotes."""

from __future__ import annotations

from dataclasses import replace

import pytest

from seamwright import app
from seamwright.app.cut_words import cut_lines, way_words
from seamwright.app.quoting import glue_area_mm2
from seamwright.pictures import Ruler
from seamwright.plan import default_shop, read_money
from seamwright.rack import (
    Board,
    Finish,
    Match,
    Rack,
    Ring,
    Stick,
    Way,
    demand_of,
    demo_rack,
    rules_of,
    ways,
)
from seamwright.rack.demand import glued_ways
from seamwright.rack.layout import Line

THREE = """
title = "Stripes"
unit = "mm"
thickness = 20
grain = "up"
woods = { A = "hard maple", B = "black walnut" }
[block.s]
columns = "40 40 40"
rows = "300"
cells = "A B A"
"""


@pytest.fixture(scope="module")
def report():
    return app.plan(app.read_design(THREE.encode(), name="stripes"))


def test_woods_meet_under_their_usual_names(report):
    found = app.cut(report, demo_rack(), seconds=0.5)
    assert {s.wood for s in found.demand.sticks} == {"sugar maple", "black walnut"}
    assert sum(line.missing for line in found.plan.lines) == 0


def test_glue_lines_are_counted(report):
    # two seams of 300 × 20 mm as drawn; the plan leaves an edge to trim, so a little more
    assert 2 * 300 * 20 <= glue_area_mm2(report) <= 2 * 340 * 26


def test_rings_that_no_board_has_are_missing(report):
    wishes = app.Wishes(ring=Ring.QUARTER)
    flat = Rack(boards=tuple(
        replace(b, ring=Ring.FLAT, thickness_mm=26.0) for b in demo_rack().boards))  # fmt: skip
    found = app.cut(report, flat, wishes=wishes, seconds=0.3)
    assert all(line.missing == line.stick.count for line in found.plan.lines)
    assert any("MISSING" in words for words in cut_lines(found))


def test_matched_sticks_of_a_strip_set_carry_its_mark():
    checks = THREE.replace('"40 40 40"', '"40 40 40 40"').replace('rows = "300"', 'rows = "40 40"')
    checks = checks.replace('cells = "A B A"', "cells = '''\nA B A B\nB A B A\n'''")
    report = app.plan(app.read_design(f"copies = 4\n{checks}".encode(), name="checks"))
    marked = demand_of(report.plan, {"A": "a", "B": "b"}, match=Match.STRIP_SETS)
    assert any(stick.match for stick in marked.sticks)
    assert all(stick.match.endswith(stick.wood) for stick in marked.sticks if stick.match)
    wishes = app.Wishes(match=Match.STRIP_SETS)
    found = app.cut(report, demo_rack(), wishes=wishes, seconds=0.5)
    assert found.plan.matched
    for mark, board in found.plan.matched:
        sticks = {n for n, line in enumerate(found.plan.lines) if line.stick.match == mark}
        homes = {c.board.name for c in found.plan.boards for p in c.pieces if p.stick in sticks}
        assert homes == {board}


STICK = Stick(name="S1", wood="ash", count=1, length_mm=500, width_mm=40, depth_mm=20)
BOARD = Board(name="A", wood="ash", thickness_mm=60, width_mm=90, length_mm=1500, ring=Ring.FLAT)


def told(variant, board=BOARD, stick=STICK) -> str:
    line = Line(stick=stick, variants=(variant,), made=1, missing=0)
    return way_words(line, variant, board, default_shop(), Ruler(unit=app.read_design(
        THREE.encode(), name="x").unit))  # fmt: skip


def test_every_way_is_told_in_words():
    shop = default_shop()
    direct = {v.way: v for v in ways(STICK, shop, rules_of(shop))}
    assert "the depth of 20.0 mm comes out of the thickness" in told(direct[Way.FLAT])
    assert "turn it on edge" in told(direct[Way.ON_EDGE])
    assert "quartered grain" in told(direct[Way.ON_EDGE])
    assert "resaw into" in told(direct[Way.RESAWN])
    wide = replace(STICK, width_mm=150)
    (widened,) = glued_ways(wide, shop, (BOARD,), rules_of(shop))
    assert "glue 2 edge to edge, then rip to 150.0 mm wide" in told(widened, stick=wide)
    deep = replace(STICK, depth_mm=90)
    (layered,) = glued_ways(deep, shop, (BOARD,), rules_of(shop))
    assert "glue 2 face to face, then plane to 90.0 mm deep" in told(layered, stick=deep)
    flat = direct[Way.FLAT]
    rough = 20 + 2 * shop.allowances.rough_face_mm
    assert f"rough thickness {rough:.1f} mm is needed" in told(flat)
    milled = replace(BOARD, finish=Finish.MILLED)
    assert "milled thickness 20.0 mm is needed, the board has 60.0 mm" in told(flat, milled)


def test_a_quote_charges_what_was_paid_or_what_it_costs_new(report):
    priced = tuple(b for b in demo_rack().boards if b.name in ("M2", "W2"))
    found = app.cut(report, replace(demo_rack(), boards=priced), seconds=0.5)
    assert not found.plan.purchases()
    money = read_money("[money]\nhour = 0\nmargin_pct = 0\noverhead_pct = 0\n")
    new = app.quote_board(found, money, basis=app.Basis.REPLACEMENT).quote
    paid = app.quote_board(found, money, basis=app.Basis.COST).quote
    walnut = [line for line in new.lines if line.label == "black walnut"]
    # cheapest at the demo's yard: 96.00 for 31.75 × 165 × 2440 mm is 7.51 a litre
    assert walnut[0].how.endswith("× 7.51")
    walnut = [line for line in paid.lines if line.label == "black walnut"]
    # 34.00 paid for 31.75 × 196 × 1120 mm is 4.88 a litre
    assert walnut[0].how.endswith("× 4.88")
    assert paid.total < new.total


def test_open_litre_prices_come_from_the_shop(report):
    found = app.cut(report, Rack(), seconds=0.2)
    money = read_money("[money]\nwood_litre = 9\n")
    lines = app.quote_board(found, money).quote.lines
    assert any(line.how.endswith("× 9.00") for line in lines)
