"""Own woods in a shop file: read with the rest, every fault told with its line."""

from __future__ import annotations

import pytest

from seamwright.errors import ShopError
from seamwright.plan import default_shop, read_own_woods, read_shop
from seamwright.woods import Certainty, Quantity, find_species

PLUM = """
[saws]
table_kerf = 2.4

[woods.plum]
like = "black cherry"
colour = "#8A4B3C"

[woods."black walnut"]
colour = "#112233"
side_hardness_lbf = 1100
"""


def test_woods_stand_beside_the_machines() -> None:
    assert read_shop(PLUM).saws.table_kerf_mm == 2.4
    plum, walnut = read_own_woods(PLUM)
    assert (plum.name, plum.colour, plum.like) == ("plum", "#8a4b3c", "black cherry")
    assert find_species("Black-Walnut", own=(plum, walnut)) is walnut


def test_a_wood_of_ours_keeps_its_values_and_sources() -> None:
    _, walnut = read_own_woods(PLUM)
    ours = find_species("black walnut")
    assert walnut.colour == "#112233"
    assert walnut.datum(Quantity.BENDING_MODULUS) == ours.datum(Quantity.BENDING_MODULUS)
    hardness = walnut.datum(Quantity.SIDE_HARDNESS)
    assert hardness is not None
    assert hardness.certainty is Certainty.YOURS
    assert hardness.amount == pytest.approx(1100 * 4.4482216)
    assert walnut.hazard == ours.hazard


def test_without_woods_there_are_none() -> None:
    assert read_own_woods("[saws]\ntable_kerf = 2.4") == ()
    assert read_shop("[woods]") == default_shop()


@pytest.mark.parametrize(
    ("text", "code", "line"),
    [
        ("woods = 3", "W124", 1),
        ("[woods]\nplum = 3", "W124", None),
        ('[woods.plum]\nlike = "blak cherry"', "W101", 1),
        ('\n[woods.plum]\ncolour = "red"', "W122", 2),
        ("[woods.plum]\ntangental_coefficient = 1", "W120", 1),
        ("[woods.plum]\ngravity_12 = -1", "W121", 1),
        ('[woods.plum]\n[woods."Plum"]', "W124", 2),
        ('[woods."  "]\ngravity_12 = 1', "W124", 1),
        (f'[woods."{"x" * 100}"]', "W124", 1),
        ("\n".join(f"[woods.w{n}]" for n in range(201)), "W124", None),
    ],
)
def test_faults_are_told_by_both_readers(text: str, code: str, line: int | None) -> None:
    for reader in (read_shop, read_own_woods):
        with pytest.raises(ShopError) as caught:
            reader(text)
        (fault,) = caught.value.faults
        assert (fault.code, fault.line) == (code, line)


def test_all_faults_come_at_once() -> None:
    with pytest.raises(ShopError) as caught:
        read_shop('[saws]\ntable_kerf = 0\n[woods.plum]\ncolour = "red"\nlike = "x"')
    assert {fault.code for fault in caught.value.faults} == {"P205", "W122", "W101"}
