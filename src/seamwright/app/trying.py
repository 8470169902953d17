"""A change that was proposed, written as a design file of its own to be tried."""

from __future__ import annotations

from os import PathLike
from pathlib import Path

from seamwright.app.asking import NearMisses
from seamwright.app.files import FileError
from seamwright.app.keeping import write_new
from seamwright.errors import Fault, LengthError
from seamwright.lengths import Unit, parse_length

_LARGEST_MM = 50.0


def near_limit(text: str, unit: Unit) -> float:
    """How far a size may be changed [mm], as typed.

    Args:
        text: a length; a bare number is in ``unit``.
    Raises:
        LengthError: it is no length, nothing, or more than 50 mm.
    """
    limit_mm = float(parse_length(text, unit=unit))
    if not 0.0 < limit_mm <= _LARGEST_MM:
        remedy = f"use more than 0 and at most {_LARGEST_MM:.0f} mm, for example 2mm"
        raise LengthError(Fault("A202", "the limit", f"is {text}", remedy))
    return limit_mm


def write_change(found: NearMisses, *, take: int, path: str | PathLike[str]) -> Path:
    """Write the design file of one of the changes.

    Args:
        found: the changes.
        take: which, from 1.
        path: a new file.
    Raises:
        FileError: there is no such change, there is a file of that name already, or it cannot be
            written.
    """
    if take > len(found.found):
        count = len(found.found)
        remedy = f"take 1 to {count}" if count else "nothing is near a gain"
        raise FileError(Fault("A203", f"change {take}", "was not found", remedy))
    return write_new(path, found.found[take - 1].text.encode())
