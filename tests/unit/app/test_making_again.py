"""Wood for what has to be made again comes off the rack, or is to be bought."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fakes.boards import CHECKS, drawing, planned, studied
from seamwright.app.making_again import sticks_again, wood_for, wood_lines
from seamwright.app.measuring import Reading, Record
from seamwright.app.mending import Mended, mend
from seamwright.pictures import Ruler
from seamwright.plan import Mill, Slice
from seamwright.rack import Board, Rack, Reservation, Stock

OFFCUT = Board(
    name="O1", wood="sugar maple", thickness_mm=32.0, width_mm=70.0, length_mm=700.0,
    stock=Stock.OFFCUT, place="bin",
)  # fmt: skip
LONG = replace(OFFCUT, name="B1", length_mm=2400.0, width_mm=150.0, stock=Stock.BOARD, place="")
WALNUT = replace(OFFCUT, name="O2", wood="black walnut")


def lost(*readings: Reading) -> Mended:
    record = Record(design="", plan=planned(CHECKS), readings=readings)
    return mend(drawing(CHECKS), studied(CHECKS), record)


def two_torn_out() -> Mended:
    number, step = next(
        (n, s)
        for n, s in enumerate(planned(CHECKS).steps, 1)
        if isinstance(s, Slice) and s.makes == "P1"
    )
    return lost(Reading(step=number, good=step.count - 2))


def test_two_slices_torn_out_come_from_offcuts_first() -> None:
    plan, shop = planned(CHECKS), planned(CHECKS).shop
    sticks = sticks_again(plan, two_torn_out())
    assert {stick.makes for stick in sticks} == {"S1", "S2"}
    found = wood_for(sticks, Rack(boards=(LONG, OFFCUT, WALNUT)), drawing(CHECKS), shop)
    by_part = {one.part: one for one in found}
    assert {one.board.name for one in found if one.board} == {"O1", "O2"}
    for part, one in by_part.items():
        assert one.board is not None
        assert not one.bought
        stick = next(s for s in sticks if s.makes == part)
        extra = shop.allowances
        assert one.variant.length_mm == pytest.approx(stick.length_mm + extra.rough_length_mm)
        assert one.board.length_mm >= one.variant.length_mm
        assert one.board.width_mm >= one.variant.rip_mm
    told = " ".join(wood_lines(found, Ruler()))
    assert "from the rack: offcut O1 (sugar maple" in told
    assert "bin" in told


def test_a_board_set_aside_for_another_job_is_left() -> None:
    plan, shop = planned(CHECKS), planned(CHECKS).shop
    sticks = sticks_again(plan, two_torn_out())
    held = Rack(
        boards=(LONG, OFFCUT, WALNUT),
        reservations=(Reservation(board="O1", job="another"),),
    )
    names = {f.board.name for f in wood_for(sticks, held, drawing(CHECKS), shop) if f.board}
    assert names == {"B1", "O2"}


def test_where_nothing_is_big_enough_it_says_what_to_buy() -> None:
    plan, shop = planned(CHECKS), planned(CHECKS).shop
    sticks = sticks_again(plan, two_torn_out())
    small = replace(OFFCUT, length_mm=200.0)
    found = wood_for(sticks, Rack(boards=(small, WALNUT)), drawing(CHECKS), shop)
    maple = next(one for one in found if one.wood == "sugar maple")
    assert maple.board is None
    told = wood_lines([maple], Ruler())[0]
    assert "no board of sugar maple on the rack is big enough. To buy:" in told
    assert "rough wood of" in told


def test_what_a_remade_step_takes_is_milled_again_too() -> None:
    found = lost(
        Reading(step=1, sizes_mm=(50.2,)),
        Reading(step=2, sizes_mm=(52.6,)),
        Reading(step=5, sizes_mm=(18.5,)),
    )
    assert found.remake is not None
    sticks = sticks_again(planned(CHECKS), found)
    assert sticks
    assert all(isinstance(stick, Mill) for stick in sticks)
    assert not sticks_again(planned(CHECKS), lost(Reading(step=1, sizes_mm=(50.8,))))
