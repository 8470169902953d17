"""How values of a file are named in messages, and lists that may be written in several ways."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal


def some(names: Iterable[str]) -> str:
    """Names for a message, no more than a dozen.

    >>> some("ab"), some("abcdefghijklmnop")
    ('a, b', 'a, b, c, d, e, f, g, h, i, j, k, l …')
    """
    listed_names = [name[:40] for name in names]
    return ", ".join(listed_names[:12]) + (" …" if len(listed_names) > 12 else "")


def listed(value: object) -> list[object]:
    """The items of a list that may be written as a text, an array or a single value."""
    if isinstance(value, str):
        return list(value.split())
    return list(value) if isinstance(value, list) else [value]


def as_list(value: object) -> list[object]:
    """The value if it is an array, else nothing."""
    return value if isinstance(value, list) else []


def short(value: object) -> str:
    """A value as it may stand in a message."""
    if isinstance(value, str):
        return repr(value if len(value) <= 40 else value[:39] + "…")
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int) and abs(value) >= 10**20:
        return "a very large number"
    return str(value) if isinstance(value, int | Decimal) else kind_of(value)


def kind_of(value: object) -> str:
    """What kind of TOML value it is, in words."""
    kinds: list[tuple[type, str]] = [
        (bool, "true or false"),
        (str, "a text"),
        (int, "a number"),
        (Decimal, "a number"),
        (list, "a list"),
        (dict, "a table"),
    ]
    return next((words for kind, words in kinds if isinstance(value, kind)), "a date or time")


def area_words(mm2: float) -> str:
    """An area [mm²] to three figures, never in powers of ten.

    >>> area_words(5012.0), area_words(0.0123)
    ('5,010', '0.0123')
    """
    rounded = float(f"{mm2:.3g}")
    return f"{rounded:,.0f}" if rounded >= 1000.0 else f"{rounded:.3g}"
