"""The first plan after an edit: chosen among few ways, and a choice among all of them."""

from __future__ import annotations

from random import Random

import pytest

from fakes.drawings import EIGHTHS, SQUARE_ANGLES, random_split
from fakes.edits import edited, open_shop
from seamwright.design import Drawing, demo, read
from seamwright.plan import Shop, default_shop
from seamwright.planner import Memory
from seamwright.planner.cells import prepare
from seamwright.planner.depths import Depths, depths
from seamwright.planner.descent import descend, made_alone
from seamwright.planner.former import is_the_same
from seamwright.planner.options import Space
from seamwright.planner.pricing import price
from seamwright.planner.problem import Choice, Problem, recount
from seamwright.planner.sketching import sketch
from seamwright.planner.space import explore


def drawn_again(
    drawing: Drawing, shop: Shop, memory: Memory, deep: Depths, *, copies: int
) -> tuple[Space, Problem]:
    """A drawing searched and priced, its plan remembered as the last one."""
    space = explore(prepare(drawing, shop), shop, memory=memory)
    problem = price(space, shop, deep, copies, edge_cuts=4, tariffs=memory.tariffs)
    alone = made_alone(problem)
    memory.tariffs.of(space, shop, deep).keep_alone(problem, alone.picked, alone.minutes)
    memory.former.keep(space, problem, descend(problem, None, alone))
    return space, problem


def in_the_whole(few: Problem, choice: Choice, whole: Problem) -> Choice:
    """The same choice in the whole problem, counted anew; it stumbles where it is none there."""
    at = {(node.kind, node.deep): number for number, node in enumerate(whole.nodes)}
    picked = {}
    for n, k in choice.modes.items():
        node = few.nodes[n]
        number = at[node.kind, node.deep]
        way = node.modes[k].way
        same = [i for i, mode in enumerate(whole.nodes[number].modes) if is_the_same(mode.way, way)]
        picked[number] = same[0]
    return recount(whole, picked)


@pytest.mark.parametrize(("leaves", "copies"), [(1, 2), (2, 12)])
@pytest.mark.parametrize(
    ("seed", "count", "angles"), [(2, 24, EIGHTHS), (3, 40, SQUARE_ANGLES), (4, 30, SQUARE_ANGLES)]
)
def test_it_is_a_choice_among_all_ways_as_well(
    seed: int, count: int, angles: tuple[float, ...], leaves: int, copies: int
) -> None:
    shop, memory, chance = open_shop(), Memory(), Random(seed)
    drawing = random_split(seed, count, woods=2, angles=angles, step_mm=25.0)
    deep = depths(drawing.thickness_mm, leaves, shop)
    drawn_again(drawing, shop, memory, deep, copies=copies)
    for _ in range(6):
        drawing = edited(drawing, chance.randrange(count), chance.randrange(5))
        space = explore(prepare(drawing, shop), shop, memory=memory)
        few = sketch(
            space, shop, deep, copies, edge_cuts=4, tariffs=memory.tariffs, former=memory.former
        )
        assert few is not None
        problem, choice = few
        whole = price(space, shop, deep, copies, edge_cuts=4)
        assert len(problem.nodes) < len(whole.nodes)
        # bars may share clampings that a sketch does not count on
        assert in_the_whole(problem, choice, whole).minutes <= choice.minutes + 1e-6
        assert recount(problem, choice.modes).minutes == pytest.approx(choice.minutes)
        drawn_again(drawing, shop, memory, deep, copies=copies)


def test_where_nothing_changed_the_plan_is_as_good_as_it_was() -> None:
    shop, memory = open_shop(), Memory()
    drawing = random_split(3, 40, woods=2, angles=SQUARE_ANGLES, step_mm=25.0)
    deep = depths(drawing.thickness_mm, 1, shop)
    drawn_again(drawing, shop, memory, deep, copies=1)
    drawn_again(edited(drawing, 5, 2), shop, memory, deep, copies=1)
    space, problem = drawn_again(drawing, shop, memory, deep, copies=1)
    few = sketch(space, shop, deep, 1, edge_cuts=4, tariffs=memory.tariffs, former=memory.former)
    assert few is not None
    assert few[1].minutes <= descend(problem).minutes + 1e-6
    assert all(len(node.modes) == 1 for node in few[0].nodes[1:])


def test_without_a_last_plan_there_is_none() -> None:
    drawing, shop, memory = read(demo(), name="demo"), default_shop(), Memory()
    space = explore(prepare(drawing, shop), shop, memory=memory)
    deep = depths(drawing.thickness_mm, 1, shop)
    assert (
        sketch(space, shop, deep, 1, edge_cuts=4, tariffs=memory.tariffs, former=memory.former)
        is None
    )
