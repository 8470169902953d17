from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from checkers.cut_checker import check
from checkers.seeded_rack import SHOP
from seamwright.errors import Cancelled
from seamwright.plan import Mill, Plan
from seamwright.rack import (
    Board,
    Demand,
    Fate,
    Finish,
    Offer,
    Rack,
    RackError,
    Ring,
    Stick,
    Stock,
    Way,
    cut_plan,
    demand_of,
    rules_of,
    ways,
)

RULES = rules_of(SHOP)
STICK = Stick(name="S1", wood="ash", count=2, length_mm=500, width_mm=40, depth_mm=20)
BOARD = Board(name="A", wood="ash", thickness_mm=26, width_mm=150, length_mm=1500, ring=Ring.FLAT)


def _ways_used(plan) -> set[Way]:
    return {
        plan.lines[p.stick].variants[p.way].way for cuts in plan.boards for p in cuts.of(Fate.BLANK)
    }


def _plan(rack: Rack, *sticks: Stick, seconds: float = 0.2):
    demand = Demand(sticks=sticks)
    plan = cut_plan(rack, demand, shop=SHOP, seconds=seconds)
    assert check(rack, demand, SHOP, RULES, plan) == []
    return plan


def test_sticks_come_from_mill_steps_and_equal_ones_are_put_together():
    mills = (
        Mill(makes="S1", count=3, wood="A", length_mm=400, width_mm=30, depth_mm=20),
        Mill(makes="S2", count=1, wood="B", length_mm=400, width_mm=30, depth_mm=20),
        Mill(makes="S3", count=2, wood="A", length_mm=400, width_mm=30, depth_mm=20),
    )
    plan = Plan(title="t", steps=mills, board="S1", copies=1, shop=SHOP)
    found = demand_of(plan, {"A": "sugar maple"}).sticks
    assert [(s.name, s.wood, s.count) for s in found] == [
        ("S1, S3", "sugar maple", 5),
        ("S2", "B", 1),
    ]


def test_sizes_get_their_allowances():
    flat, edge, *resawn = ways(STICK, SHOP, RULES)
    assert (flat.way, flat.length_mm, flat.rip_mm, flat.rough_mm) == (
        Way.FLAT,
        525,
        pytest.approx(44.8),
        pytest.approx(24.8),
    )
    assert (edge.way, edge.rip_mm, edge.rough_mm) == (
        Way.ON_EDGE,
        pytest.approx(24.8),
        pytest.approx(44.8),
    )
    assert resawn[0].rough_mm == pytest.approx(2 * 24.8 + 1.2)
    assert [v.sticks for v in resawn] == [2, 3, 4]


def test_a_flat_board_gives_flat_sticks():
    assert _ways_used(_plan(Rack(boards=(BOARD,)), STICK)) == {Way.FLAT}


def test_a_thick_board_gives_sticks_on_edge():
    thick = replace(BOARD, thickness_mm=46)
    assert _ways_used(_plan(Rack(boards=(thick,)), replace(STICK, depth_mm=10))) == {Way.ON_EDGE}


def test_a_thick_board_is_resawn():
    plan = _plan(Rack(boards=(replace(BOARD, thickness_mm=52),)), replace(STICK, count=4))
    assert _ways_used(plan) == {Way.RESAWN}
    assert sum(len(c.of(Fate.BLANK)) for c in plan.boards) == 2


def test_an_odd_count_from_resawn_blanks_makes_one_more():
    # too wide to stand on edge in this board
    wide = replace(STICK, count=3, width_mm=60)
    plan = _plan(Rack(boards=(replace(BOARD, thickness_mm=52),)), wide)
    assert _ways_used(plan) == {Way.RESAWN}
    assert (plan.lines[0].made, plan.lines[0].missing) == (4, 0)


def test_the_odd_one_stands_on_edge_where_that_takes_less_wood():
    thick = Rack(boards=(replace(BOARD, thickness_mm=52),))
    plan = _plan(thick, replace(STICK, count=3), seconds=5.0)
    assert _ways_used(plan) == {Way.RESAWN, Way.ON_EDGE}
    assert (plan.lines[0].made, plan.lines[0].missing) == (3, 0)


def test_thin_boards_are_glued_thicker():
    plan = _plan(Rack(boards=(BOARD,)), replace(STICK, depth_mm=38))
    assert _ways_used(plan) == {Way.LAYERED}
    assert sum(len(c.of(Fate.BLANK)) for c in plan.boards) == 4


def test_narrow_boards_are_glued_wider():
    narrow = tuple(replace(BOARD, name=f"N{n}", width_mm=60) for n in range(4))
    plan = _plan(Rack(boards=narrow), replace(STICK, width_mm=80, count=1))
    assert _ways_used(plan) == {Way.WIDENED}


