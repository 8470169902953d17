"""The running cost agrees with the recount after any changes."""

from random import Random

import pytest

from seamwright.design import demo, read
from seamwright.plan import default_shop
from seamwright.planner.cells import prepare
from seamwright.planner.depths import depths
from seamwright.planner.pricing import price
from seamwright.planner.problem import recount
from seamwright.planner.space import explore
from seamwright.planner.tally import Tally


@pytest.mark.parametrize("leaves", [1, 2])
def test_changes_cost_what_the_recount_says(leaves: int) -> None:
    drawing, shop = read(demo(), name="demo"), default_shop()
    space = explore(prepare(drawing, shop), shop)
    problem = price(space, shop, depths(drawing.thickness_mm, leaves, shop), 3, edge_cuts=4)
    chance = Random(7)
    tally = Tally(problem, dict.fromkeys(range(len(problem.nodes)), 0))
    for _ in range(300):
        number = chance.randrange(len(problem.nodes))
        tally.change(number, chance.randrange(len(problem.nodes[number].modes)))
        told = recount(problem, tally.picked)
        assert tally.minutes == pytest.approx(told.minutes, rel=1e-9)
        assert tally.active() == sorted(told.uses)
