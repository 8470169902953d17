"""Read the values of a TOML table, noting whatever is wrong with them."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from functools import lru_cache
from typing import TypeVar

from seamwright.design.findings import Findings
from seamwright.design.source import Path, as_table
from seamwright.design.wording import as_list, kind_of, listed, short
from seamwright.errors import LengthError
from seamwright.lengths import Unit, parse_length

LARGEST_MM = Fraction(10_000)
"""No board, block or coordinate reaches further [mm]."""

MOST_SIZES = 20_000
"""Columns or rows of the largest grid."""

MOST_POINTS = 1000
"""Corner points of the largest patch."""

SMALLEST_MM = Fraction(1, 5)
"""Nothing drawn is smaller than a sliver [mm]."""

_DEGREES = re.compile(r"-?[0-9]{1,3}(\.[0-9]{1,20})?")

Choice = TypeVar("Choice", bound=Enum)
Exact = tuple[Fraction, Fraction]


class Table:
    """A table of the file: its values, where it stands, and where to note faults."""

    def __init__(
        self, values: Mapping[str, object], *, path: Path, findings: Findings, unit: Unit
    ) -> None:
        self.values = values
        self.path = path
        self.findings = findings
        self.unit = unit

    def __contains__(self, key: str) -> bool:
        return key in self.values

    def fault(
        self, code: str, key: str | None, message: str, remedy: str = "", *, row: int | None = None
    ) -> None:
        """Note a fault of a key, or of the table itself."""
        self.findings.add(code, self.path + ((key,) if key else ()), message, remedy, row=row)

    def line(self, key: str | None = None, *, row: int | None = None) -> int | None:
        """Line of a key, or of the table itself."""
        return self.findings.line(self.path + ((key,) if key else ()), row=row)

    def only(self, *known: str) -> None:
        """Note every key that is not known, with the nearest known one."""
        for key in self.values:
            if key not in known:
                near = difflib.get_close_matches(key, known, n=1)
                remedy = f'did you mean "{near[0]}"?' if near else f"known are {', '.join(known)}"
                self.fault("D201", key, "is an unknown key", remedy)

    def need(self, key: str, example: str) -> bool:
        """Whether a key is there; noted where it is missing."""
        if key not in self.values:
            self.fault("D202", None, f"has no {key}", f"write for example {key} = {example}")
        return key in self.values

    def text(self, key: str) -> str | None:
        """A text, or None where it is missing or something else."""
        value = self.values.get(key)
        if value is None:
            return None
        if not isinstance(value, str):
            self.fault("D203", key, f"is {kind_of(value)}", "write it as text in quotes")
            return None
        return value

    def label(self, key: str, *, most: int) -> str | None:
        """A short text of one line that can be printed, or None."""
        value = self.text(key)
        if value is None:
            return None
        tidy = " ".join("".join(c if c.isprintable() else " " for c in value).split())
        if not tidy or len(tidy) > most:
            self.fault("D215", key, f"is {short(value)}", f"write 1 to {most} characters")
            return None
        return tidy

    def choice(self, key: str, kind: type[Choice], default: Choice) -> Choice:
        """One of a few words."""
        word = self.text(key)
        if word is None:
            return default
        words = [str(member.value) for member in kind]
        if word not in words:
            near = difflib.get_close_matches(word, words, n=1)
            hint = f"did you mean {near[0]!r}?" if near else f"write one of {', '.join(words)}"
            self.fault("D204", key, f"is {short(word)}", hint)
            return default
        return kind(word)

    def whole(self, key: str, *, low: int, high: int, default: int) -> int:
        """A whole number within limits."""
        value = self.values.get(key, default)
        if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
            self.fault("D205", key, f"is {short(value)}", f"write a number from {low} to {high}")
            return default
        return value

    def length(self, key: str) -> Fraction | None:
        """A size [mm], more than a sliver and no more than ten metres."""
        value = self.values.get(key)
        return None if value is None else self.size(key, value)

    def lengths(self, key: str) -> tuple[Fraction, ...] | None:
        """A list of sizes [mm]: one text with spaces between, an array, or one number."""
        value = self.values.get(key)
        if value is None:
            return None
        items = listed(value)
        if len(items) > MOST_SIZES:
            self.fault("D216", key, f"has {len(items)} sizes", f"{MOST_SIZES} is the most")
            return None
        sizes = [self.size(key, item) for item in items]
        if not sizes:
            self.fault("D206", key, "is empty", 'write sizes, for example "1/2 1 1/2"')
        good = tuple(size for size in sizes if size is not None)
        return good if good and len(good) == len(sizes) else None

    def size(self, key: str, value: object) -> Fraction | None:
        """One value as a size [mm] that can be drawn."""
        mm = self.coordinate(key, value)
        if mm is None:
            return None
        if mm <= 0:
            self.fault("D207", key, f"is {short(value)}", "a size must be more than 0")
            return None
        if mm < SMALLEST_MM:
            self.fault("D208", key, f"is {short(value)}", "nothing under 0.2 mm can be made")
            return None
        return mm

    def coordinate(self, key: str, value: object) -> Fraction | None:
        """One value as a length [mm] of any sign, within ten metres."""
        mm = self._length(key, value)
        if mm is not None and abs(mm) > LARGEST_MM:
            self.fault("D209", key, f"is {short(value)}", "10 m (32 ft) is the most")
            return None
        return mm

    def _length(self, key: str, value: object) -> Fraction | None:
        if isinstance(value, str):
            try:
                return _parsed(value, self.unit)
            except LengthError as error:
                fault = error.faults[0]
                self.fault(fault.code, key, f"{fault.subject} {fault.message}")
                return None
        if isinstance(value, int) and not isinstance(value, bool):
            return value * self.unit.mm if abs(value) < 10**9 else LARGEST_MM * 2
        if isinstance(value, Decimal):
            return self._decimal(key, value)
        self.fault("D210", key, f"is {kind_of(value)}", 'write a length, for example "1-3/8"')
        return None

    def _decimal(self, key: str, value: Decimal) -> Fraction | None:
        if not value.is_finite():
            self.fault("D210", key, f"is {value}", "write a length")
            return None
        if value and value.adjusted() > 9:
            return LARGEST_MM * 2 if value > 0 else -LARGEST_MM * 2
        if value and value.adjusted() < -30:
            return Fraction(0)
        return Fraction(value) * self.unit.mm

    def points(self, key: str) -> tuple[Exact, ...] | None:
        """Corner points [mm]: "0,0 1,0 1,1", or an array of pairs."""
        value = self.values.get(key)
        if value is None:
            return None
        points: list[Exact] = []
        items = listed(value)
        if len(items) > MOST_POINTS:
            self.fault("D216", key, f"has {len(items)} points", f"{MOST_POINTS} is the most")
            return None
        for item in items:
            pair: Sequence[object] = item.split(",") if isinstance(item, str) else as_list(item)
            if len(pair) != 2:
                self.fault(
                    "D211", key, f"has {short(item)}", 'write points as x,y: "0,0 1,0 1-1/2,1"'
                )
                return None
            x, y = (self.coordinate(key, part) for part in pair)
            if x is None or y is None:
                return None
            points.append((x, y))
        if len(points) < 3:
            self.fault("D212", key, "has fewer than three points", "a patch needs three corners")
            return None
        return tuple(points)

    def grain(self, key: str = "grain") -> float | None:
        """Direction of the grain [°] in [0, 180), or None where none is given."""
        value = self.values.get(key)
        if value is None:
            return None
        words = {"up": "90", "across": "0"}
        word = words.get(value, value) if isinstance(value, str) else _digits(value)
        degrees = Fraction(word) if _DEGREES.fullmatch(word) else None
        if degrees is None or abs(degrees) > 360:
            remedy = 'write "up", "across" or degrees from x, for example 45'
            self.fault("D213", key, f"is {short(value)}", remedy)
            return None
        return float(degrees % 180)

    def table(self, key: str) -> Table | None:
        """A table within this one."""
        value = self.values.get(key)
        if value is None:
            return None
        inner = as_table(value)
        if inner is None:
            self.fault("D214", key, f"is {kind_of(value)}", f"write it as a table [{key}]")
            return None
        return self._inner(inner, (key,))

    def tables(self, key: str) -> Iterator[Table]:
        """The tables of an array of tables; none where the key is missing."""
        value = self.values.get(key)
        if value is None:
            return
        for index, item in enumerate(as_list(value)):
            inner = as_table(item)
            if inner is not None:
                yield self._inner(inner, (key, index))
            else:
                self.fault("D214", key, f"holds {kind_of(item)}", f"write it as [[{key}]]")
        if not isinstance(value, list):
            self.fault("D214", key, f"is {kind_of(value)}", f"write it as [[{key}]]")

    def _inner(self, values: Mapping[str, object], step: Path) -> Table:
        return Table(values, path=self.path + step, findings=self.findings, unit=self.unit)


@lru_cache(maxsize=1 << 16)
def _parsed(text: str, unit: Unit) -> Fraction:
    """A length in a text; drawings by programs repeat the same few thousand texts."""
    return parse_length(text, unit=unit)


def _digits(value: object) -> str:
    """A TOML number in plain digits, or nothing."""
    if isinstance(value, Decimal) and value.is_finite() and -30 < value.adjusted() < 9:
        return format(value, "f")
    plain = isinstance(value, int) and not isinstance(value, bool) and abs(value) < 10**6
    return str(value) if plain else ""
