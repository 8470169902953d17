"""Equilibrium moisture of wood from the air it lies in, and back."""

from __future__ import annotations

from seamwright.errors import Fault, WoodError

COLDEST_C = -1.2
"""Just under the lowest temperature of Table 4-2 (30 °F)."""
HOTTEST_C = 100.0


def equilibrium_moisture_pct(temperature_c: float, humidity_pct: float) -> float:
    """Moisture content wood comes to in steady air [% of ovendry mass].

    Args:
        temperature_c: −1.1 to 100 °C.
        humidity_pct: relative humidity, 0 to 100 %; the equation reproduces the printed table
            from 5 to 95 %.

    Raises:
        WoodError: outside these ranges (W130, W131).

    Reference:
        Simpson (1973), as eq. 4-5 of the Wood Handbook, FPL-GTR-282 (2021); Celsius form.

    >>> round(equilibrium_moisture_pct(21.1, 50.0), 1)
    9.2
    """
    _check_temperature(temperature_c)
    if not 0.0 <= humidity_pct <= 100.0:
        raise WoodError(
            Fault("W131", f"relative humidity {humidity_pct:g} %", "is not between 0 and 100 %")
        )
    t, h = temperature_c, humidity_pct / 100.0
    w = 349.0 + 1.29 * t + 0.0135 * t * t
    kh = (0.805 + 0.000736 * t - 0.00000273 * t * t) * h
    k1 = 6.27 - 0.00938 * t - 0.000303 * t * t
    k2 = 1.91 + 0.0407 * t - 0.000293 * t * t
    hydrated = k1 * kh + 2.0 * k1 * k2 * kh * kh
    return 1800.0 / w * (kh / (1.0 - kh) + hydrated / (1.0 + k1 * kh + k1 * k2 * kh * kh))


def humidity_for_moisture_pct(temperature_c: float, moisture_pct: float) -> float:
    """Relative humidity that keeps wood at a moisture content [%]: the equation turned round.

    Raises:
        WoodError: no humidity from 0 to 100 % gives that moisture at this temperature (W132).

    >>> round(humidity_for_moisture_pct(21.1, equilibrium_moisture_pct(21.1, 43.0)), 6)
    43.0
    """
    highest = equilibrium_moisture_pct(temperature_c, 100.0)
    if not 0.0 <= moisture_pct <= highest:
        raise WoodError(
            Fault(
                "W132",
                f"moisture content {moisture_pct:g} %",
                f"is not reached in air of {temperature_c:g} °C",
                f"it ends at {highest:.1f} %",
            )
        )
    low, high = 0.0, 100.0
    for _ in range(60):  # the curve only rises, so halving always finds it
        middle = (low + high) / 2.0
        if equilibrium_moisture_pct(temperature_c, middle) < moisture_pct:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


def _check_temperature(temperature_c: float) -> None:
    if not COLDEST_C <= temperature_c <= HOTTEST_C:
        raise WoodError(
            Fault(
                "W130",
                f"temperature {temperature_c:g} °C",
                f"is outside {COLDEST_C:g} to {HOTTEST_C:g} °C",
            )
        )
