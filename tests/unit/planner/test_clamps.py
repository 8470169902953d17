"""Clamps on hand decide what is glued at once: another order, shorter bars, deeper cauls, or no."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from fakes.drawings import drawing
from fakes.exhaustive import assignments
from seamwright.bench import Severity, execute, prove
from seamwright.design import Drawing
from seamwright.errors import PlanError
from seamwright.geometry import Polygon
from seamwright.plan import (
    Clamps,
    Laminate,
    Mill,
    Plan,
    Shop,
    cauls_for,
    clamps_needed,
    default_shop,
    totals,
)
from seamwright.planner import make_plan
from seamwright.planner.cells import prepare
from seamwright.planner.choosing import choose
from seamwright.planner.problem import recount
from seamwright.planner.space import explore


def shop_with(count: int, *, most_mm: float = 44.0, minutes: float = 15.0) -> Shop:
    shop = default_shop()
    clamps = Clamps(count=count, caul_mm=44.0, caul_most_mm=most_mm, caul_minutes=minutes)
    allowances = replace(shop.allowances, edge_mm=0.0)
    return replace(shop, allowances=allowances, clamps=clamps)


def grid(columns: list[float], rows: list[float], *, copies: int = 1) -> Drawing:
    """A grid in two woods whose cells all differ, its grain up."""
    rings: list[Polygon] = []
    woods = ""
    y = 0.0
    for j, high in enumerate(rows):
        x = 0.0
        for i, wide in enumerate(columns):
            rings.append(((x, y), (x + wide, y), (x + wide, y + high), (x, y + high)))
            woods += "AB"[(i + j) % 2]
            x += wide
        y += high
    return drawing(rings, woods, [90.0] * len(rings), copies=copies)


LONG = grid([210.0, 190.0, 200.0], [10.0, 90.0, 100.0])
"""600 long, with a thin row outside: glued row by row it needs six clamps, column by column two."""
MANY = grid([12.0, 40.0, 12.0, 40.0, 12.0], [80.0] * 2, copies=12)
"""Two rows that are slices of strip sets with a thin stick outside, twelve times over."""


def proven(board: Drawing, shop: Shop) -> Plan:
    planned = make_plan(board, shop, seconds=10.0)
    assert planned.best.proven
    assert totals(planned.plan).minutes == pytest.approx(planned.best.cost)
    proof = prove(planned.plan, board)
    assert proof.holds, [str(f) for f in proof.findings if f.severity is not Severity.WARNING]
    return planned.plan


def most_clamps(plan: Plan) -> int:
    """Clamps the widest-spread glue-up of a plan takes, counted from the parts themselves."""
    solids = dict(execute(plan).solids)
    most = 0
    for step in plan.steps:
        if isinstance(step, Laminate):
            corners = [
                placed.at.polygon(solids[placed.part].hull) for placed in step.parts
            ]  # fmt: skip
            flat = abs(step.seams_deg) < 1e-6
            across = [[p[1] if flat else p[0] for p in ring] for ring in corners]
            along = [p[0] if flat else p[1] for ring in corners for p in ring]
            spans = sorted((min(c), max(c)) for c in across)
            least = min(spans[0][1] - spans[0][0], spans[-1][1] - spans[-1][0])
            deep = step.caul_mm or plan.shop.clamps.caul_mm
            most = max(most, clamps_needed(max(along) - min(along), least + deep))
    return most


@pytest.mark.parametrize("count", [2, 3, 6, 20])
def test_no_glue_up_takes_more_clamps_than_there_are(count: int) -> None:
    assert most_clamps(proven(LONG, shop_with(count))) <= count


def test_fewer_clamps_never_make_a_plan_cheaper() -> None:
    costs = [make_plan(MANY, shop_with(n), seconds=10.0).best.cost for n in (4, 6, 20)]
    assert costs == sorted(costs, reverse=True)
    assert costs[0] > costs[-1]


def test_the_choice_under_few_clamps_is_the_best_of_all_there_are() -> None:
    board = grid([210.0, 190.0], [10.0, 90.0])
    shop = shop_with(2, most_mm=80.0)
    cells = prepare(board, shop)
    space = explore(cells, shop)
    chosen = choose(space, shop, board.thickness_mm, 1, edge_cuts=0, seconds=10.0)
    assert chosen is not None
    best = min(recount(chosen.problem, p).minutes for p in assignments(chosen.problem))
    assert chosen.choice.minutes == pytest.approx(best, abs=1e-6)


STRIPES = grid([30.0, 540.0, 30.0], [1000.0])


def test_deeper_cauls_are_made_where_they_do_and_paid_for() -> None:
    # 1000 mm over 30 + 44 mm: seven clamps; five do over cauls 70 mm deep
    plan = proven(STRIPES, shop_with(5, most_mm=80.0))
    (glued,) = [s for s in plan.steps if isinstance(s, Laminate) and s.caul_mm]
    assert glued.caul_mm == pytest.approx(70.0, abs=0.11)
    free = proven(STRIPES, shop_with(5, most_mm=80.0, minutes=0.0))
    assert totals(plan).minutes - totals(free).minutes == pytest.approx(15.0)
    assert not any(
        s.caul_mm for s in proven(STRIPES, shop_with(7)).steps if isinstance(s, Laminate)
    )


def test_strip_sets_are_made_only_as_long_as_the_clamps_press() -> None:
    few, many = proven(MANY, shop_with(4)), proven(MANY, shop_with(20))
    reach = 2.0 * 4 * (12.0 + 44.0)
    glued = {p.part for s in few.steps if isinstance(s, Laminate) for p in s.parts}
    sticks = [s for s in few.steps if isinstance(s, Mill) and s.makes in glued]
    assert all(stick.length_mm <= reach + 1e-6 for stick in sticks)
    longest = max(s.length_mm for s in many.steps if isinstance(s, Mill))
    assert longest > reach


def test_where_no_order_does_the_clamps_and_cauls_told_do() -> None:
    with pytest.raises(PlanError) as refused:
        make_plan(STRIPES, shop_with(3))
    (fault,) = refused.value.faults
    assert fault.code == "P112"
    assert "needs 7 clamps" in fault.message
    told = re.search(r"use (\d+) clamps .* cauls (\d+\.\d) mm deep", fault.remedy)
    assert told is not None
    assert proven(STRIPES, shop_with(int(told[1])))
    assert proven(STRIPES, shop_with(3, most_mm=float(told[2])))


def test_the_bench_counts_clamps_itself() -> None:
    plan = proven(STRIPES, shop_with(7))
    scarce = replace(plan, shop=shop_with(6))
    codes = [f.code for f in prove(scarce, STRIPES).findings if f.severity is Severity.UNSAFE]
    assert codes == ["B323"]
    deep = proven(STRIPES, shop_with(5, most_mm=80.0))
    shallow = replace(deep, shop=shop_with(5, most_mm=60.0))
    codes = [f.code for f in prove(shallow, STRIPES).findings if f.severity is Severity.UNSAFE]
    assert codes == ["B324"]


def test_uncounted_clamps_press_anything() -> None:
    none = Clamps(count=0, caul_mm=0.0, caul_most_mm=0.0, caul_minutes=0.0)
    assert cauls_for(5000.0, 1.0, none) == 0.0
    shop = shop_with(0)
    assert most_clamps(proven(STRIPES, shop)) > 1
