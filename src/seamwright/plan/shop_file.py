"""Shop profiles: the default one, and files that say where a shop differs from it."""

from __future__ import annotations

import difflib
import math
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cache
from importlib.resources import files
from typing import Any

from seamwright.errors import Fault, ShopError
from seamwright.plan.own_woods import SECTION, own_woods
from seamwright.plan.shop import (
    Allowances,
    Clamps,
    Limits,
    Minutes,
    Overlays,
    Saws,
    Shop,
    SmallParts,
)
from seamwright.woods import Species

_SECTIONS: dict[str, type[Saws | Allowances | Limits | Minutes | SmallParts | Overlays]] = {
    "saws": Saws,
    "allowances": Allowances,
    "limits": Limits,
    "minutes": Minutes,
    "small_parts": SmallParts,
    "overlays": Overlays,
}
_MONEY = "money"
_BESIDE = ("accuracy", "losses", "gluing")
"""Tables read for other things than the plan; see ``plan.accuracy`` and ``plan.pressing``."""
_MAKER: Mapping[str, str] = {"name": "", "currency": "", "margin": "on cost"}
"""Texts of the table ``maker`` and what counts where the file says nothing."""
_LONGEST_TEXT = 80
_WANTED = {
    "mm": "a length in mm",
    "min": "minutes",
    "money": "an amount",
    "%": "per cent",
    "°": "degrees",
    "g/m²": "grams on a square metre",
}
_AT_LINE = re.compile(r"\(at line (\d+), column \d+\)")
_LARGEST_FILE = 100_000


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopSource:
    """One value of the default profile and where it comes from.

    Attributes:
        section, key: where it stands in a shop file.
        unit: "mm", "min", "money", "%", "°", "g/m²", or "" for a whole number.
        value: the default.
        least, most: what a shop file may say.
        about: what it is, in words.
        source: where it comes from; says so where it is common practice or from memory.
    """

    section: str
    key: str
    unit: str
    value: float
    least: float
    most: float
    about: str
    source: str

    @property
    def name(self) -> str:
        """Section and key, as in a shop file."""
        return f"{self.section}.{self.key}"


