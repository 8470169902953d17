"""Parts too small for the sled: which way of holding them is taken, and that every way proves."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from fakes.drawings import drawing
from fakes.exhaustive import assignments
from seamwright.bench import Severity, prove
from seamwright.design import Drawing, read
from seamwright.errors import Fault, PlanError
from seamwright.geometry import Polygon
from seamwright.plan import NO_JIGS, Hold, Machine, Plan, Shop, Trim, default_shop
from seamwright.planner import Prefer, make_plan, measure, prefer_plan
from seamwright.planner.cells import prepare
from seamwright.planner.choosing import choose
from seamwright.planner.options import Join
from seamwright.planner.problem import recount
from seamwright.planner.space import explore
from seamwright.planner.writing import write_plan


def shop_with(**small: float) -> Shop:
    """The default shop without wood round the outline, so that pieces are as small as drawn."""
    shop = default_shop()
    return replace(
        shop,
        allowances=replace(shop.allowances, edge_mm=0.0),
        small_parts=replace(shop.small_parts, **small),
    )


def slow_by_hand() -> Shop:
    """A shop where setting up a carrier is soon worth it."""
    return shop_with(hand_trim=10.0)


def bare() -> Shop:
    return replace(shop_with(), small_parts=NO_JIGS)


def slanted(size: float, *, thickness: float = 19.0, beside: float = 90.0) -> Drawing:
    """A small square whose grain runs aslant, beside a strip."""
    rings = [
        ((0.0, 0.0), (size, 0.0), (size, size), (0.0, size)),
        ((size, 0.0), (size + 40.0, 0.0), (size + 40.0, size), (size, size)),
    ]
    return drawing(rings, "AB", [45.0, beside], thickness=thickness)


def triangles(size: float) -> Drawing:
    """Four small squares, each of two triangles, none of whose edges runs along the grain."""
    rings: list[Polygon] = []
    for i in range(4):
        x = i * size
        rings.append(((x, 0.0), (x + size, 0.0), (x, size)))
        rings.append(((x + size, 0.0), (x + size, size), (x, size)))
    return drawing(rings, "AB" * 4, [70.0] * 8)


def row(width: float, grain: float) -> Drawing:
    rings: list[Polygon] = []
    x = 0.0
    for wide in (40.0, width, 40.0):
        rings.append(((x, 0.0), (x + wide, 0.0), (x + wide, 80.0), (x, 80.0)))
        x += wide
    return drawing(rings, "ABA", [grain] * 3)


def proven(board: Drawing, shop: Shop) -> Plan:
    planned = make_plan(board, shop, seconds=5.0)
    assert planned.best.proven
    proof = prove(planned.plan, board)
    assert proof.holds, [str(f) for f in proof.findings if f.severity is not Severity.WARNING]
    return planned.plan


def holds(plan: Plan) -> set[Hold]:
    return {step.hold for step in plan.steps if isinstance(step, Trim)}


@pytest.mark.parametrize(
    ("size", "hold"),
    [(20.0, Hold.SLED), (12.0, Hold.CARRIER), (9.0, Hold.CARRIER), (7.0, Hold.HAND)],
)
def test_the_smaller_a_part_the_nearer_to_the_hand(size: float, hold: Hold) -> None:
    # the block of a square with slanted grain is wider than the square by the root of 2
    assert holds(proven(slanted(size), slow_by_hand())) == {hold}


@pytest.mark.parametrize("size", [10.0, 15.0])
def test_a_triangle_stays_part_of_its_blank_until_the_last_cut(size: float) -> None:
    plan = proven(triangles(size), bare())
    assert holds(plan) == {Hold.LONG_END}
    tail = plan.shop.allowances.tail_mm
    for step in plan.steps:
        if isinstance(step, Trim):
            blank = plan.maker(step.takes)
            assert getattr(blank, "set_up").size_mm > tail  # noqa: B009 - any step that slices


def test_what_the_routes_cost_decides() -> None:
    board = slanted(9.0)
    assert holds(proven(board, shop_with())) == {Hold.HAND}
    assert holds(proven(board, shop_with(hand_trim=10.0))) == {Hold.CARRIER}
    assert holds(proven(board, shop_with(hand_trim=10.0, carrier_trim=8.0))) == {Hold.HAND}
    assert holds(proven(board, shop_with(hand_trim=10.0, carriers=0))) == {Hold.HAND}
    assert holds(proven(board, shop_with(hand_trim=1.0))) == {Hold.HAND}
    assert holds(proven(board, shop_with(hand_trim=1.0, shooting_boards=0))) == {Hold.CARRIER}


@pytest.mark.parametrize("board", [slanted(9.0), triangles(12.0)])
def test_the_choice_among_routes_is_the_best_of_all_there_are(board: Drawing) -> None:
    shop = shop_with()
    cells = prepare(board, shop)
    space = explore(cells, shop)
    chosen = choose(space, shop, board.thickness_mm, 1, edge_cuts=0, seconds=10.0)
    assert chosen is not None
    best = min(recount(chosen.problem, p).minutes for p in assignments(chosen.problem))
    assert chosen.choice.minutes == pytest.approx(best, abs=1e-6)


def test_set_ups_and_minutes_are_those_of_the_jig() -> None:
    plan = proven(slanted(9.0), slow_by_hand())
    (step,) = [s for s in plan.steps if isinstance(s, Trim)]
    assert {up.machine for up in step.set_ups} == {Machine.CARRIER}
    plan = proven(slanted(7.0), shop_with())
    (step,) = [s for s in plan.steps if isinstance(s, Trim)]
    assert {up.machine for up in step.set_ups} == {Machine.SHOOTING_BOARD}


def test_a_thick_part_is_not_shot_by_hand_nor_sawn_in_a_carrier() -> None:
    thick = slanted(9.0, thickness=45.0)
    shop = shop_with()
    assert holds(proven(thick, shop)) == {Hold.CARRIER}
    low = replace(shop, saws=replace(shop.saws, table_depth_mm=55.0))
    with pytest.raises(PlanError):
        make_plan(thick, low)


@pytest.mark.parametrize("grain", [0.0, 90.0])
def test_a_strip_and_a_slice_too_thin_for_the_saws_are_shot_to_size(grain: float) -> None:
    board = row(4.5, grain)
    assert holds(proven(board, shop_with())) == {Hold.HAND}
    with pytest.raises(PlanError):
        make_plan(board, bare())


def test_a_long_strip_is_not_shot() -> None:
    assert holds(proven(row(4.5, 90.0), shop_with(hand_long_mm=80.0))) == {Hold.HAND}
    with pytest.raises(PlanError):
        make_plan(row(4.5, 90.0), shop_with(hand_long_mm=79.0))


def refusal(board: Drawing, shop: Shop) -> Fault:
    with pytest.raises(PlanError) as refused:
        make_plan(board, shop, seconds=2.0)
    (fault, *_) = [f for f in refused.value.faults if f.subject == "patch 1"]
    return fault


@pytest.mark.parametrize("jigs", [True, False])
@pytest.mark.parametrize("make", [slanted, triangles])
def test_where_nothing_holds_it_the_factor_that_is_told_works(make, jigs: bool) -> None:
    shop = shop_with() if jigs else bare()
    fault = refusal(make(2.0), shop)
    assert "mm wide" in fault.message
    told = re.search(r"make it (\d+\.\d\d) times as large", fault.remedy)
    assert told is not None
    proven(make(2.0 * float(told[1])), shop)


def test_a_refusal_names_every_way_that_was_looked_at() -> None:
    fault = refusal(slanted(2.0), shop_with())
    assert "20.0 mm are not trimmed at the saw" in fault.message
    assert "under 10.0 mm not in the carrier" in fault.message
    assert "under 4.0 mm not shot by hand" in fault.message
    assert "so that it is 4.0 mm at its narrowest" in fault.remedy
    assert "small_parts" in refusal(slanted(2.0), bare()).remedy


def test_the_safest_plan_takes_parts_away_from_the_saw() -> None:
    board = slanted(22.0, beside=0.0)
    shop = shop_with()
    cheapest, safest = proven(board, shop), prefer_plan(board, shop, Prefer.SAFEST).plan
    assert prove(safest, board).holds
    assert holds(safest) == {Hold.HAND}
    assert measure(safest).smallest_mm > measure(cheapest).smallest_mm


def test_a_trail_of_small_triangles_cut_singly_is_planned_and_proves() -> None:
    board = read(
        """
        unit = "in"
        thickness = "1/2"
        woods = { A = "pear", B = "bog oak" }
        [block.one]
        from = "snails trail"
        size = "6"
        [board]
        set = "one"
        """,
        name="trail",
    )
    shop = default_shop()
    cells = prepare(board, shop)
    space = explore(cells, shop)
    kinds = tuple(
        replace(kind, options=[o for o in kind.options if isinstance(o, Join)])
        if kind.region & (kind.region - 1) and any(isinstance(o, Join) for o in kind.options)
        else kind
        for kind in space.kinds
    )
    singly = replace(space, kinds=kinds)
    edge_cuts = len(cells.outline) if cells.edge_mm else 0
    chosen = choose(singly, shop, board.thickness_mm, 1, edge_cuts=edge_cuts, seconds=10.0)
    assert chosen is not None
    plan = write_plan(
        singly, chosen, shop, title="", outline=board.outline, edge_mm=cells.edge_mm
    )  # fmt: skip
    assert prove(plan, board).holds
    assert holds(plan) - {Hold.SLED}
