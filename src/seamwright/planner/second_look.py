"""A second look at the glue-ups of a plan: any run of neighbours in them kept together.

To gather parts in every way wherever there are some would leave most boards unproven. But what a
plan glues up is little, and there any run of neighbours may be tried: it makes a few kinds more,
and a good choice among all of them is found without proof.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from seamwright.plan import Shop
from seamwright.planner.cells import Cells
from seamwright.planner.choosing import Chosen
from seamwright.planner.descent import descend
from seamwright.planner.options import Join
from seamwright.planner.pricing import price
from seamwright.planner.solver import Relaxed
from seamwright.planner.space import explore

_SHARE = 1.0 / 3.0
"""Of its time limit; a choice that took more gets no second look, which may take twice as long."""


def with_second_look(
    cells: Cells,
    shop: Shop,
    chosen: Chosen,
    *,
    took: float,
    seconds: float,
    set_in: bool = False,
    cancelled: Callable[[], bool] | None = None,
) -> Chosen:
    """A choice, and what a second look finds besides, where there is time for it.

    Args:
        cells, shop, chosen, set_in, cancelled: as for ``look_again``.
        took, seconds: what the choice took, and the limit it had [s].
    """
    if chosen.stopped != "proven" or took > seconds * _SHARE:
        return chosen
    other = look_again(cells, shop, chosen, set_in=set_in, cancelled=cancelled)
    return chosen if other is None else replace(chosen, others=(*chosen.others, other))


def look_again(
    cells: Cells,
    shop: Shop,
    chosen: Chosen,
    *,
    set_in: bool = False,
    cancelled: Callable[[], bool] | None = None,
) -> Chosen | None:
    """A good choice where the glue-ups of a choice may keep any run of neighbours together.

    Args:
        cells, shop, set_in, cancelled: as for ``explore``.
        chosen: the choice.
    Returns:
        None where nothing is glued up.
    """
    nodes = chosen.problem.nodes
    glued = {
        chosen.space.keys[nodes[number].kind]
        for number, k in chosen.choice.modes.items()
        if isinstance(nodes[number].modes[k].way, Join)
    }
    if not glued:
        return None
    space = explore(cells, shop, set_in=set_in, wide=glued, cancelled=cancelled)
    edge_cuts = len(cells.outline) if cells.edge_mm > 0.0 else 0
    problem = price(space, shop, chosen.depths, chosen.problem.copies, edge_cuts=edge_cuts)
    choice = descend(problem)
    relaxed = Relaxed(problem, resawn=chosen.depths.leaves > 1)
    if relaxed.bound < choice.minutes:
        choice = min(choice, relaxed.rounded(draws=0), key=lambda found: found.minutes)
    return Chosen(
        space=space, problem=problem, choice=choice, depths=chosen.depths, bound=0.0, stopped="time"
    )
