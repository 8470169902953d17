"""One strip set serves rows of every height and both ways round: planned, proven, and worth it."""

from __future__ import annotations

from fakes.drawings import drawing
from seamwright.bench import prove
from seamwright.design import Drawing
from seamwright.plan import Laminate, Mill, Slice, default_shop, totals
from seamwright.planner import Planned, make_plan

WIDTHS_MM = {"A": 30.0, "B": 60.0, "C": 45.0}
FORTH = (55.0, 40.0, 70.0, 55.0)
BACK = (40.0, 55.0, 70.0)


def rows(back: str) -> Drawing:
    """Rows of three stripes and of three heights, by turns A B C and the other way."""
    rings, woods, y = [], [], 0.0
    for i, height in enumerate(h for pair in zip(FORTH, (*BACK, 0.0), strict=True) for h in pair):
        x = 0.0
        for wood in (back if i % 2 else "ABC") if height else "":
            right = x + WIDTHS_MM[wood]
            rings.append(((x, y), (right, y), (right, y + height), (x, y + height)))
            woods.append(wood)
            x = right
        y += height
    return drawing(rings, woods, [90.0] * len(rings))


def strip_sets(planned: Planned) -> list[Laminate]:
    """Glue-ups of nothing but sticks."""
    sticks = {step.makes for step in planned.plan.steps if isinstance(step, Mill)}
    return [
        step
        for step in planned.plan.steps
        if isinstance(step, Laminate) and {placed.part for placed in step.parts} <= sticks
    ]


def test_rows_of_three_heights_both_ways_round_come_from_one_strip_set() -> None:
    board = rows("CBA")
    planned = make_plan(board, default_shop())
    assert planned.best.proven
    assert prove(planned.plan, board).holds
    (strip_set,) = strip_sets(planned)
    assert len(strip_set.parts) == len(WIDTHS_MM)
    slices = [step for step in planned.plan.steps if isinstance(step, Slice)]
    assert sum(step.count for step in slices) == len(FORTH) + len(BACK)


def test_a_second_profile_costs_more_than_the_first_turned_over() -> None:
    turned, other = (make_plan(rows(back), default_shop()) for back in ("CBA", "BCA"))
    assert other.best.proven
    assert totals(turned.plan).minutes < totals(other.plan).minutes
