"""Everything known of a wood on one card, each value with its source."""

from __future__ import annotations

from seamwright.woods.book import sources
from seamwright.woods.species import Species
from seamwright.woods.values import Datum, Fact


def card(species: Species) -> dict[str, object]:
    """A wood as JSON takes it: values with unit, source and certainty; what is missing by name.

    >>> from seamwright.woods import find_species
    >>> card(find_species("wenge"))["values"][0]["said"]
    'movement coefficient, tangential: 0.00201 per 1 % MC (read in a copy)'
    """
    hazard = species.hazard
    return {
        "schema": "seamwright.wood/1",
        "key": species.key,
        "name": species.name,
        "also": list(species.also),
        "own": species.own,
        "group": species.group.value,
        "colour": species.colour,
        "colour_source": "our own choice for screens and pictures",
        "botanical": _fact(species.botanical),
        "porosity": _fact(species.porosity),
        "bonding": _fact(species.bonding),
        "dust": None
        if hazard is None
        else {
            "effects": [effect.words for effect in hazard.effects],
            "strength": hazard.strength,
            "sources": [_title(code) for code in hazard.sources],
        },
        "values": [_datum(datum) for datum in species.data],
        "missing": [quantity.label for quantity in species.missing],
    }


def _fact(fact: Fact | None) -> dict[str, object] | None:
    if fact is None:
        return None
    return {
        "word": fact.word,
        "note": fact.note,
        "sources": [_title(code) for code in fact.sources],
    }


def _datum(datum: Datum) -> dict[str, object]:
    quantity = datum.quantity
    printed = f"{datum.printed} {quantity.printed_unit}".strip()
    return {
        "quantity": quantity.value,
        "label": quantity.label,
        "amount": datum.amount,
        "unit": quantity.unit,
        "printed": printed if datum.printed else "",
        "certainty": datum.certainty.value,
        "source": _title(datum.source),
        "note": datum.note,
        "said": f"{quantity.label}: {datum.words} ({datum.certainty.words})",
    }


def _title(code: str) -> str:
    return sources()[code].title
