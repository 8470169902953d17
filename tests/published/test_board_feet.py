"""Board feet, surfaced sizes and grade yields against the hardwood trade's published rules.

Sources: American Hardwood Export Council, summary of the NHLA grading rules (surface measure
example of 6 1/4 in × 8 ft, 2 in thick); published hardwood size tables that follow the NHLA rules
(surfaced two sides); clear-face yields of the NHLA grades.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from seamwright.rack import Board, Demand, Offer, Rack, Stick, cut_plan
from seamwright.rack.quarters import quarter, quarter_for, quarter_of
from seamwright.rack.shopping import (
    Grade,
    Rounding,
    board_feet,
    shopping_list,
    surface_measure,
    tally_feet,
)


def test_the_worked_example_of_surface_measure():
    # 6 1/4 in × 8 ft / 12 = 4 1/6, rounded to 4; 2 in thick: 8 board feet
    size = {"width_in": Fraction(25, 4), "length_ft": Fraction(8)}
    assert surface_measure(**size, rounding=Rounding.NEAREST) == 4
    assert tally_feet(thickness_in=Fraction(2), **size, rounding=Rounding.NEAREST) == 8


def test_the_same_board_where_the_yard_rounds_up():
    size = {"width_in": Fraction(25, 4), "length_ft": Fraction(8)}
    assert surface_measure(**size, rounding=Rounding.UP) == 5
    assert tally_feet(thickness_in=Fraction(2), **size, rounding=Rounding.UP) == 10


@pytest.mark.parametrize(("width", "measure"), [(Fraction(9, 4), 2), (Fraction(15, 4), 2)])
def test_halves_go_down_and_up_in_turn(width, measure):
    # 1 1/2 and 2 1/2 square feet: one goes up, one goes down
    assert surface_measure(width_in=width, length_ft=8, rounding=Rounding.NEAREST) == measure


def test_length_counts_in_whole_feet():
    size = {"width_in": Fraction(6), "rounding": Rounding.NEAREST}
    assert surface_measure(length_ft=Fraction(99, 10), **size) == surface_measure(
        length_ft=Fraction(9), **size
    )


def test_a_board_foot_is_144_cubic_inches():
    feet = board_feet(thickness_in=Fraction(1), width_in=Fraction(12), length_ft=Fraction(1))
    assert feet == 1
    thin = board_feet(thickness_in=Fraction(3, 4), width_in=Fraction(12), length_ft=Fraction(1))
    assert thin == 1  # under an inch counts as an inch


@pytest.mark.parametrize(
    ("name", "milled"),
    [
        ("4/4", "13/16"),
        ("5/4", "17/16"),
        ("6/4", "21/16"),
        ("8/4", "7/4"),
        ("12/4", "11/4"),
        ("16/4", "15/4"),
    ],
)
def test_surfaced_thickness(name, milled):
    assert quarter(name).milled_in == Fraction(milled)
    assert quarter_for(float(Fraction(milled)) * 25.4).name == name


def test_kiln_dried_boards_may_measure_a_sixteenth_under():
    assert quarter_of(15 / 16 * 25.4).name == "4/4"
    assert quarter_of(14 / 16 * 25.4) is None


@pytest.mark.parametrize(
    ("grade", "printed"),
    [
        (Grade.FAS, "83.3"),
        (Grade.NO_1_COMMON, "66.7"),
        (Grade.NO_2A_COMMON, "50.0"),
        (Grade.NO_3A_COMMON, "33.3"),
    ],
)
def test_clear_face_of_grades(grade, printed):
    assert f"{float(grade.clear) * 100:.1f}" == printed


def _shop():
    from checkers.seeded_rack import SHOP  # noqa: PLC0415 - only the lists need a shop

    return SHOP


def test_a_list_of_boards_to_buy():
    # one 4/4 board of 6 in × 8 ft: exactly 4 board feet, 4 × 144 in³
    offer = Offer(
        name="4/4 6 in 8 ft",
        wood="ash",
        thickness_mm=25.4,
        width_mm=152.4,
        length_mm=2438.4,
        price=20.0,
    )
    stick = Stick(name="S", wood="ash", count=3, length_mm=600, width_mm=40, depth_mm=20)
    plan = cut_plan(Rack(offers=(offer,)), Demand(sticks=(stick,)), shop=_shop(), seconds=0.3)
    (line,) = shopping_list(plan, allowance_pct=10)
    assert (line.size, line.boards, line.price) == ("4/4", 1, 20.0)
    assert line.exact_feet == pytest.approx(4.4, rel=1e-3)
    assert line.feet_nearest == pytest.approx(4.4)
    assert line.cubic_m == pytest.approx(4 * 144 * 25.4**3 / 1e9 * 1.1, rel=1e-6)


def test_missing_sticks_are_listed_by_wood_and_size():
    stick = Stick(name="S", wood="ash", count=2, length_mm=475, width_mm=45.2, depth_mm=20)
    board = Board(name="x", wood="oak", thickness_mm=26, width_mm=100, length_mm=500)
    plan = cut_plan(Rack(boards=(board,)), Demand(sticks=(stick,)), shop=_shop(), seconds=0.2)
    (clear,) = shopping_list(plan, allowance_pct=0)
    (fas,) = shopping_list(plan, allowance_pct=0, grade=Grade.FAS)
    # 2 blanks of 25.4 × 50 × 500 mm
    assert clear.cubic_m == pytest.approx(2 * 25.4 * 50 * 500 / 1e9)
    assert clear.size == "4/4"
    assert fas.cubic_m == pytest.approx(clear.cubic_m * 1.2)
    assert clear.exact_feet == pytest.approx(clear.cubic_m * 1e9 / 25.4**3 / 144)
