from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from seamwright.errors import WoodError
from seamwright.woods import (
    climates,
    equilibrium_moisture_pct,
    find_climate,
    humidity_for_moisture_pct,
    in_air,
    sources,
)


@given(st.floats(-1.0, 60.0), st.floats(0.0, 99.0), st.floats(0.01, 1.0))
def test_damper_air_makes_damper_wood(celsius: float, rh: float, more: float) -> None:
    assert equilibrium_moisture_pct(celsius, rh) < equilibrium_moisture_pct(celsius, rh + more)


@pytest.mark.parametrize(("celsius", "rh"), [(21.0, -1.0), (21.0, 101.0), (-40.0, 50.0), (200, 50)])
def test_air_out_of_range_is_named(celsius: float, rh: float) -> None:
    with pytest.raises(WoodError, match=r"humidity|temperature"):
        equilibrium_moisture_pct(celsius, rh)


def test_moisture_no_air_can_give_is_named_with_its_limit() -> None:
    with pytest.raises(WoodError, match=r"is not reached in air of 21 °C: it ends at 2\d"):
        humidity_for_moisture_pct(21.0, 45.0)


def test_presets_name_their_sources_and_span_a_usual_year() -> None:
    assert {climate.source for climate in climates()} <= set(sources())
    winter, summer = find_climate("heated-house-winter"), find_climate("heated house, summer")
    assert 3.0 < summer.moisture_pct - winter.moisture_pct < 5.0


def test_an_unknown_climate_is_answered_with_near_ones() -> None:
    with pytest.raises(WoodError, match="damp-coast"):
        find_climate("damp-cost")


def test_own_air() -> None:
    mine = in_air(name="my kitchen", temperature_c=20.0, humidity_pct=65.0)
    assert mine.moisture_pct == equilibrium_moisture_pct(20.0, 65.0)
