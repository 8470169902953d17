from __future__ import annotations

import re

import pytest

from seamwright.errors import WoodError
from seamwright.woods import Certainty, Quantity, all_species, find_species, sources


@pytest.mark.parametrize(
    ("said", "key"),
    [
        ("sugar maple", "maple-sugar"),
        ("Hard  Maple", "maple-sugar"),
        ("black walnut", "walnut-black"),
        ("walnut-black", "walnut-black"),
        ("purple heart", "purpleheart"),
        ("Yellow Poplar", "yellow-poplar"),
        ("jatoba", "courbaril"),
    ],
)
def test_a_wood_is_found_by_any_of_its_names(said: str, key: str) -> None:
    assert find_species(said).key == key


def test_a_slip_of_the_pen_is_answered_with_the_nearest_names() -> None:
    with pytest.raises(WoodError, match=r"did you mean .*black walnut") as caught:
        find_species("black wallnut")
    assert caught.value.faults[0].code == "W101"


def test_a_name_of_several_woods_is_answered_with_all_of_them() -> None:
    with pytest.raises(WoodError, match="bigleaf maple, red maple, silver maple or sugar maple"):
        find_species("maple")


@pytest.mark.parametrize("name", ["", "   ", "🪵", "x" * 5000])
def test_nonsense_is_refused_in_words(name: str) -> None:
    with pytest.raises(WoodError):
        find_species(name)


def test_no_two_woods_share_a_name_or_a_colour() -> None:
    names = [n for s in all_species() for n in {s.key, s.name, *s.also}]
    assert len(names) == len(set(names))
    colours = [s.colour for s in all_species()]
    assert len(set(colours)) == len(colours)
    assert all(re.fullmatch("#[0-9a-f]{6}", colour) for colour in colours)


def test_every_value_has_a_known_source_and_stands_once() -> None:
    codes = sources()
    for species in all_species():
        quantities = [datum.quantity for datum in species.data]
        assert len(quantities) == len(set(quantities)), species.key
        for datum in species.data:
            assert datum.source in codes
            assert datum.amount > 0.0
            from_memory = datum.certainty in (Certainty.MEMORY, Certainty.CONFIRMED)
            assert (datum.source == "MEMORY") == from_memory, (species.key, datum)
        for fact in (species.botanical, species.porosity, species.bonding):
            assert fact is None or set(fact.sources) <= set(codes)


def test_what_is_missing_stays_missing_and_is_named() -> None:
    ebony = find_species("ebony")
    assert ebony.data == ()
    assert ebony.missing == tuple(Quantity)
    with pytest.raises(WoodError, match="ebony has no value for side hardness") as caught:
        ebony.needed(Quantity.SIDE_HARDNESS)
    assert caught.value.faults[0].code == "W110"


def test_printed_units_become_newton_and_megapascal() -> None:
    maple = find_species("sugar maple")
    assert maple.needed(Quantity.SIDE_HARDNESS) == pytest.approx(6450, abs=5)
    assert maple.needed(Quantity.BENDING_MODULUS) == pytest.approx(12617, abs=5)
    assert maple.datum(Quantity.BENDING_MODULUS).printed == "1.83"  # type: ignore[union-attr]
