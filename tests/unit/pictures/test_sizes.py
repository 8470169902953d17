from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from seamwright.design import Unit
from seamwright.pictures import Ruler, degrees


@given(st.integers(min_value=0, max_value=64 * 200))
def test_a_mark_on_the_rule_is_read_back_exactly(steps: int) -> None:
    text = Ruler().inch(float(Fraction(steps * 127, 64 * 5)))
    whole, _, part = text.rstrip("″").rpartition("-")
    top, _, bottom = part.partition("/")
    value = Fraction(whole or 0) + (Fraction(int(top), int(bottom)) if bottom else int(top))
    assert value == Fraction(steps, 64)
    assert Ruler().off(float(Fraction(steps * 127, 64 * 5))) == ""


@given(st.floats(min_value=0.0, max_value=3000.0))
def test_what_is_left_over_is_never_more_than_half_a_mark(mm: float) -> None:
    off = Ruler().off(mm)
    if off:
        assert off[0] in "+−"
        assert int(off[3:6]) <= 8


@pytest.mark.parametrize(
    ("mm", "both"),
    [
        (22.0, "55/64″ + .007″ (22.0 mm)"),
        (34.925, "1-3/8″ (34.9 mm)"),
        (9.525, "3/8″ (9.5 mm)"),
        (395.6, "15-37/64″ − .003″ (395.6 mm)"),
    ],
)
def test_both_units_stand_side_by_side(mm: float, both: str) -> None:
    assert Ruler().both(mm) == both


def test_millimetres_lead_where_the_design_is_in_millimetres() -> None:
    ruler = Ruler(unit=Unit.MM, denominator=32)
    assert ruler.first(22.0) == "22.0 mm"
    assert ruler.second(22.0) == "7/8″"
    assert ruler.about(75.2) == "76 mm (3″)"


def test_angles_are_short() -> None:
    assert [degrees(a) for a in (45.0, 90.0, 22.5, 33.333333)] == ["45°", "90°", "22.5°", "33.33°"]
