"""From drawing to choice and plan, step by step, for tests that look in between."""

from __future__ import annotations

from seamwright.design import Drawing
from seamwright.plan import Plan, Shop
from seamwright.planner import Chosen, choose
from seamwright.planner.cells import prepare
from seamwright.planner.space import explore
from seamwright.planner.writing import write_plan


def chosen_plan(drawing: Drawing, shop: Shop, *, seconds: float = 2.0) -> tuple[Chosen, Plan]:
    """What is chosen for a drawing, and the plan written from it."""
    cells = prepare(drawing, shop)
    space = explore(cells, shop)
    chosen = choose(
        space,
        shop,
        drawing.thickness_mm,
        drawing.copies,
        edge_cuts=len(cells.outline) if cells.edge_mm > 0.0 else 0,
        seconds=seconds,
    )
    assert chosen is not None
    plan = write_plan(
        space, chosen, shop, title=drawing.title, outline=drawing.outline, edge_mm=cells.edge_mm
    )
    return chosen, plan