def test_too_few_layers_for_a_whole_stick_are_not_cut():
    # room for two blanks, three are needed: nothing is cut, and nothing is called proven wrongly
    small = Board(name="B", wood="ash", thickness_mm=20, width_mm=30, length_mm=321)
    thin = replace(STICK, length_mm=120, width_mm=8, depth_mm=38, count=1)
    plan = _plan(Rack(boards=(small,)), thin)
    assert plan.boards == ()
    assert plan.lines[0].missing == 1


def test_rings_on_the_show_face_turn_with_the_stick():
    thick = replace(BOARD, thickness_mm=46)
    wanted = replace(STICK, ring=Ring.QUARTER, depth_mm=20)
    assert _ways_used(_plan(Rack(boards=(thick,)), wanted)) == {Way.ON_EDGE}
    assert _plan(Rack(boards=(BOARD,)), wanted).lines[0].missing == 2


def test_a_milled_board_needs_no_allowance_in_thickness():
    milled = replace(BOARD, thickness_mm=20, finish=Finish.MILLED)
    assert _plan(Rack(boards=(milled,)), STICK).lines[0].missing == 0
    rough = replace(milled, finish=Finish.ROUGH)
    assert _ways_used(_plan(Rack(boards=(rough,)), STICK)) == {Way.LAYERED}


def test_other_woods_are_not_used():
    plan = _plan(Rack(boards=(replace(BOARD, wood="oak"),)), STICK)
    assert plan.lines[0].missing == 2
    assert plan.boards == ()


def test_offcuts_go_before_boards_and_boards_before_buying():
    offcut = Board(
        name="O", wood="ash", thickness_mm=26, width_mm=110, length_mm=560, stock=Stock.OFFCUT
    )
    offer = Offer(name="new", wood="ash", thickness_mm=26, width_mm=150, length_mm=2400, price=30.0)
    rack = Rack(boards=(BOARD, offcut), offers=(offer,))
    assert {c.board.name for c in _plan(rack, STICK).boards} == {"O"}
    more = _plan(rack, replace(STICK, count=5))
    assert {c.board.name for c in more.boards} <= {"O", "A"}
    assert _plan(rack, replace(STICK, count=30)).purchases()


def test_a_limit_on_offers_is_kept():
    offer = Offer(
        name="new", wood="ash", thickness_mm=26, width_mm=150, length_mm=1100, price=30.0, limit=1
    )
    plan = _plan(Rack(offers=(offer,)), replace(STICK, count=20))
    assert dict(plan.purchases()) == {"new": 1}
    assert plan.lines[0].missing > 0


def test_matched_sticks_come_from_one_board():
    boards = tuple(replace(BOARD, name=f"A{n}", length_mm=580.0) for n in range(4))
    pair = (
        replace(STICK, name="S1", match="m"),
        replace(STICK, name="S2", width_mm=30, count=1, match="m"),
    )
    others = replace(STICK, name="S3", count=4)
    plan = _plan(Rack(boards=boards), *pair, others)
    homes = {c.board.name for c in plan.boards for p in c.of(Fate.BLANK) if p.stick in (0, 1)}
    assert len(homes) == 1
    assert plan.matched == (("m", homes.pop()),)


def test_matching_that_cannot_be_is_said():
    boards = tuple(replace(BOARD, name=f"A{n}", length_mm=580.0, width_mm=60) for n in range(3))
    plan = _plan(Rack(boards=boards), replace(STICK, match="m"))
    assert plan.matched == (("m", ""),)
    assert plan.lines[0].missing == 0


def test_demand_faults_are_collected():
    bad = (replace(STICK, count=0), replace(STICK, width_mm=-1))
    with pytest.raises(RackError) as caught:
        cut_plan(Rack(), Demand(sticks=bad), shop=SHOP, seconds=0.1)
    assert sorted(f.code for f in caught.value.faults) == ["R130", "R131", "R132"]


def test_a_stick_too_thin_to_rip_is_refused():
    thin = replace(STICK, width_mm=2, depth_mm=2.5)
    with pytest.raises(RackError) as caught:
        cut_plan(Rack(boards=(BOARD,)), Demand(sticks=(thin,)), shop=SHOP, seconds=0.1)
    assert [f.code for f in caught.value.faults] == ["R133"]


def test_cancelling_stops_the_work():
    with pytest.raises(Cancelled):
        cut_plan(
            Rack(boards=(BOARD,)),
            Demand(sticks=(STICK,)),
            shop=SHOP,
            seconds=5,
            cancelled=lambda: True,
        )


def test_progress_ends_with_the_verdict():
    told: list[tuple[float, str]] = []
    plan = cut_plan(
        Rack(boards=(BOARD,)),
        Demand(sticks=(STICK,)),
        shop=SHOP,
        seconds=0.2,
        progress=lambda fraction, text: told.append((fraction, text)),
    )
    assert told[-1] == (1.0, plan.verdict)
    assert all(a[0] <= b[0] for a, b in itertools.pairwise(told))


def test_an_empty_demand_is_proven_at_once():
    plan = cut_plan(Rack(boards=(BOARD,)), Demand(sticks=()), shop=SHOP, seconds=1)
    assert plan.is_proven
    assert plan.boards == ()
