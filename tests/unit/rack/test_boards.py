from __future__ import annotations

from dataclasses import replace

import pytest

from seamwright.rack import (
    Board,
    Flaw,
    FlawKind,
    Rack,
    RackError,
    Reservation,
    board_faults,
    rack_faults,
)

GOOD = Board(name="A", wood="cherry", thickness_mm=26, width_mm=150, length_mm=1200)
KNOT = Flaw(kind=FlawKind.KNOT, x_mm=10, y_mm=10, length_mm=30, width_mm=20)


def _codes(faults) -> list[str]:
    return [fault.code for fault in faults]


def test_a_sound_board_has_no_faults():
    assert board_faults(replace(GOOD, flaws=(KNOT,))) == ()


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"name": ""}, "R102"),
        ({"wood": ""}, "R103"),
        ({"width_mm": 0.0}, "R104"),
        ({"length_mm": float("nan")}, "R104"),
        ({"thickness_mm": float("inf")}, "R104"),
        ({"moisture_pct": -1.0}, "R105"),
        ({"price": -0.01}, "R106"),
        ({"flaws": (replace(KNOT, width_mm=0),)}, "R109"),
        ({"flaws": (replace(KNOT, x_mm=1180),)}, "R110"),
        ({"flaws": (replace(KNOT, y_mm=-1),)}, "R110"),
    ],
)
def test_each_fault_has_its_code(change, code):
    assert _codes(board_faults(replace(GOOD, **change))) == [code]


def test_all_faults_of_a_rack_are_found_at_once():
    rack = Rack(
        boards=(GOOD, GOOD, replace(GOOD, name="B", width_mm=-1)),
        reservations=(
            Reservation(board="A", job="x"),
            Reservation(board="A", job="y"),
            Reservation(board="Z", job="x"),
        ),
    )
    assert sorted(_codes(rack_faults(rack))) == ["R101", "R104", "R107", "R108"]


def test_a_flaw_is_added_to_one_board():
    rack = Rack(boards=(GOOD, replace(GOOD, name="B"))).with_flaw("B", KNOT)
    assert rack.board("B").flaws == (KNOT,)
    assert rack.board("A").flaws == ()


def test_a_flaw_outside_the_board_is_refused():
    with pytest.raises(RackError) as caught:
        Rack(boards=(GOOD,)).with_flaw("A", replace(KNOT, x_mm=1190))
    assert _codes(caught.value.faults) == ["R110"]


def test_an_unknown_board_is_refused():
    with pytest.raises(RackError):
        Rack().board("A")


def test_boards_of_other_jobs_are_not_free():
    rack = Rack(boards=(GOOD,), reservations=(Reservation(board="A", job="x"),))
    assert rack.free() == ()
    assert rack.free(job="x") == (GOOD,)
