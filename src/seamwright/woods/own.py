"""The user's own woods, from a table of their shop file."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping
from dataclasses import replace

from seamwright.errors import Fault, WoodError
from seamwright.woods.book import find_species, one_of_ours
from seamwright.woods.species import Group, Species
from seamwright.woods.values import (
    MPA_PER_PSI,
    NEWTON_PER_LBF,
    Certainty,
    Datum,
    Fact,
    Quantity,
)

_SUFFIXES = {
    "MPa": (("_mpa", 1.0), ("_psi", MPA_PER_PSI)),
    "N": (("_n", 1.0), ("_lbf", NEWTON_PER_LBF)),
}
_WORDS = ("colour", "like", "group")


def own_species(name: str, table: Mapping[str, object]) -> Species:
    """A wood of the user's own.

    A name that is one of ours, without ``like``, changes that wood: what is given goes before its
    values, the others stay as they are with their sources.

    Keys: ``like`` (a wood whose other values are taken over and marked as stand-ins, and whose
    pores, gluing and dust are taken to be the same), ``colour`` ("#rrggbb"), ``group`` ("hardwood"
    or "softwood"), and any property; strengths and stiffness end in ``_mpa`` or ``_psi``, hardness
    in ``_n`` or ``_lbf``, shrinkage is in %.

    Raises:
        WoodError: every fault found: unknown key (W120), no sensible number (W121), no colour
            (W122), no group (W123), or the wood of ``like`` is not known.

    >>> plum = own_species("plum", {"like": "black cherry", "colour": "#8a4b3c",
    ...     "tangential_coefficient": 0.0026})
    >>> plum.amount(Quantity.TANGENTIAL_COEFFICIENT), plum.own
    (0.0026, True)
    """
    faults: list[Fault] = []
    pattern = _pattern(name, table, faults)
    colour = table.get("colour", pattern.colour)
    if not (isinstance(colour, str) and re.fullmatch("#[0-9a-fA-F]{6}", colour)):
        faults.append(Fault("W122", name, f"has no colour in {colour!r}", 'write it as "#a0522d"'))
    group = table.get("group", pattern.group.value)
    if group not in {known.value for known in Group}:
        faults.append(Fault("W123", name, f"has the group {group!r}", "hardwood or softwood"))
    given = _data(name, table, faults)
    if faults:
        raise WoodError(*faults)
    mine = {datum.quantity for datum in given}
    others = tuple(datum for datum in pattern.data if datum.quantity not in mine)
    if pattern.key and "like" not in table:
        own = replace(pattern, group=Group(group), colour=str(colour).lower(), own=True)
        return replace(own, data=_in_order((*given, *others)))
    kept = tuple(
        replace(datum, certainty=Certainty.STAND_IN, note=f"as {pattern.name}") for datum in others
    )
    return replace(
        pattern,
        key="-".join(name.casefold().split()),
        name=name,
        also=(),
        botanical=None,
        porosity=_as(pattern.porosity, pattern.name),
        bonding=_as(pattern.bonding, pattern.name),
        group=Group(group),
        colour=str(colour).lower(),
        data=_in_order((*given, *kept)),
        own=True,
        like=pattern.name if pattern.key else "",
    )


def _in_order(data: tuple[Datum, ...]) -> tuple[Datum, ...]:
    order = list(Quantity)
    return tuple(sorted(data, key=lambda datum: order.index(datum.quantity)))


def _pattern(name: str, table: Mapping[str, object], faults: list[Fault]) -> Species:
    """The wood it is like, or one with nothing known."""
    empty = Species(
        key="",
        name=name,
        also=(),
        botanical=None,
        group=Group.HARDWOOD,
        porosity=None,
        bonding=None,
        hazard=None,
        colour="#b8956a",
        data=(),
    )
    like = table.get("like")
    if like is None:
        return one_of_ours(name) or empty
    try:
        return find_species(str(like))
    except WoodError as error:
        faults += [replace(fault, subject=f"{name}: {fault.subject}") for fault in error.faults]
        return empty


def _as(fact: Fact | None, name: str) -> Fact | None:
    """A word taken over from another wood, and said so."""
    return None if fact is None else replace(fact, note=f"as {name}")


def _keys() -> dict[str, tuple[Quantity, float]]:
    """Every key a number may stand under, with its property and factor to our unit."""
    keys = {}
    for quantity in Quantity:
        for suffix, factor in _SUFFIXES.get(quantity.unit, (("", 1.0),)):
            keys[quantity.value + suffix] = (quantity, factor)
    return keys


def _data(name: str, table: Mapping[str, object], faults: list[Fault]) -> tuple[Datum, ...]:
    keys = _keys()
    data: dict[Quantity, Datum] = {}
    for key, value in table.items():
        if key in _WORDS:
            continue
        if key not in keys:
            near = difflib.get_close_matches(key, [*keys, *_WORDS], n=1)
            hint = f"did you mean {near[0]}?" if near else "see the list of properties"
            faults.append(Fault("W120", f"{name}: {key}", "is not a property of wood", hint))
            continue
        quantity, factor = keys[key]
        number = isinstance(value, int | float) and not isinstance(value, bool)
        if not (number and 0.0 < float(value) < 1e7):  # type: ignore[arg-type]
            faults.append(Fault("W121", f"{name}: {key} = {value!r}", "must be more than 0"))
            continue
        data[quantity] = Datum(
            quantity=quantity,
            amount=float(value) * factor,  # type: ignore[arg-type]
            printed=str(value),
            certainty=Certainty.YOURS,
            source="YOURS",
        )
    return tuple(data.values())
