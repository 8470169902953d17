"""Shop profiles: defaults with sources, partial files, faults collected."""

from __future__ import annotations

from dataclasses import fields

import pytest
from hypothesis import given
from hypothesis import strategies as st

from seamwright.errors import ShopError
from seamwright.plan import Shop, default_shop, read_shop, shop_sources


def faults_of(text: str) -> dict[str, str]:
    with pytest.raises(ShopError) as caught:
        read_shop(text)
    return {fault.subject: str(fault) for fault in caught.value.faults}


ELSEWHERE = {
    # the table of clamps and glue holds them
    "clamps.count": "gluing.clamps",
    "clamps.caul": "gluing.caul",
    "clamps.caul_most": "gluing.caul_most",
    "clamps.caul_minutes": "gluing.caul_minutes",
    # said by the drawing, not by the shop
    "overlays.backings": "overlays.least",
}


def test_every_field_of_the_shop_has_a_default_with_a_source() -> None:
    named = {source.name for source in shop_sources()}
    for part in fields(Shop):
        for field in fields(getattr(default_shop(), part.name)):
            name = f"{part.name}.{field.name.removesuffix('_mm')}"
            assert ELSEWHERE.get(name, name) in named
    for source in shop_sources():
        assert len(source.source) > 10
        assert source.about
        assert source.least <= source.value <= source.most
        assert source.unit in {"mm", "min", "money", "%", "°", "g/m²", ""}


def test_an_empty_file_is_the_default_shop() -> None:
    assert read_shop("") == default_shop()


def test_a_file_changes_only_what_it_says() -> None:
    shop = read_shop("[saws]\ntable_kerf = 2.4\n[limits]\nseams_per_glue_up = 6\n")
    assert shop.saws.table_kerf_mm == 2.4
    assert shop.limits.seams_per_glue_up == 6
    assert isinstance(shop.limits.seams_per_glue_up, int)
    assert shop.saws.resaw_kerf_mm == default_shop().saws.resaw_kerf_mm
    assert shop.minutes == default_shop().minutes


def test_every_default_may_be_written_out_by_hand() -> None:
    lines: list[str] = []
    for source in shop_sources():
        if f"[{source.section}]" not in lines:
            lines.append(f"[{source.section}]")
        lines.append(f"{source.key} = {source.value!r}")
    assert read_shop("\n".join(lines)) == default_shop()


def test_all_faults_are_told_at_once_with_their_lines() -> None:
    faults = faults_of(
        "[saws]\ntable_kref = 2\n\n[limits]\nslice_min = -1\nseams_per_glue_up = 2.5\n"
        "clamp_reach = true\n[minuts]\nstick = 1\n"
    )
    assert "line 2" in faults["saws.table_kref"]
    assert "did you mean table_kerf?" in faults["saws.table_kref"]
    assert "line 5" in faults["limits.slice_min"]
    assert "1 to 200 mm" in faults["limits.slice_min"]
    assert "whole numbers" in faults["limits.seams_per_glue_up"]
    assert "line 7" in faults["limits.clamp_reach"]
    assert "did you mean minutes?" in faults["minuts"]
    assert "line 8" in faults["minuts"]


@pytest.mark.parametrize(
    ("text", "line"),
    [("[saws]\ntable_kerf = = 2", "line 2"), ("saws", "TOML"), ("saws = 3", "as a table")],
)
def test_text_that_is_no_profile_is_refused_in_words(text: str, line: str) -> None:
    assert any(line in told for told in faults_of(text).values())


@pytest.mark.parametrize("number", ["nan", "inf", str(10**400)])
def test_numbers_that_are_no_sizes_are_refused(number: str) -> None:
    assert "saws.table_kerf" in faults_of(f"[saws]\ntable_kerf = {number}")


def test_limits_that_leave_no_stick_at_all_are_refused() -> None:
    faults = faults_of("[limits]\nstick_length = 200\n")
    assert "no stick could be milled" in faults["limits.stick_min_length"]


def test_deep_nesting_and_huge_files_are_refused() -> None:
    assert faults_of("a = " + "[" * 50_000 + "]" * 49_000)
    assert "too long" in faults_of("#" * 200_000)["the shop file"]


@given(st.text(max_size=60))
def test_no_text_gives_anything_but_a_shop_or_a_refusal(text: str) -> None:
    try:
        told: object = read_shop(text)
    except ShopError as refused:
        told = refused
    assert isinstance(told, Shop | ShopError)
    assert str(told)
