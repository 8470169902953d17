"""Presets of the air a board lives in."""

from __future__ import annotations

import difflib
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources

from seamwright.errors import Fault, WoodError
from seamwright.woods.moisture import equilibrium_moisture_pct


@dataclass(frozen=True, slots=True, kw_only=True)
class Climate:
    """A place and season.

    Attributes:
        key: short name ("heated-house-winter").
        name: the name in words.
        moisture_pct: moisture the wood comes to [%].
        temperature_c, humidity_pct: the air, or None where only the wood's moisture is known.
        source: code of where the air or the moisture comes from (see ``sources``).
        note: what else to know.
    """

    key: str
    name: str
    moisture_pct: float
    temperature_c: float | None
    humidity_pct: float | None
    source: str
    note: str = ""


def in_air(*, name: str, temperature_c: float, humidity_pct: float) -> Climate:
    """The user's own air.

    Raises:
        WoodError: temperature or humidity is out of range.
    """
    return Climate(
        key="yours",
        name=name,
        moisture_pct=equilibrium_moisture_pct(temperature_c, humidity_pct),
        temperature_c=temperature_c,
        humidity_pct=humidity_pct,
        source="YOURS",
    )


@cache
def climates() -> tuple[Climate, ...]:
    """All presets, in the order of their file."""
    text = resources.files("seamwright.woods").joinpath("data", "climates.toml").read_text("utf-8")
    return tuple(_climate(key, table) for key, table in tomllib.loads(text).items())


def find_climate(key: str) -> Climate:
    """The preset of a key.

    Raises:
        WoodError: there is none (W133), with the nearest ones.
    """
    by_key = {climate.key: climate for climate in climates()}
    wanted = key.strip().casefold().replace(" ", "-").replace(",", "")
    if wanted in by_key:
        return by_key[wanted]
    near = difflib.get_close_matches(wanted, by_key, n=2) or list(by_key)
    raise WoodError(Fault("W133", f'the climate "{key}"', "is not known", "try " + ", ".join(near)))


def _climate(key: str, table: dict[str, float | str]) -> Climate:
    air = None
    if "temperature_c" in table:
        air = (float(table["temperature_c"]), float(table["humidity_pct"]))
    return Climate(
        key=key,
        name=str(table["name"]),
        moisture_pct=equilibrium_moisture_pct(*air) if air else float(table["moisture_pct"]),
        temperature_c=air[0] if air else None,
        humidity_pct=air[1] if air else None,
        source=str(table["source"]),
        note=str(table.get("note", "")),
    )
