from __future__ import annotations

from dataclasses import replace

import pytest

from checkers.seeded_rack import SHOP, seeded_demand, seeded_rack
from seamwright.rack import (
    Board,
    BoardCuts,
    CutPlan,
    Fate,
    Flaw,
    FlawKind,
    Piece,
    Rack,
    RackError,
    Stopped,
    cut_plan,
    rack_faults,
)
from seamwright.rack.stock import confirm, leftovers, release, reserve


@pytest.fixture(scope="module")
def case():
    rack = seeded_rack(5, boards=10, woods=2)
    demand = seeded_demand(5, lines=6, woods=2)
    return rack, demand, cut_plan(rack, demand, shop=SHOP, seconds=0.5)


def _codes(error) -> set[str]:
    return {fault.code for fault in error.value.faults}


def test_a_reserved_board_is_not_planned_for_another_job(case):
    rack, demand, plan = case
    held = reserve(rack, plan, job="first")
    other = cut_plan(held, demand, shop=SHOP, seconds=0.3, job="second")
    mine = {c.board.name for c in plan.boards if not c.offer}
    assert mine
    assert not mine & {c.board.name for c in other.boards if not c.offer}
    with pytest.raises(RackError) as caught:
        reserve(held, plan, job="second")
    assert _codes(caught) == {"R143"}


def test_reserving_twice_changes_nothing(case):
    rack, _, plan = case
    held = reserve(rack, plan, job="first")
    assert reserve(held, plan, job="first") == held
    assert release(held, job="first") == rack
    assert rack_faults(held) == ()


def test_confirming_needs_a_reservation(case):
    rack, _, plan = case
    with pytest.raises(RackError) as caught:
        confirm(rack, plan, job="first")
    assert _codes(caught) == {"R141"}


def test_confirming_uses_boards_once_and_returns_leftovers(case):
    rack, _, plan = case
    after = confirm(reserve(rack, plan, job="first"), plan, job="first")
    used = {c.board.name for c in plan.boards if not c.offer}
    kept = sum(len(c.of(Fate.LEFTOVER)) for c in plan.boards)
    assert not used & {b.name for b in after.boards}
    assert len(after.boards) == len(rack.boards) - len(used) + kept
    assert after.reservations == ()
    assert rack_faults(after) == ()
    assert sum(b.litres for b in after.boards) < sum(b.litres for b in rack.boards) + sum(
        c.board.litres for c in plan.boards if c.offer
    )
    with pytest.raises(RackError) as caught:
        confirm(after, plan, job="first")
    assert "R101" in _codes(caught)


def test_a_changed_board_is_not_cut(case):
    rack, _, plan = case
    name = next(c.board.name for c in plan.boards if not c.offer)
    boards = tuple(
        replace(b, length_mm=b.length_mm - 0.0 + 5) if b.name == name else b for b in rack.boards
    )
    with pytest.raises(RackError) as caught:
        reserve(replace(rack, boards=boards), plan, job="first")
    assert _codes(caught) == {"R142"}


def test_flaws_stay_where_they_are_in_the_wood():
    board = Board(
        name="A",
        wood="ash",
        thickness_mm=26,
        width_mm=100,
        length_mm=1000,
        price=50.0,
        flaws=(
            Flaw(kind=FlawKind.KNOT, x_mm=590, y_mm=30, length_mm=40, width_mm=20),
            Flaw(kind=FlawKind.SPLIT, x_mm=0, y_mm=0, length_mm=50, width_mm=10),
        ),
    )
    rest = Piece(name="P2", fate=Fate.LEFTOVER, x_mm=600, y_mm=0, length_mm=400, width_mm=100)
    (back,) = leftovers(BoardCuts(board=board, offer="", pieces=(rest,), cuts=(), cost=0.0))
    assert back.flaws == (Flaw(kind=FlawKind.KNOT, x_mm=0, y_mm=30, length_mm=30, width_mm=20),)
    assert (back.length_mm, back.width_mm, back.price) == (400, 100, 20.0)


def test_names_of_leftovers_never_clash():
    board = Board(name="A", wood="ash", thickness_mm=26, width_mm=100, length_mm=1000)
    rest = Piece(name="P1", fate=Fate.LEFTOVER, x_mm=0, y_mm=0, length_mm=400, width_mm=100)
    plan = CutPlan(
        lines=(),
        boards=(BoardCuts(board=board, offer="", pieces=(rest,), cuts=(), cost=0.0),),
        cost=0.0,
        bound=0.0,
        stopped=Stopped.PROVEN,
        seed=1,
    )
    rack = Rack(boards=(board, replace(board, name="A-1")))
    after = confirm(reserve(rack, plan, job="j"), plan, job="j")
    assert [b.name for b in after.boards] == ["A-1", "A-2"]