MARGINS = ("on cost", "of price")
"""What the margin may be a share of."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Money:
    """Whose shop it is and what it charges.

    Attributes:
        name: the maker's own, as it stands on papers for a customer; "" where none is given.
        currency: sign or code shown with amounts.
        margin: one of ``MARGINS``.
        values: every number of the table ``money`` by its key.
        is_example: the file gives no prices of its own, so those of our example count.
    """

    name: str
    currency: str
    margin: str
    values: Mapping[str, float]
    is_example: bool


@cache
def shop_sources() -> tuple[ShopSource, ...]:
    """Every value of the default profile with its source, in the order of the file."""
    text = files("seamwright.plan").joinpath("shop_defaults.toml").read_text(encoding="utf-8")
    return tuple(
        ShopSource(section=section, key=key, **entry)
        for section, entries in tomllib.loads(text).items()
        for key, entry in entries.items()
    )


def default_shop() -> Shop:
    """The shop used where the user's file says nothing.

    >>> default_shop().saws.table_kerf_mm
    3.175
    """
    return _shop({source.name: source.value for source in shop_sources()})


def read_shop(text: str) -> Shop:
    """Read a shop profile; what it leaves out keeps its default.

    Args:
        text: TOML with the tables ``saws``, ``allowances``, ``limits``, ``minutes``,
            ``small_parts``, ``overlays``, ``woods``, ``money``, ``maker``, ``accuracy``,
            ``losses`` and ``gluing``; ``woods``, ``money``, ``maker``, ``accuracy`` and
            ``losses`` say nothing of the plan, and ``gluing`` only its clamps and cauls: see
            ``read_money``, ``read_accuracy`` and ``read_gluing``.
    Returns:
        The shop; its own woods are read by ``read_own_woods``.
    Raises:
        ShopError: with every fault found: bad TOML, unknown words, values out of range.

    >>> read_shop("[saws]\\ntable_kerf = 2.4").saws.table_kerf_mm
    2.4
    """
    return _shop(_read(text)[0])


def read_money(text: str) -> Money:
    """What a shop file says of its maker and its prices.

    Raises:
        ShopError: as for ``read_shop``.

    >>> read_money("[money]\\nhour = 55").values["hour"], read_money("").is_example
    (55.0, True)
    """
    values, maker, has_money = _read(text)
    own = {source.key: values[source.name] for source in shop_sources() if source.section == _MONEY}
    usual = {source.key: source.value for source in shop_sources() if source.section == _MONEY}
    return Money(
        name=maker["name"],
        currency=maker["currency"],
        margin=maker["margin"],
        values=own,
        is_example=not has_money or own == usual,
    )


def shop_values(text: str) -> dict[str, float]:
    """Every number a shop file comes to, by its name such as ``saws.table_kerf``.

    Raises:
        ShopError: as for ``read_shop``.
    """
    return _read(text)[0]


def _read(text: str) -> tuple[dict[str, float], dict[str, str], bool]:
    written = _parsed(text)
    values = {source.name: source.value for source in shop_sources()}
    maker = dict(_MAKER)
    known = (*_SECTIONS, *_BESIDE, SECTION, _MONEY, "maker")
    faults: list[Fault] = []
    for section, table in written.items():
        if section == SECTION:
            faults.extend(own_woods(table, text)[1])
        elif section not in known:
            faults.append(_unknown(section, known, text, ("", section)))
        elif not isinstance(table, dict):
            faults.append(
                Fault("P202", section, "is one value", f"write it as a table, [{section}]")
            )
        elif section == "maker":
            faults.extend(_read_maker(table, text, maker))
        else:
            faults.extend(_read_section(section, table, text, values))
    if not faults:
        faults.extend(_disagreements(values, text))
    if faults:
        raise ShopError(*faults)
    return values, maker, bool(written.get(_MONEY))


def _read_maker(table: Mapping[str, object], text: str, maker: dict[str, str]) -> list[Fault]:
    faults = []
    for key, written in table.items():
        line = _line_of(text, "maker", key)
        if key not in _MAKER:
            faults.append(_unknown(f"maker.{key}", tuple(_MAKER), text, ("maker", key)))
        elif not isinstance(written, str) or len(written) > _LONGEST_TEXT or "\0" in written:
            faults.append(
                Fault(
                    "P204",
                    f"maker.{key}",
                    f"is {str(written)[:40]!r}",
                    f"write a text of {_LONGEST_TEXT} letters at most, in quotes",
                    line=line,
                )
            )
        elif key == "margin" and written not in MARGINS:
            faults.append(
                Fault(
                    "P204",
                    "maker.margin",
                    f"is {written!r}",
                    f"write {' or '.join(MARGINS)}",
                    line=line,
                )
            )
        else:
            maker[key] = written.strip()
    return faults


def read_own_woods(text: str) -> tuple[Species, ...]:
    """The user's own woods in a shop profile, in the order of the file.

    Raises:
        ShopError: bad TOML, or anything is wrong with a wood; every fault found.

    >>> plum, = read_own_woods('[woods.plum]\\nlike = "black cherry"\\ncolour = "#8a4b3c"')
    >>> plum.name, plum.colour
    ('plum', '#8a4b3c')
    """
    woods, faults = own_woods(_parsed(text).get(SECTION, {}), text)
    if faults:
        raise ShopError(*faults)
    return woods


def _shop(values: Mapping[str, float]) -> Shop:
    def part(section: str) -> dict[str, Any]:
        return {
            field.name: (round if field.type == "int" else float)(
                values[f"{section}.{field.name.removesuffix('_mm')}"]
            )
            for field in fields(_SECTIONS[section])
            if f"{section}.{field.name.removesuffix('_mm')}" in values
        }

    return Shop(
        saws=Saws(**part("saws")),
        allowances=Allowances(**part("allowances")),
        limits=Limits(**part("limits")),
        minutes=Minutes(**part("minutes")),
        small_parts=SmallParts(**part("small_parts")),
        overlays=Overlays(backings=0, **part("overlays")),
        clamps=Clamps(
            count=round(values["gluing.clamps"]),
            caul_mm=float(values["gluing.caul"]),
            caul_most_mm=float(max(values["gluing.caul"], values["gluing.caul_most"])),
            caul_minutes=float(values["gluing.caul_minutes"]),
        ),
    )


def _parsed(text: str) -> dict[str, object]:
    if len(text) > _LARGEST_FILE:
        raise ShopError(
            Fault("P200", "the shop file", "is far too long", "a profile is a page at most")
        )
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        at = _AT_LINE.search(str(error))
        raise ShopError(
            Fault(
                "P201",
                "the shop file",
                f"is not valid TOML: {_AT_LINE.sub('', str(error)).strip()}",
                "lines look like  table_kerf = 2.4  under a heading like  [saws]",
                line=int(at.group(1)) if at else None,
            )
        ) from None
    except RecursionError:
        raise ShopError(
            Fault("P201", "the shop file", "is nested far too deep", "two levels are enough")
        ) from None


def _read_section(
    section: str, table: Mapping[str, object], text: str, values: dict[str, float]
) -> list[Fault]:
    known = {source.key: source for source in shop_sources() if source.section == section}
    faults: list[Fault] = []
    for key, written in table.items():
        source = known.get(key)
        if source is None:
            faults.append(_unknown(f"{section}.{key}", tuple(known), text, (section, key)))
            continue
        value = _number(written)
        line = _line_of(text, section, key)
        if value is None:
            wanted = _WANTED.get(source.unit, "a whole number")
            faults.append(
                Fault(
                    "P204",
                    source.name,
                    f"is {str(written)[:40]!r}",
                    f"write {wanted} as a number, such as {source.value:g}",
                    line=line,
                )
            )
        elif not source.least <= value <= source.most or (not source.unit and value % 1):
            faults.append(_out_of_range(source, value, line))
        else:
            values[source.name] = value
    return faults


def _out_of_range(source: ShopSource, value: float, line: int | None) -> Fault:
    unit = f" {source.unit}" if source.unit else ""
    whole = "" if source.unit else "whole numbers "
    return Fault(
        "P205",
        source.name,
        f"is {value:g}{unit} ({source.about})",
        f"use {whole}{source.least:g} to {source.most:g}{unit}; the default is {source.value:g}",
        line=line,
    )


def _number(written: object) -> float | None:
    if isinstance(written, bool) or not isinstance(written, int | float):
        return None
    try:
        value = float(written)
    except OverflowError:
        return math.inf
    return None if math.isnan(value) else value


def _disagreements(values: Mapping[str, float], text: str) -> list[Fault]:
    pairs = (
        ("limits", "stick_min_length", "stick_length", "no stick could be milled"),
        ("limits", "stick_min_width", "stock_width", "no stick could be ripped"),
        ("limits", "stick_min_depth", "stock_thickness", "no stick could be planed"),
    )
    return [
        Fault(
            "P206",
            f"{section}.{low}",
            f"is {values[f'{section}.{low}']:g} mm, more than {section}.{high}, "
            f"{values[f'{section}.{high}']:g} mm: {why}",
            "make it the smaller of the two",
            line=_line_of(text, section, low) or _line_of(text, section, high),
        )
        for section, low, high, why in pairs
        if values[f"{section}.{low}"] > values[f"{section}.{high}"]
    ]


def _unknown(name: str, known: tuple[str, ...], text: str, where: tuple[str, str]) -> Fault:
    close = difflib.get_close_matches(where[1], known, n=1, cutoff=0.6)
    remedy = f"did you mean {close[0]}?" if close else "known here: " + ", ".join(known)
    return Fault("P203", name[:80], "is not known", remedy, line=_line_of(text, *where))


def _line_of(text: str, section: str, key: str) -> int | None:
    """Where a key is written, found by reading lines; None where it is written in an odd way."""
    here = ""
    plain = rf"^\s*\"?{re.escape(key)}\"?\s*="
    dotted = rf"^\s*{re.escape(section)}\s*\.\s*\"?{re.escape(key)}\"?\s*="
    for number, line in enumerate(text.splitlines(), start=1):
        heading = re.match(r"^\s*\[+\s*([^\]]+?)\s*\]+", line)
        if heading:
            here = heading.group(1)
            if not section and here == key:
                return number
        elif (here == section and re.match(plain, line)) or (not here and re.match(dotted, line)):
            return number
    return None
