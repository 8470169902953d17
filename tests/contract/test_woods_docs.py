"""The pages on woods and soundness name every key and code there is."""

from __future__ import annotations

import re
from pathlib import Path

from seamwright.woods import Quantity, climates

ROOT = Path(__file__).parents[2]
WOODS = (ROOT / "docs" / "reference" / "woods.md").read_text("utf-8")
CODES = (ROOT / "docs" / "reference" / "soundness-codes.md").read_text("utf-8")


def test_every_property_and_climate_is_named() -> None:
    for quantity in Quantity:
        assert f"`{quantity.value}`" in WOODS
    for climate in climates():
        assert f"`{climate.key}`" in WOODS


def covered() -> set[str]:
    """Codes the page names, ranges filled in."""
    found = set(re.findall(r"\b[A-Z]\d+\b", CODES))
    for first, last in re.findall(r"\b([A-Z]\d+)`?(?: to |–)`?([A-Z]\d+)\b", CODES):
        width = len(first) - 1
        for number in range(int(first[1:]), int(last[1:]) + 1):
            found.add(f"{first[0]}{number:0{width}d}")
    return found


def test_every_code_of_a_finding_and_refusal_is_named() -> None:
    used: set[str] = set()
    for room in ("strength", "woods"):
        for file in (ROOT / "src" / "seamwright" / room).rglob("*.py"):
            text = file.read_text("utf-8")
            used |= set(re.findall(r'"([SW]\d{3})"', text))
            used |= set(re.findall(r'code="([A-Z]\d)"', text))
            used |= set(re.findall(r'_finding\("([A-Z]\d)"', text))
    assert len(used) > 35
    assert used <= covered()
