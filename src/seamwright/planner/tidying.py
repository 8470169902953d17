"""Numbers as a person would write them: without the last bits of binary arithmetic."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import fields, is_dataclass
from functools import cache, lru_cache
from typing import TypeVar

_PLACES = 6
"""Decimals kept: a millionth of a millimetre or of a degree."""

T = TypeVar("T")


def tidied(thing: T) -> T:
    """A frozen dataclass with every number in it, however deep, rounded to six places.

    >>> from seamwright.geometry import Motion
    >>> tidied(Motion(turn_deg=359.9999999999999, x_mm=12.699999999999989))
    Motion(turn_deg=0.0, over=False, x_mm=12.7, y_mm=0.0)
    """
    kind: object = type(thing)
    names = _names(kind)
    if not names:
        return thing
    return type(thing)(**{name: _tidy(name, getattr(thing, name)) for name in names})


@cache
def _names(kind: object) -> tuple[str, ...]:
    """The fields of a dataclass; none of anything else."""
    return tuple(entry.name for entry in fields(kind)) if is_dataclass(kind) else ()


def _tidy(name: str, value: object) -> object:
    kind = type(value)
    if kind is float:
        rounded = round(value, _PLACES) + 0.0  # type: ignore[call-overload]
        return rounded % 360.0 if name == "turn_deg" else rounded
    if kind is str or kind is int or kind is bool:
        return value
    if isinstance(value, tuple):
        return tuple([_tidy(name, entry) for entry in value])
    return _part(value)


# places and cuts come again in plan after plan
@lru_cache(maxsize=1 << 14)
def _part(value: Hashable) -> object:
    return tidied(value)
