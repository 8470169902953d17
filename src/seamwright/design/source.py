"""From bytes to TOML tables, with the line of every key."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from decimal import Decimal

from seamwright.errors import DesignError, Fault

Path = tuple[str | int, ...]
"""Where a value stands in the file: keys, and 0-based numbers in arrays of tables."""

LARGEST_FILE = 8_000_000
"""Characters of the largest design file that is read."""

_HEADER = re.compile(r"\s*(\[\[?)\s*([^\[\]]+?)\s*\]\]?\s*(#.*)?$")
_KEY_PART = r"""(?:[A-Za-z0-9_-]+|"[^"\\]*"|'[^']*')"""
_KEY = re.compile(rf"\s*({_KEY_PART}(?:\s*\.\s*{_KEY_PART})*)\s*=")
_QUOTES = ("'''", '"""')
_HEAD_CHARACTERS = 300
_DEEP_KEY = re.compile(r"(?<![\w.-])[\w-]++(?:[ \t]*+\.[ \t]*+[\w-]++){30}")
_AT_LINE = re.compile(r"\(at line (\d+), column (\d+)\)")


def decode(raw: bytes) -> str:
    """The text of a design file.

    Raises:
        DesignError: the bytes are not UTF-8, or too many.
    """
    if len(raw) > 4 * LARGEST_FILE:
        raise DesignError(_too_large())
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        fault = Fault(
            "D101",
            "the file",
            f"is not UTF-8 text (byte 0x{raw[error.start]:02x})",
            "save it as UTF-8 in your editor",
            line,
        )
        raise DesignError(fault) from error


def load_toml(text: str) -> dict[str, object]:
    """The tables of a TOML text; decimal numbers stay exact.

    Raises:
        DesignError: the text is not TOML, is nested too deep or too large.
    """
    if len(text) > LARGEST_FILE:
        raise DesignError(_too_large())
    if deep := _DEEP_KEY.search(text):
        raise DesignError(_too_deep(text.count("\n", 0, deep.start()) + 1))
    try:
        return tomllib.loads(text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        raise DesignError(_toml_fault(str(error), text)) from error
    except RecursionError as error:
        raise DesignError(_too_deep(None)) from error
    except (ValueError, ArithmeticError) as error:
        fault = Fault("D104", "the file", "holds a number too long to read", "write it shorter")
        raise DesignError(fault) from error


def _too_large() -> Fault:
    return Fault("D102", "the file", "is larger than 8 million characters", "split the board")


def _too_deep(line: int | None) -> Fault:
    remedy = "a design needs no more than four levels"
    return Fault("D103", "the file", "is nested too deep", remedy, line)


def _toml_fault(message: str, text: str) -> Fault:
    at = _AT_LINE.search(message)
    reason = _AT_LINE.sub("", message).removesuffix("(at end of document)").strip()
    remedy = ""
    if "Unescaped" in reason and "\\" in reason:
        remedy = "write cells with a \\ between three single quotes: '''"
    elif "Cannot overwrite" in reason or "Cannot declare" in reason or "Duplicate" in reason:
        remedy = "the same key or table stands here twice; keep one"
    line = int(at[1]) if at else text.count("\n") + 1
    return Fault("D105", "the file", f"is not valid TOML: {reason}", remedy, line)


class LineFinder:
    """The line on which each key of a TOML text stands.

    A light scan, not a second parser: where it loses the thread it knows fewer lines, and a
    fault then names the nearest table above.
    """

    def __init__(self, text: str) -> None:
        self._lines: dict[Path, int] = {}
        self._texts: dict[Path, int] = {}
        self._counts: dict[Path, int] = {}
        table: Path = ()
        closing: str | None = None
        for number, line in enumerate(text.splitlines(), start=1):
            if closing is not None:
                closing = None if closing in line else closing
                continue
            start = line[:_HEAD_CHARACTERS].strip()
            key = _KEY.match(start)
            header = None if key else _HEADER.match(start)
            if header is not None:
                table = self._header(header[1], header[2], number)
                self._lines.setdefault(table, number)
            elif key is not None:
                path = table + _parts(key[1])
                rest = line.partition("=")[2].strip()
                self._lines.setdefault(path, number)
                self._texts.setdefault(path, number + (rest in _QUOTES))
                closing = _left_open(rest)

    def _header(self, bracket: str, name: str, number: int) -> Path:
        path: Path = ()
        parts = _parts(name)
        for index, part in enumerate(parts):
            path += (part,)
            last = index == len(parts) - 1
            if last and bracket == "[[":
                self._lines.setdefault(path, number)
                self._counts[path] = self._counts.get(path, -1) + 1
            if path in self._counts:
                path += (self._counts[path],)
        return path

    def line(self, path: Path, *, row: int | None = None) -> int | None:
        """Line, from 1, of a key, or of the nearest table that holds it; None if unknown.

        With ``row``, the line of that row (from 0) of the text that is the key's value.
        """
        if row is not None and path in self._texts:
            return self._texts[path] + row
        while path:
            if path in self._lines:
                return self._lines[path]
            path = path[:-1]
        return None


def _parts(name: str) -> Path:
    return tuple(part.strip("\"'") for part in re.findall(_KEY_PART, name))


def _left_open(rest: str) -> str | None:
    """The quotes that close a text which begins on this line and goes on below."""
    for quotes in _QUOTES:
        if quotes in rest:
            return quotes if rest.count(quotes) % 2 else None
    return None


def as_table(value: object) -> Mapping[str, object] | None:
    """The value as a table, or None where it is something else."""
    return value if isinstance(value, dict) else None
