"""What is bought and charged for an overlay; the sums are worked by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from functools import cache

import pytest

from seamwright import app
from seamwright.app.planning import PlanReport
from seamwright.app.quoting import glue_area_mm2
from seamwright.app.sheets import sheet_costs, sheet_purchases
from seamwright.plan import read_money
from seamwright.rack import Rack

# a face of 300 by 150 mm, its backing 3.2 mm larger all round: 306.4 by 156.4 mm
SQUARE_M = 0.3064 * 0.1564
MONEY = read_money("[money]\npanel_m2 = 40\nveneer_m2 = 20\n")


@cache
def planned(backing: str) -> PlanReport:
    text = (
        'unit = "mm"\nkind = "overlay"\nthickness = 3\ncopies = 2\n'
        'woods = { A = "sugar maple", B = "black walnut" }\n'
        f"[backing]\n{backing}\n"
        '[block.one]\nfrom = "pinwheel"\nsize = 150\n[board]\nset = "one one"\n'
    )
    return app.plan(app.read_design(text.encode(), name="try"), seconds=10.0)


PANEL = 'panel = "birch plywood"\nthickness = 12'
BOUGHT = PANEL + '\nveneer = "bought"'
SOLID = 'wood = "A"\nthickness = 15'


@pytest.mark.parametrize(
    ("backing", "costs"),
    [
        (PANEL, [2 * SQUARE_M * 40]),
        (BOUGHT, [2 * SQUARE_M * 40, 2 * SQUARE_M * 20]),
        (SOLID, []),
    ],
)
def test_what_is_bought_is_priced_by_the_square_metre(backing: str, costs: list[float]) -> None:
    found = sheet_costs(planned(backing).plan, MONEY)
    assert [amount for _, amount in found] == [Decimal(f"{cost:.2f}") for cost in costs]


def test_sheets_are_on_the_shopping_list_by_the_piece_and_sawn_veneer_as_wood() -> None:
    panel, veneer = sheet_purchases(planned(BOUGHT).plan)
    assert (panel.wood, panel.what, panel.boards) == ("birch plywood", "2 × 306 × 156 mm", 2)
    assert (veneer.wood, veneer.size) == ("balancing veneer", "3 mm")
    assert panel.cubic_m == pytest.approx(2 * SQUARE_M * 0.012)
    for backing, bought in ((PANEL, 1), (BOUGHT, 2), (SOLID, 0)):
        cut = app.cut(planned(backing), Rack(), seconds=1.0)
        assert len([line for line in cut.shopping if not line.exact_feet]) == bought
        sawn = [line.stick.name for line in cut.plan.lines if line.stick.name.startswith("V")]
        assert bool(sawn) == (backing != BOUGHT)
        words = "\n".join(app.cut_lines(cut))
        assert ("birch plywood 12 mm: 2 × 306 × 156 mm" in words) == (bought > 0)


def test_pressing_is_in_the_quote_minutes_and_glue() -> None:
    report = planned(PANEL)
    bare = replace(report, planned=replace(report.planned, plan=replace(report.plan, backed=None)))
    assert glue_area_mm2(report) - glue_area_mm2(bare) == pytest.approx(2 * 2 * SQUARE_M * 1e6)
    cut = app.cut(report, Rack(), seconds=1.0)
    quote = app.quote_board(cut, MONEY).quote
    assert any(line.label.startswith("Birch plywood") for line in quote.lines)
    assert "18" in quote.customer.sizes, "3 + 12 + 3 mm thick"
