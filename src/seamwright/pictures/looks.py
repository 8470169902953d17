"""How each wood is drawn: colour, and a kind of line that tells it apart without colour."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files

from seamwright.woods import Species, all_species, named

INK = "#22262b"
PAPER = "#ffffff"
CHALK = "#1d5f9e"
"""What can be acted on: marks to draw, stops to set."""
PENCIL = "#b3261e"
"""What is wrong or dangerous."""
QUIET = "#6d7278"
WASTE = "#d9d9d6"


@dataclass(frozen=True, slots=True, kw_only=True)
class Hatch:
    """Lines that run with the grain; their kind tells the wood.

    Attributes:
        spacing_mm: between lines [mm on paper].
        width_mm: of a line [mm].
        dash_mm: strokes and gaps [mm]; empty for whole lines.
        said: the same in words, for legends.
    """

    spacing_mm: float
    width_mm: float
    dash_mm: tuple[float, ...]
    said: str


HATCHES = (
    Hatch(spacing_mm=2.6, width_mm=0.13, dash_mm=(), said="wide lines"),
    Hatch(spacing_mm=0.85, width_mm=0.13, dash_mm=(), said="close lines"),
    Hatch(spacing_mm=1.5, width_mm=0.2, dash_mm=(2.4, 1.4), said="long dashes"),
    Hatch(spacing_mm=1.3, width_mm=0.34, dash_mm=(0.34, 1.1), said="dots"),
    Hatch(spacing_mm=1.7, width_mm=0.2, dash_mm=(3.2, 0.8, 0.4, 0.8), said="dash and dot"),
    Hatch(spacing_mm=1.0, width_mm=0.2, dash_mm=(0.9, 0.9), said="short dashes"),
    Hatch(spacing_mm=1.6, width_mm=0.45, dash_mm=(), said="heavy lines"),
    Hatch(spacing_mm=2.4, width_mm=0.5, dash_mm=(1.2, 2.0), said="heavy dashes"),
)
"""In the order woods are named in a drawing; from the ninth wood on they start again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """What the wood picture of a species is made from; see ``wood_looks.toml``."""

    flat: str
    early: str
    late: str
    streak: str
    pore: str
    ring_mm: float
    contrast: float
    rise: float
    streaks: float
    pores: float
    pore_dark: float
    rays: float
    ribbon: float
    fibre: float
    aged: str
    aging: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How one wood of a drawing is shown.

    Attributes:
        letter, name: as in the drawing.
        figure: colours and figure of the wood.
        hatch: its lines.
        fill: flat colour.
        line: colour of hatch lines: darker on pale wood, paler on dark wood.
    """

    letter: str
    name: str
    figure: Figure
    hatch: Hatch
    fill: str
    line: str


Looks = dict[str, Look]


def looks(woods: tuple[tuple[str, str], ...], *, own: Iterable[Species] = ()) -> Looks:
    """The look of every wood of a drawing, by letter; unknown names get a colour by their place.

    Args:
        woods: letter and name.
        own: the user's own woods, with their own colours.
    """
    shown: Looks = {}
    mine = tuple(own)
    for place, (letter, name) in enumerate(woods):
        found = named(name, mine)
        shape = figure(name, place) if found is None else _own_figure(found, place)
        dark = luminance(shape.flat) < 0.45
        shown[letter] = Look(
            letter=letter,
            name=name,
            figure=shape,
            hatch=HATCHES[place % len(HATCHES)],
            fill=shape.flat,
            line=mixed(shape.flat, "#ffffff" if dark else "#000000", 0.42),
        )
    return shown


def _own_figure(wood: Species, place: int) -> Figure:
    """The figure of the wood it is like, with all its colours moved to the user's."""
    like = figure(wood.like or wood.name, place)
    pattern = named(wood.like or wood.name, all_species())
    if pattern is not None and pattern.colour == wood.colour:
        return like
    return replace(
        like,
        flat=wood.colour,
        aged=wood.colour,
        aging="has a colour of your own; how it ages is not known to us",
        early=_moved(like.early, like.flat, wood.colour),
        late=_moved(like.late, like.flat, wood.colour),
        streak=_moved(like.streak, like.flat, wood.colour),
        pore=_moved(like.pore, like.flat, wood.colour),
    )


def _moved(colour: str, old: str, new: str) -> str:
    """A colour moved as far as another one was."""
    triples = zip(channels(colour), channels(old), channels(new), strict=True)
    return "#" + "".join(f"{min(max(c + b - a, 0), 255):02x}" for c, a, b in triples)


def figure(name: str, place: int = 0) -> Figure:
    """Colours of a wood by its common name; an unknown name takes a place in the table."""
    table = _table()
    lowered = name.lower()
    for keys, made in table:
        if any(key in lowered for key in keys):
            return made
    return table[place % len(table)][1]


@cache
def _table() -> tuple[tuple[tuple[str, ...], Figure], ...]:
    text = files("seamwright.pictures").joinpath("wood_looks.toml").read_text(encoding="utf-8")
    rows = tomllib.loads(text)["look"]
    return tuple((tuple(row.pop("keys")), Figure(**row)) for row in rows)


def mixed(first: str, second: str, share: float) -> str:
    """A colour between two, ``share`` of the way from the first to the second.

    >>> mixed("#000000", "#ffffff", 0.5)
    '#808080'
    """
    pairs = zip(channels(first), channels(second), strict=True)
    return "#" + "".join(f"{round(a + (b - a) * share + 1e-9):02x}" for a, b in pairs)


def channels(colour: str) -> tuple[int, int, int]:
    """Red, green, blue, 0 to 255."""
    return (int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16))


def luminance(colour: str) -> float:
    """How light a colour is, 0 to 1, as a grey printer sees it (Rec. 709 weights)."""
    r, g, b = channels(colour)
    return (0.2126 * r + 0.7152 * g + 0.0722 * b) / 255.0
