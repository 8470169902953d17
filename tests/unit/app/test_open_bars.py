"""Long bars made as several short ones: where it pays, proven, and recounted by the checker."""

from __future__ import annotations

import pytest

from checkers.cut_checker import check
from seamwright import app
from seamwright.app.planning import proven
from seamwright.plan import Mill, Slice, open_bars, with_split
from seamwright.rack import Board, Offer, Rack, Stock

CHECKS = """
title = "Checks"
unit = "mm"
thickness = 20
woods = { A = "sugar maple", B = "black walnut" }
[block.s]
columns = "36 36 36 36 36 36"
rows = "36 36 36 36 36 36"
cells = '''
A B A B A B
B A B A B A
A B A B A B
B A B A B A
A B A B A B
B A B A B A
'''
"""


@pytest.fixture(scope="module")
def report():
    return app.plan(app.read_design(CHECKS.encode(), name="checks"))


def rack(length: float) -> Rack:
    """Offcuts of one length, and dear long boards at the yard."""
    woods = ("sugar maple", "black walnut")
    return Rack(
        boards=tuple(
            Board(name=f"{wood} {n}", wood=wood, thickness_mm=32, width_mm=130,
                  length_mm=length, stock=Stock.OFFCUT)
            for wood in woods for n in range(5)
        ),
        offers=tuple(
            Offer(name=f"new {wood}", wood=wood, thickness_mm=32, width_mm=150,
                  length_mm=2400, price=300)
            for wood in woods
        ),
    )  # fmt: skip


def longest(found) -> float:
    return max(step.length_mm for step in found.report.plan.steps if isinstance(step, Mill))


def test_short_offcuts_give_short_bars(report):
    whole = max(step.length_mm for step in report.plan.steps if isinstance(step, Mill))
    short = rack(whole - 20.0)
    fixed = app.cut(report, short, seconds=2)
    assert fixed.plan.purchases()
    found = app.cut(report, short, wishes=app.Wishes(bars=app.Bars.OPEN), seconds=4)
    assert found.changes_plan
    assert not found.plan.purchases()
    assert found.plan.cost < fixed.plan.cost
    assert longest(found) < whole
    assert found.report.proof.holds
    assert "instead of" in found.split[0]
    assert "of extra work" in found.split[-1]
    assert check(short, found.demand, report.plan.shop, found.rules, found.plan) == []


def test_long_boards_leave_the_plan_as_it_is(report):
    found = app.cut(report, rack(2000.0), wishes=app.Wishes(bars=app.Bars.OPEN), seconds=3)
    assert not found.changes_plan
    assert found.report is report
    assert "do not pay" in found.split[0]


def test_dear_hours_leave_the_plan_as_it_is(report):
    whole = max(step.length_mm for step in report.plan.steps if isinstance(step, Mill))
    wishes = app.Wishes(bars=app.Bars.OPEN, hour=1e5)
    found = app.cut(report, rack(whole - 20.0), wishes=wishes, seconds=3)
    assert found.report is report


def test_a_split_plan_makes_the_same_board(report):
    bars = open_bars(report.plan)
    assert any(bar.is_glued for bar in bars)
    for bar in bars:
        least = report.plan.shop.limits.stick_min_length_mm
        few = next(n for n in range(1, 99) if bar.length_mm(n) >= least)
        rest = bar.slices - few
        for split in ((bar.slices,), (max(few, rest), few), (bar.slices,) * 2):
            plan = with_split(report.plan, bar, split)
            found = proven(report.drawing, report.planned.__class__(
                plan=plan, best=report.best, added=(), fewest=True, widened=(),
                edge_mm=report.planned.edge_mm))  # fmt: skip
            assert found.proof.holds
            kinds = {stage.makes for stage in bar.stages}
            made = [s for s in plan.steps if isinstance(s, Slice) and s.makes in kinds]
            assert sum(s.count for s in made) == sum(split) >= bar.slices
            bars = {s.takes for s in made if not s.squared}
            counts = [s.count for s in plan.steps if s.makes in bars]
            assert sum(counts) == len(split)


def test_too_few_slices_are_refused(report):
    bar = open_bars(report.plan)[0]
    for split in ((bar.slices - 1,), (bar.slices, 0)):
        with pytest.raises(ValueError, match="do not give"):
            with_split(report.plan, bar, split)
