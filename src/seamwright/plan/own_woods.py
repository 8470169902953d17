"""The user's own woods: the table ``[woods]`` of a shop file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from seamwright.errors import Fault, WoodError
from seamwright.woods import Species, own_species

SECTION = "woods"
_MOST = 200
_LONGEST = 60


def own_woods(table: object, text: str) -> tuple[tuple[Species, ...], tuple[Fault, ...]]:
    """The woods of a shop file, and what is wrong with them.

    Args:
        table: what stands under ``woods`` in the file.
        text: the file, to find lines in.
    """
    if not isinstance(table, Mapping):
        remedy = 'write each wood as a table, such as [woods.plum] or [woods."red plum"]'
        return (), (Fault("W124", SECTION, "is one value", remedy, line=_line(text, "")),)
    if len(table) > _MOST:
        return (), (Fault("W124", SECTION, f"names {len(table)} woods", f"{_MOST} at most"),)
    woods: dict[str, Species] = {}
    faults: list[Fault] = []
    for name, entry in table.items():
        where = f"{SECTION}.{name}"[:_LONGEST]
        line = _line(text, name)
        if not isinstance(entry, Mapping):
            remedy = f'write it as a table, [woods."{name[:_LONGEST]}"]'
            faults.append(Fault("W124", where, "is one value", remedy, line=line))
            continue
        if not name.strip() or len(name) > _LONGEST or not name.isprintable():
            faults.append(Fault("W124", where, "is no name for a wood", "a word or two", line=line))
            continue
        try:
            wood = own_species(name, entry)
        except WoodError as error:
            faults += [replace(fault, line=line) for fault in error.faults]
            continue
        if wood.key in woods:
            faults.append(Fault("W124", where, "is named twice", "take one out", line=line))
        woods[wood.key] = wood
    return tuple(woods.values()), tuple(faults)


def _line(text: str, name: str) -> int | None:
    """Where a wood begins; None where it is written in an odd way."""
    tail = rf'\s*\.\s*["\']?{re.escape(name)}["\']?' if name else ""
    head = re.compile(rf"^\s*(\[\s*)?{SECTION}{tail}\s*[\]=.]")
    return next(
        (number for number, line in enumerate(text.splitlines(), start=1) if head.match(line)), None
    )
