"""Woods against printed tables and worked examples; the source stands beside each check."""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path

import pytest

from seamwright.woods import (
    Certainty,
    Datum,
    Form,
    Quantity,
    Species,
    all_species,
    at_grain_angle,
    coefficient_from_shrinkage,
    equilibrium_moisture_pct,
    find_species,
    humidity_for_moisture_pct,
    movement_across,
    strength_at_moisture,
)

TABLE = Path(__file__).parent / "data" / "equilibrium_moisture.csv"


def cells() -> list[tuple[float, float, float]]:
    with TABLE.open() as file:
        return [
            (float(r["temperature_f"]), float(r["humidity_pct"]), float(r["moisture_pct"]))
            for r in csv.DictReader(file)
        ]


def test_equilibrium_moisture_reproduces_the_printed_table() -> None:
    """Wood Handbook, FPL-GTR-190 (2010), Table 4-2, p. 4-4: 344 cells, 30 to 200 °F."""
    table = cells()
    assert len(table) == 344
    worst = max(
        abs(equilibrium_moisture_pct((f - 32.0) / 1.8, rh) - printed) for f, rh, printed in table
    )
    assert worst <= 0.06


def test_the_turned_round_equation_gives_every_humidity_of_the_table_back() -> None:
    """The same table, read from moisture to humidity."""
    for f, rh, _ in cells():
        celsius = (f - 32.0) / 1.8
        back = humidity_for_moisture_pct(celsius, equilibrium_moisture_pct(celsius, rh))
        assert back == pytest.approx(rh, abs=1e-6)


@pytest.mark.parametrize(("rh", "moisture"), [(30, 6), (50, 9), (65, 12), (80, 16)])
def test_the_trade_rule_for_humidity_and_moisture(rh: float, moisture: float) -> None:
    """Wengert's rule of thumb in Woodworking Network, whole per cents, at 70 °F."""
    assert equilibrium_moisture_pct(21.11, rh) == pytest.approx(moisture, abs=0.5)


def with_coefficient(value: float) -> Species:
    alder = find_species("red alder")
    datum = Datum(
        quantity=Quantity.TANGENTIAL_COEFFICIENT,
        amount=value,
        printed=str(value),
        certainty=Certainty.SEEN,
        source="YOURS",
    )
    return replace(alder, data=(datum,))


def test_red_alder_of_eight_inches() -> None:
    """WOOD magazine, September 2021: flat-sawn red alder 8 in, 6 points, .0026: .1248 in."""
    moved = movement_across(with_coefficient(0.0026), from_pct=8.0, to_pct=14.0)
    assert f"{moved.change_mm(8.0):.4f}" == "0.1248"


def test_mesquite_floor_strip() -> None:
    """A flooring trade text: mesquite 5 in, 6 to 9 %, .00129: .019 in."""
    moved = movement_across(with_coefficient(0.00129), from_pct=6.0, to_pct=9.0)
    assert f"{moved.change_mm(5.0):.3f}" == "0.019"


def test_red_oak_floor_strip() -> None:
    """Hardwood Floors magazine, 6 December 2016: red oak 5 in, 6 to 9 %, .00369: .055 in."""
    moved = movement_across(find_species("red oak"), from_pct=6.0, to_pct=9.0)
    assert f"{moved.change_mm(5.0):.3f}" == "0.055"
    assert moved.form is Form.COEFFICIENT
    assert moved.warnings == ()


def test_walnut_outside_the_range_of_the_coefficients() -> None:
    """A published example: walnut 800 mm, 12 to 16 %, .00274: 8.8 mm; outside 6 to 14 %."""
    moved = movement_across(
        find_species("walnut"), from_pct=12.0, to_pct=16.0, form=Form.COEFFICIENT
    )
    assert f"{moved.change_mm(800.0):.1f}" == "8.8"
    assert "6 to 14 %" in moved.warnings[0]


