"""The woods of the package, read once from its data files, and finding one by name."""

from __future__ import annotations

import csv
import difflib
from collections.abc import Iterable
from functools import cache
from importlib import resources
from io import StringIO

from seamwright.errors import Fault, WoodError
from seamwright.woods.hazards import Effect, Hazard
from seamwright.woods.species import Group, Species
from seamwright.woods.values import Certainty, Datum, Fact, Quantity, Source


def all_species() -> tuple[Species, ...]:
    """Every wood of the package, by common name.

    >>> len(all_species())
    58
    """
    return _book()


def sources() -> dict[str, Source]:
    """Every source by its code."""
    return {row["code"]: Source(**row) for row in _rows("sources.csv")}


def find_species(name: str, *, own: Iterable[Species] = ()) -> Species:
    """The wood of a name: key, common name or a trade name, in any case, with or without hyphens.

    Args:
        name: what the user wrote.
        own: the user's own woods, which go before ours.

    Raises:
        WoodError: no wood of that name (W101), with the nearest names; or the name fits several
            woods (W102), with their names.

    >>> find_species("Hard Maple").key, find_species("walnut").name
    ('maple-sugar', 'black walnut')
    """
    wanted = _plain(name)
    woods = (*own, *all_species())
    found = named(name, woods)
    if found is not None:
        return found
    family = [species.name for species in woods if wanted and wanted in _plain(species.name)]
    if len(family) > 1:
        raise WoodError(
            Fault("W102", f'the wood "{name}"', "could be one of several", _listed(family))
        )
    by_name = {known: species.name for species in woods for known in _names(species)}
    near = difflib.get_close_matches(wanted, by_name, n=3, cutoff=0.6)
    meant = list(dict.fromkeys([*family, *(by_name[close] for close in near)]))
    remedy = f"did you mean {_listed(meant)}?" if meant else "see the list of woods, or add it"
    raise WoodError(Fault("W101", f'the wood "{name}"', "is not known", remedy))


def one_of_ours(name: str) -> Species | None:
    """The wood of the package that has exactly this name, or None."""
    return named(name, all_species())


def named(name: str, woods: Iterable[Species]) -> Species | None:
    """The one of these woods that has this name, or None; case and hyphens do not matter."""
    wanted = _plain(name)
    return next((species for species in woods if wanted in _names(species)), None)


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + " or " + names[-1]


def _plain(name: str) -> str:
    """A name without case, hyphens, or doubled spaces: how names are compared."""
    return " ".join(name.casefold().replace("-", " ").replace("_", " ").split())


def _names(species: Species) -> tuple[str, ...]:
    return tuple(_plain(name) for name in (species.key, species.name, *species.also))


def _rows(file: str) -> list[dict[str, str]]:
    text = resources.files("seamwright.woods").joinpath("data", file).read_text("utf-8")
    return list(csv.DictReader(StringIO(text)))


@cache
def _book() -> tuple[Species, ...]:
    data: dict[str, list[Datum]] = {}
    for row in _rows("values.csv"):
        data.setdefault(row["key"], []).append(_datum(row))
    hazards = {row["key"]: _hazard(row) for row in _rows("hazards.csv")}
    woods = [
        _species(row, tuple(data.get(row["key"], ())), hazards.get(row["key"]))
        for row in _rows("species.csv")
    ]
    return tuple(sorted(woods, key=lambda species: species.name))


def _datum(row: dict[str, str]) -> Datum:
    quantity = Quantity(row["quantity"])
    return Datum(
        quantity=quantity,
        amount=float(row["printed"]) * quantity.per_printed,
        printed=row["printed"],
        certainty=Certainty(row["certainty"]),
        source=row["source"],
        note=row["note"],
    )


def _hazard(row: dict[str, str]) -> Hazard:
    return Hazard(
        effects=tuple(Effect(effect) for effect in row["effects"].split(";")),
        strength=int(row["strength"]),
        sources=tuple(row["source"].split()),
    )


def _species(row: dict[str, str], data: tuple[Datum, ...], hazard: Hazard | None) -> Species:
    return Species(
        key=row["key"],
        name=row["name"],
        also=tuple(name for name in row["also"].split(";") if name),
        botanical=_fact(row["botanical"], row["botanical_source"]),
        group=Group(row["group"]),
        porosity=_fact(row["porosity"], row["porosity_source"]),
        bonding=_fact(row["bonding"], row["bonding_source"], row["bonding_note"]),
        hazard=hazard,
        colour=row["colour"],
        data=data,
    )


def _fact(word: str, codes: str, note: str = "") -> Fact | None:
    return Fact(word=word, sources=tuple(codes.split()), note=note) if word else None
