"""What a choice is worth is what the best plan without it costs more."""

from __future__ import annotations

import pytest

from seamwright.bench import prove
from seamwright.design import Drawing, read
from seamwright.errors import Cancelled
from seamwright.plan import Laminate, Resaw, default_shop, inputs
from seamwright.planner import Sort, forbid_each, make_plan

CELLS = "\n".join(" ".join("AB"[(x + y) % 2] for x in range(6)) for y in range(6))
CHECKS = f"""
unit = "mm"
thickness = 19
woods = {{ A = "pear", B = "bog oak" }}
[block.checks]
columns = "40 40 40 40 40 40"
rows = "40 40 40 40 40 40"
cells = '''
{CELLS}
'''
"""
NINES = """
unit = "in"
thickness = "1/2"
copies = 4
woods = { A = "pear", B = "bog oak", C = "plum" }
[block.nine]
columns = "1 1 1"
rows = "1 1 1"
cells = '''
A B A
B C B
A B A
'''
[board]
set = "nine nine"
sashing = { wood = "C", width = "1/2" }
"""


def board(text: str) -> Drawing:
    return read(text, name="board")


@pytest.mark.parametrize(
    ("text", "sorts"),
    [
        (CHECKS, {Sort.STRIP_SET, Sort.GLUE_UP}),
        (NINES, {Sort.RESAW, Sort.GLUE_UP, Sort.PIECE}),
    ],
    ids=["checks", "nines"],
)
def test_every_worth_is_a_plan_that_does_without(text: str, sorts: set[Sort]) -> None:
    drawing, shop = board(text), default_shop()
    reasons = forbid_each(drawing, shop)
    assert reasons.planned == make_plan(drawing, shop)
    assert {one.decided.sort for one in reasons.without} == sorts
    costs = []
    for one in reasons.without:
        made = {step.makes for step in reasons.planned.plan.steps}
        assert set(one.decided.parts) <= made
        if one.planned is None:
            continue
        assert prove(one.planned.plan, drawing).holds
        assert one.planned.best.cost >= reasons.planned.best.cost - 1e-6
        costs.append(one.planned.best.cost)
        resawn = {step.leaves for step in one.planned.plan.steps if isinstance(step, Resaw)}
        if one.decided.sort is Sort.RESAW:
            assert one.decided.leaves not in resawn
    assert costs == sorted(costs, reverse=True)
    assert costs


def strip_sets(plan) -> set[tuple[tuple[str, float], ...]]:
    """Strip sets by their woods and widths, either way round."""
    sticks = {s.makes: (s.wood, round(s.width_mm, 3)) for s in plan.steps if s.verb == "mill"}
    rows = set()
    for step in plan.steps:
        if isinstance(step, Laminate) and set(inputs(step)) <= set(sticks):
            row = tuple(sticks[placed.part] for placed in step.parts)
            rows.add(min(row, row[::-1]))
    return rows


def test_a_forbidden_strip_set_is_not_made() -> None:
    drawing, shop = board(CHECKS), default_shop()
    reasons = forbid_each(drawing, shop)
    ours = strip_sets(reasons.planned.plan)
    without = [one for one in reasons.without if one.decided.sort is Sort.STRIP_SET]
    assert ours
    assert without
    for one in without:
        assert one.planned is None or ours - strip_sets(one.planned.plan)


def test_it_can_be_stopped() -> None:
    with pytest.raises(Cancelled):
        forbid_each(board(NINES), default_shop(), cancelled=lambda: True)
