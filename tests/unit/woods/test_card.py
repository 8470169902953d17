from __future__ import annotations

import json

from seamwright.woods import all_species, card, find_species, own_species, strength_at_moisture


def test_a_card_shows_every_value_with_its_source_and_what_is_missing() -> None:
    shown = json.loads(json.dumps(card(find_species("hard maple")), allow_nan=False))
    assert shown["schema"] == "seamwright.wood/1"
    hardness = next(v for v in shown["values"] if v["quantity"] == "side_hardness")
    assert hardness["printed"] == "1450 lbf"
    assert "FPL-GTR-282 (2021), Table 5-3b" in hardness["source"]
    ratio = next(v for v in shown["values"] if v["quantity"] == "ratio_et_el")
    assert ratio["source"] == "from memory"
    assert "(from memory)" in ratio["said"]
    assert shown["missing"] == ["tension across the grain", "stiffness ratio G_RT/E_L"]


def test_every_wood_has_a_card() -> None:
    for species in all_species():
        assert len(card(species)["values"]) == len(species.data)  # type: ignore[arg-type]


def test_an_own_wood_says_so_and_an_empty_one_says_what_is_missing() -> None:
    shown = card(own_species("pear", {"tangential_coefficient": 0.003}))
    assert shown["own"] is True
    assert len(shown["missing"]) == 24  # type: ignore[arg-type]


def test_wet_wood_is_as_weak_as_green() -> None:
    assert strength_at_moisture(100.0, 60.0, moisture_pct=30.0) == 60.0
    assert strength_at_moisture(100.0, 60.0, moisture_pct=12.0) == 100.0