def test_shrinkage_form_against_a_timber_design_course() -> None:
    """Missouri S&T timber design problem: depth 13.25 in, 19 to 10 %, 6 % over 30 points.

    The course takes 0.2 % of the depth at the start per point: 0.2385 in. Eq. 13-3 refers the
    same shrinkage to the size at 19 %, so it is larger by the swelling already there (2.2 %).
    """
    datum = Datum(
        quantity=Quantity.TANGENTIAL_SHRINKAGE,
        amount=6.0,
        printed="6",
        certainty=Certainty.SEEN,
        source="YOURS",
    )
    wood = replace(find_species("ebony"), data=(datum,))
    moved = movement_across(wood, from_pct=19.0, to_pct=10.0)
    assert moved.form is Form.SHRINKAGE
    assert -moved.change_mm(13.25) * (1.0 - 0.06 * 11.0 / 30.0) == pytest.approx(0.2385, abs=5e-5)


_OTHER_RULE = {
    # commercial group rows, and woods whose shrinkage starts lower (equations behind Table 13-5)
    "oak-red-northern-red",
    "oak-white-white",
    "hickory-true-shagbark",
    "cedar-western-redcedar",
    "redwood-old-growth",
    "mahogany-true",
    "teak",
}


def test_coefficients_and_shrinkage_of_two_tables_agree() -> None:
    """Wood Handbook Tables 13-5 and 4-3/4-4: C = (S/3000) / (1 − S/100 · 20/30), to 0.00001.

    Only pairs where both figures were read, none from memory.
    """
    read = (Certainty.SEEN, Certainty.AGREED)
    checked = 0
    for species in all_species():
        if species.key in _OTHER_RULE:
            continue
        for c, s in (
            (Quantity.RADIAL_COEFFICIENT, Quantity.RADIAL_SHRINKAGE),
            (Quantity.TANGENTIAL_COEFFICIENT, Quantity.TANGENTIAL_SHRINKAGE),
        ):
            coefficient, shrinkage = species.datum(c), species.datum(s)
            if coefficient is None or shrinkage is None:
                continue
            if coefficient.certainty in read and shrinkage.certainty in read:
                reckoned = coefficient_from_shrinkage(shrinkage.amount)
                assert reckoned == pytest.approx(coefficient.amount, abs=1.05e-5), species.key
                checked += 1
    assert checked >= 36


def test_hankinson_at_both_ends_and_by_hand() -> None:
    """Hankinson (1921); at 45° and n = 2 it is twice the harmonic half: 2PQ/(P + Q)."""
    assert at_grain_angle(100.0, 5.0, angle_deg=0.0) == 100.0
    assert at_grain_angle(100.0, 5.0, angle_deg=90.0) == 5.0
    half = at_grain_angle(100.0, 5.0, angle_deg=45.0)
    assert half == pytest.approx(2.0 * 100.0 * 5.0 / 105.0, rel=1e-12)


def test_strength_of_white_ash_at_eight_per_cent() -> None:
    """Wood Handbook, FPL-GTR-282 (2021), p. 5-34: 103,000 and 66,000 kPa, M_p 24: 119,500 kPa."""
    reckoned = strength_at_moisture(103_000, 66_000, moisture_pct=8.0, meeting_pct=24.0)
    assert round(reckoned, -2) == 119_500


def test_simpsons_calculator_at_seventy_degrees_fahrenheit() -> None:
    """Simpson's Research Note FPL-RN-0268 calculator: 25 % RH 5.3 %, 60 % 11.1 %, 84 % 17.6 %.

    Its humidities are printed as whole per cents, half of which is 0.15 % of moisture.
    """
    for rh, printed in ((25.0, 5.3), (60.0, 11.1), (84.0, 17.6), (87.0, 19.0)):
        slack = 0.5 * (
            equilibrium_moisture_pct(21.11, rh + 0.5) - equilibrium_moisture_pct(21.11, rh - 0.5)
        )
        assert equilibrium_moisture_pct(21.11, rh) == pytest.approx(printed, abs=slack + 0.05)
