"""What is remembered from earlier drawings changes no answer: only how soon it comes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fakes.drawings import EIGHTHS, SQUARE_ANGLES, random_split
from fakes.edits import edited, open_shop
from seamwright.app.replanning import Drafts
from seamwright.bench import prove
from seamwright.design import Drawing, settle
from seamwright.errors import PlanError
from seamwright.plan import Shop, default_shop
from seamwright.planner import Memory, Planned, make_plan
from seamwright.planner.cells import Cells, prepare
from seamwright.planner.choosing import Chosen, choose
from seamwright.planner.depths import depths
from seamwright.planner.options import Kind, Space
from seamwright.planner.pricing import price
from seamwright.planner.recalling import children
from seamwright.planner.space import explore


def reached(space: Space) -> list[Kind]:
    """The kinds that the board leads to."""
    found, todo = {0}, [0]
    while todo:
        for option in space.kinds[todo.pop()].options:
            fresh = set(children(option)) - found
            found |= fresh
            todo.extend(fresh)
    return [space.kinds[number] for number in found]


def form(kind: Kind) -> tuple[object, ...]:
    """What can be told of a kind without the numbers of others."""
    hull = sorted((round(x, 3), round(y, 3)) for x, y in kind.hull)
    ways = sorted((type(option).__name__, len(children(option))) for option in kind.options)
    return (len(kind.options), hull, ways)


@settings(max_examples=10, deadline=None)
@given(
    seed=st.integers(0, 10_000),
    count=st.integers(2, 14),
    woods=st.integers(1, 3),
    angles=st.sampled_from([SQUARE_ANGLES, EIGHTHS]),
    edits=st.lists(st.tuples(st.integers(0, 13), st.integers(0, 4)), min_size=1, max_size=4),
)
def test_a_plan_out_of_memory_costs_what_a_fresh_one_costs(
    seed: int,
    count: int,
    woods: int,
    angles: tuple[float, ...],
    edits: list[tuple[int, int]],
) -> None:
    shop, memory = open_shop(), Memory()
    drawing = random_split(seed, count, woods=woods, angles=angles, step_mm=25.0)
    for number, what in ((0, 0), *edits):
        drawing = edited(drawing, number, what)
        cells = prepare(drawing, shop)
        fresh, recalled = explore(cells, shop), explore(cells, shop, memory=memory)
        assert len(fresh.kinds) == len(reached(fresh)) == len(reached(recalled))
        assert sorted(map(form, reached(fresh))) == sorted(map(form, reached(recalled)))
        for leaves in (1, 2):
            deep = depths(drawing.thickness_mm, leaves, shop)
            assert price(recalled, shop, deep, 3, edge_cuts=4, tariffs=memory.tariffs) == price(
                recalled, shop, deep, 3, edge_cuts=4
            )
        # what is shared once the choice is made differs between choices that cost the same
        wanted = chosen(fresh, drawing, shop, cells, Memory())
        if wanted is None:
            with pytest.raises(PlanError):
                make_plan(drawing, shop, memory=memory)
            continue
        soon: list[Chosen] = []
        got = chosen(recalled, drawing, shop, cells, memory, first=soon.append)
        assert got is not None
        if wanted.stopped == got.stopped == "proven":
            assert got.choice.minutes == pytest.approx(wanted.choice.minutes, abs=1e-4)
            assert soon[0].choice.minutes >= got.choice.minutes - 1e-4
        early: list[Planned] = []
        plan = make_plan(drawing, shop, seconds=10, memory=memory, early=early.append).plan
        assert prove(plan, drawing).holds
        assert prove(early[0].plan, drawing).holds


def chosen(
    space: Space,
    drawing: Drawing,
    shop: Shop,
    cells: Cells,
    memory: Memory,
    first: Callable[[Chosen], None] | None = None,
) -> Chosen | None:
    """The best choice, with what a memory knows of earlier ones."""
    return choose(
        space,
        shop,
        drawing.thickness_mm,
        drawing.copies,
        edge_cuts=len(cells.outline) if cells.edge_mm > 0.0 else 0,
        seconds=10,
        first=first,
        former=memory.former,
        tariffs=memory.tariffs,
    )


def test_the_first_plan_holds_and_comes_before_the_best() -> None:
    drafts, shop = Drafts(), open_shop()
    drawing = random_split(5, 9, woods=2, angles=SQUARE_ANGLES, step_mm=50.0)
    for wood in ("A", "B"):
        first_patch = replace(drawing.patches[0], wood=wood)
        drawing = settle(replace(drawing, patches=(first_patch, *drawing.patches[1:])))
        early = []
        report = drafts.replan(drawing, shop, seconds=20, early=early.append)
        (first,) = early
        assert first.proof.holds
        assert not first.best.proven
        assert first.best.cost >= report.best.cost - 1e-6
        assert report.proof.holds


def test_shops_are_not_mixed_up() -> None:
    drafts, shop = Drafts(), default_shop()
    other = replace(shop, saws=replace(shop.saws, table_kerf_mm=1.0))
    for one, again, another in zip(
        drafts.memory(shop), drafts.memory(shop), drafts.memory(other), strict=True
    ):
        assert one is again
        assert one is not another
