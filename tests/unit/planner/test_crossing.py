"""Strips whose grain runs aslant: glued side by side, then sawn apart."""

from __future__ import annotations

from dataclasses import replace
from unittest import mock

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from fakes.drawings import chequers
from fakes.exhaustive import assignments
from seamwright.bench import prove
from seamwright.design import Drawing, read
from seamwright.geometry import Motion, Polygon
from seamwright.plan import Laminate, Shop, Slice, Trim, default_shop
from seamwright.planner import choose, make_plan
from seamwright.planner.cells import Cell, prepare
from seamwright.planner.crossing import MOST_ACROSS_DEG, long_strips
from seamwright.planner.options import CrossStrips
from seamwright.planner.problem import recount
from seamwright.planner.space import _Search, explore


def pair(high: float, low: float, wide: float, *, grain: float, turned: float) -> list[Cell]:
    """Two pieces one over the other, turned as one; grain and turn in degrees."""
    turn = Motion(turn_deg=turned)
    rings: list[Polygon] = [
        ((0.0, 0.0), (wide, 0.0), (wide, low), (0.0, low)),
        ((0.0, low), (wide, low), (wide, low + high), (0.0, low + high)),
    ]
    return [Cell(turn.polygon(r), w, grain + turned) for r, w in zip(rings, "AB", strict=True)]


def squares(columns: int, rows: int, *, grain: float = 45.0) -> Drawing:
    """Squares of two woods in turn, all grain aslant to their edges."""
    return chequers(columns, rows, size=36.0, grain=grain)


def no_edge() -> Shop:
    shop = default_shop()
    return replace(shop, allowances=replace(shop.allowances, edge_mm=0.0))


def sawn(plan) -> list[tuple[Laminate, Slice]]:
    """Sets of cross strips with the step that saws them apart."""
    makers = {step.makes: step for step in plan.steps}
    return [
        (makers[step.takes], step)
        for step in plan.steps
        if isinstance(step, Slice) and step.apart and not plan.is_filled_row(step.takes)
    ]


@settings(deadline=None, max_examples=60)
@given(
    high=st.integers(10, 60),
    low=st.integers(10, 60),
    wide=st.integers(10, 60),
    grain=st.integers(0, 179),
    turned=st.integers(0, 359),
)
def test_every_slice_of_a_set_is_the_part(
    high: int, low: int, wide: int, grain: int, turned: int
) -> None:
    cells = pair(high, low, wide, grain=float(grain), turned=float(turned))
    part = [shapely.Polygon(cell.polygon) for cell in cells]
    hull = Motion(turn_deg=turned).polygon(((0, 0), (wide, 0), (wide, high + low), (0, high + low)))
    shop = default_shop()
    widest = shop.limits.stock_width_mm - 2.0 * shop.allowances.rough_face_mm
    for found in long_strips(cells, hull, shop):
        along = Motion(turn_deg=found.along_deg)
        strips = {strip.wood: shapely.Polygon(strip.polygon) for strip in found.strips}
        for i in range(found.count):
            step = along.point((i * (found.length_mm + shop.saws.table_kerf_mm), 0.0))
            for cell, ring in zip(cells, part, strict=True):
                there = shapely.affinity.translate(ring, *step)
                assert strips[cell.wood].buffer(1e-6).contains(there)
        for strip in found.strips:
            level = Motion(turn_deg=-strip.grain_deg).polygon(strip.polygon)
            across = max(y for _, y in level) - min(y for _, y in level)
            lean = min(grain % 180, 180 - grain % 180)
            if lean > 1.0:
                assert across <= widest + 1e-6


def test_a_set_of_triangles_is_no_set_of_strips() -> None:
    hull: Polygon = ((0, 0), (40, 0), (40, 40), (0, 40))
    cells = [
        Cell(((0, 0), (40, 0), (40, 40)), "A", 45.0),
        Cell(((0, 0), (40, 40), (0, 40)), "B", 45.0),
    ]
    assert not list(long_strips(cells, hull, default_shop()))


def test_nothing_held_by_end_grain_is_sawn() -> None:
    hull: Polygon = ((0, 0), (40, 0), (40, 70), (0, 70))
    shop = default_shop()
    for grain, offered in ((90.0, False), (MOST_ACROSS_DEG + 1.0, False), (45.0, True)):
        cells = pair(30.0, 40.0, 40.0, grain=grain, turned=0.0)
        assert bool(list(long_strips(cells, hull, shop))) is offered


def test_squares_on_their_points_come_from_cross_strips() -> None:
    board, shop = squares(4, 4), no_edge()
    planned = make_plan(board, shop)
    assert planned.best.proven
    assert prove(planned.plan, board).holds
    sets = sawn(planned.plan)
    assert sets
    for glued, step in sets:
        assert len(glued.parts) >= 2
        assert len(step.cuts) == step.per_bar + 1
    with mock.patch.object(_Search, "_cross_strips", return_value=[]):
        without = make_plan(board, shop)
    assert planned.best.cost < without.best.cost


def test_a_set_is_not_offered_where_a_part_is_needed_once() -> None:
    shop = default_shop()
    for board, offered in ((squares(2, 1), False), (squares(2, 2), True)):
        space = explore(prepare(board, shop), shop)
        found = [o for kind in space.kinds for o in kind.options if isinstance(o, CrossStrips)]
        assert bool(found) is offered


@pytest.mark.parametrize("grain", [40.0, 45.0, 60.0])
def test_the_choice_is_the_best_of_all_there_are(grain: float) -> None:
    board, shop = squares(2, 2, grain=grain), no_edge()
    cells = prepare(board, shop)
    space = explore(cells, shop)
    chosen = choose(space, shop, board.thickness_mm, 1, edge_cuts=0, seconds=20.0)
    assert chosen is not None
    best = min(recount(chosen.problem, p).minutes for p in assignments(chosen.problem))
    assert chosen.choice.minutes == pytest.approx(best, abs=1e-6)


def test_a_square_on_its_point_takes_two_cuts_from_a_slanted_slice() -> None:
    board = read(
        """
        unit = "mm"
        thickness = 19
        woods = { A = "pear", B = "bog oak" }
        [[patch]]
        wood = "A"
        grain = 45
        points = "0,0 50,0 50,50 0,50"
        [[patch]]
        wood = "B"
        points = "50,0 120,0 120,50 50,50"
        """,
        name="one square",
    )
    shop = no_edge()
    plan = make_plan(board, shop).plan
    assert prove(plan, board).holds
    (trim,) = [step for step in plan.steps if isinstance(step, Trim)]
    assert len(trim.cuts) == 2
