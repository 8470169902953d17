from __future__ import annotations

from dataclasses import replace

import pytest

from seamwright.errors import WoodError
from seamwright.woods import Certainty, Quantity, find_species, own_species, with_stand_ins


def test_an_own_wood_is_found_before_ours() -> None:
    mine = own_species("sugar maple", {"like": "sugar maple", "bending_modulus_psi": 2_000_000})
    assert find_species("Sugar Maple", own=(mine,)) is mine
    assert mine.amount(Quantity.BENDING_MODULUS) == pytest.approx(13790, abs=1)
    assert mine.datum(Quantity.SHEAR_ALONG).certainty is Certainty.STAND_IN  # type: ignore[union-attr]
    assert mine.porosity is not None
    assert mine.porosity.note == "as sugar maple"


def test_every_fault_of_an_own_wood_is_told_at_once() -> None:
    table = {
        "like": "blck walnut",
        "colour": "brown",
        "group": "tree",
        "tangental_coefficient": 0.002,
        "radial_shrinkage": -3,
        "side_hardness_lbf": True,
    }
    with pytest.raises(WoodError) as caught:
        own_species("oddwood", table)
    codes = sorted(fault.code for fault in caught.value.faults)
    assert codes == ["W101", "W120", "W121", "W121", "W122", "W123"]
    assert "did you mean tangential_coefficient?" in str(caught.value)


def test_stand_ins_are_marked_and_never_touch_a_known_value() -> None:
    maple = find_species("sugar maple")
    full, added = with_stand_ins(maple)
    assert {d.quantity for d in added} == {Quantity.TENSION_ACROSS, Quantity.RATIO_GRT_EL}
    assert all(d.certainty is Certainty.STAND_IN and d.note for d in added)
    assert set(maple.data) <= set(full.data)


def test_the_stand_in_for_tension_lies_near_the_known_ones() -> None:
    """Cherry's own value, had it been missing, would come out within a third."""
    cherry = find_species("cherry")
    known = cherry.needed(Quantity.TENSION_ACROSS)
    gravity_only = tuple(d for d in cherry.data if d.quantity is Quantity.GRAVITY_12)
    full, _ = with_stand_ins(replace(cherry, data=gravity_only))
    assert full.needed(Quantity.TENSION_ACROSS) == pytest.approx(known, rel=0.34)


def test_stiffness_is_never_made_up() -> None:
    full, _ = with_stand_ins(find_species("padauk"))
    assert full.amount(Quantity.BENDING_MODULUS) is None
    assert full.amount(Quantity.TENSION_ACROSS) is None
