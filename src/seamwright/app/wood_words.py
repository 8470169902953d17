"""The verb "woods": what is known of a wood, with where it comes from."""

from __future__ import annotations

import textwrap

from seamwright.woods import Datum, Species, all_species, find_species, named, sources


def find_woods(name: str = "", *, own: tuple[Species, ...] = ()) -> tuple[Species, ...]:
    """The wood of a name, or all woods where none is given; the user's own go before ours.

    Raises:
        WoodError: no wood of that name, or several; the message names the nearest.
    """
    if name:
        return (find_species(name, own=own),)
    ours = [wood for wood in all_species() if named(wood.name, own) is None]
    return tuple(sorted((*own, *ours), key=lambda wood: wood.name))


def wood_line(wood: Species) -> str:
    """A wood in a line: name, other names, and how many of its values are known."""
    also = f" (also {', '.join(wood.also)})" if wood.also else ""
    return f"{wood.name}{also}: {len(wood.data)} values"


def wood_lines(wood: Species) -> tuple[str, ...]:
    """Everything known of a wood, a line each, with its sources at the end."""
    titles = sources()
    used: dict[str, None] = {}
    told = [wood.name + (f", also {', '.join(wood.also)}" if wood.also else "")]
    facts = (("botanical", wood.botanical), ("pores", wood.porosity), ("bonding", wood.bonding))
    for what, fact in facts:
        if fact is not None:
            used |= dict.fromkeys(fact.sources)
            told.append(f"  {what}: {fact.word} [{', '.join(fact.sources)}]")
    for datum in wood.data:
        used |= {datum.source: None}
        told.append(f"  {_value(datum)}")
    if wood.missing:
        names = ", ".join(quantity.label for quantity in wood.missing)
        told.extend(textwrap.wrap(f"  not known: {names}", 96, subsequent_indent="    "))
    told.extend(_dust(wood))
    if wood.hazard is not None:
        used |= dict.fromkeys(wood.hazard.sources)
    told.append("Sources")
    for code in used:
        told.extend(textwrap.wrap(f"  {code}: {titles[code].title}", 96, subsequent_indent="    "))
    return tuple(told)


def _value(datum: Datum) -> str:
    return f"{datum.quantity.label}: {datum.words} ({datum.certainty.words}) [{datum.source}]"


def _dust(wood: Species) -> list[str]:
    if wood.hazard is None:
        return ["  dust: in none of our lists, which does not make it harmless; wear a mask"]
    effects = "; ".join(effect.words for effect in wood.hazard.effects)
    found = ", ".join(wood.hazard.sources)
    return [f"  dust: {effects} [{found}]; extraction and a mask, whatever the wood"]
