from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from seamwright.errors import WoodError
from seamwright.woods import (
    Form,
    Quantity,
    Rings,
    find_species,
    movement_across,
    movement_along,
)

MAPLE = find_species("sugar maple")


def test_quarter_moves_by_the_radial_and_flat_by_the_tangential_value() -> None:
    flat = movement_across(MAPLE, from_pct=8.0, to_pct=9.0, ring_angle_deg=Rings.FLAT.value)
    quarter = movement_across(MAPLE, from_pct=8.0, to_pct=9.0, ring_angle_deg=Rings.QUARTER.value)
    rift = movement_across(MAPLE, from_pct=8.0, to_pct=9.0, ring_angle_deg=Rings.RIFT.value)
    assert flat.strain == pytest.approx(0.00353)
    assert quarter.strain == pytest.approx(0.00165)
    assert rift.strain == pytest.approx((0.00353 + 0.00165) / 2.0)


@given(st.floats(0.0, 30.0), st.floats(0.0, 30.0), st.floats(0.0, 30.0))
def test_two_steps_of_the_shrinkage_form_are_one(a: float, b: float, c: float) -> None:
    def stretch(start: float, end: float) -> float:
        moved = movement_across(MAPLE, from_pct=start, to_pct=end, form=Form.SHRINKAGE)
        return 1.0 + moved.strain

    assert stretch(a, b) * stretch(b, c) == pytest.approx(stretch(a, c), rel=1e-12)


@given(st.floats(6.0, 14.0), st.floats(6.0, 14.0))
def test_both_forms_are_close_where_both_hold(a: float, b: float) -> None:
    first = movement_across(MAPLE, from_pct=a, to_pct=b, form=Form.COEFFICIENT).strain
    second = movement_across(MAPLE, from_pct=a, to_pct=b, form=Form.SHRINKAGE).strain
    assert first == pytest.approx(second, rel=0.02, abs=1e-12)


def test_above_fibre_saturation_nothing_moves() -> None:
    assert movement_across(MAPLE, from_pct=30.0, to_pct=80.0).strain == 0.0


def test_beyond_the_coefficients_the_shrinkage_form_takes_over() -> None:
    assert movement_across(MAPLE, from_pct=8.0, to_pct=20.0).form is Form.SHRINKAGE


def test_beyond_the_coefficients_without_shrinkage_is_a_warning() -> None:
    moved = movement_across(find_species("wenge"), from_pct=8.0, to_pct=16.0)
    assert moved.form is Form.COEFFICIENT
    assert "6 to 14 %" in moved.warnings[0]


def test_a_wood_with_only_shrinkage_says_so() -> None:
    moved = movement_across(find_species("sapele"), from_pct=8.0, to_pct=10.0)
    assert moved.form is Form.SHRINKAGE
    assert "reckoned from shrinkage" in moved.warnings[0]


def test_a_wood_with_neither_is_refused_by_name() -> None:
    with pytest.raises(WoodError, match="ebony has no value for movement coefficient"):
        movement_across(find_species("ebony"), from_pct=8.0, to_pct=10.0)


def test_a_missing_radial_value_matters_only_where_it_is_used() -> None:
    wenge = find_species("wenge")
    assert wenge.amount(Quantity.RADIAL_COEFFICIENT) is None
    movement_across(wenge, from_pct=8.0, to_pct=10.0)
    with pytest.raises(WoodError, match="radial"):
        movement_across(wenge, from_pct=8.0, to_pct=10.0, ring_angle_deg=45.0)


def test_along_the_grain_hardly_anything_moves() -> None:
    along = movement_along(from_pct=6.0, to_pct=10.0).strain
    assert along == pytest.approx(0.0002)


def test_moisture_below_zero_is_refused() -> None:
    with pytest.raises(WoodError, match="below zero"):
        movement_across(MAPLE, from_pct=-1.0, to_pct=8.0)
