"""What was found out about the parts of earlier drawings, so that an edit pays for what it changes.

A part is known by its canonical form, whatever drawing it was met in; the ways to make it depend
on nothing but that form and the shop. So they are searched once, and recalled with the numbers
that kinds and bars have in the new search.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from copy import copy
from dataclasses import dataclass, field, fields, is_dataclass, replace

from seamwright.planner.canon import Key
from seamwright.planner.cells import Cell
from seamwright.planner.options import Bar, Child, Cut, Kind, Option, TrimDown

_MOST_KINDS = 30_000
"""Beyond this all is forgotten: a day's edits of a large board."""


@dataclass(frozen=True, slots=True)
class Lesson:
    """One search: what its numbers meant."""

    kinds: tuple[Kind, ...]
    keys: tuple[Key, ...]
    bars: tuple[Bar, ...]


@dataclass(slots=True)
class Memory:
    """Kinds with their options, by canonical form; for one shop and one way of searching.

    Attributes:
        leaves: leaves in the billets of the last best plan; 1 where nothing was resawn.
    """

    leaves: int = 1
    _woods: dict[str, int] = field(default_factory=dict)
    _known: dict[Key, tuple[Lesson, int]] = field(default_factory=dict)

    def woods(self, cells: Iterable[Cell]) -> dict[str, int]:
        """A number for each wood, the same one for ever: it is part of the canonical form."""
        for wood in sorted({cell.wood for cell in cells}):
            self._woods.setdefault(wood, len(self._woods))
        return self._woods

    def learn(self, kinds: Sequence[Kind], keys: Sequence[Key], bars: Sequence[Bar]) -> None:
        """Keep what a search that ended well has found."""
        if len(self._known) > _MOST_KINDS:
            self._known.clear()
        lesson = Lesson(tuple(kinds), tuple(keys), tuple(bars))
        for number, key in enumerate(keys):
            self._known.setdefault(key, (lesson, number))

    def recall(self, key: Key) -> tuple[Lesson, Kind] | None:
        """A kind of that form with the search its options' numbers belong to."""
        known = self._known.get(key)
        return None if known is None else (known[0], known[0].kinds[known[1]])


def bare(kind: Kind) -> Kind:
    """The kind without its options, to be filled anew."""
    fresh = copy(kind)
    fresh.options = []
    return fresh


def with_options(kind: Kind, more: Sequence[Option]) -> Kind:
    """The kind with further options; the one that is remembered keeps its own."""
    fresh = copy(kind)
    fresh.options = [*kind.options, *more]
    return fresh


def children(option: Option) -> tuple[int, ...]:
    """Numbers of the kinds an option needs, in the order of its fields."""
    if isinstance(option, TrimDown):
        return (option.over,)
    if isinstance(option, Cut):
        return ()
    return tuple(child.kind for name in _child_fields(option) for child in _as_row(option, name))


def renumbered(option: Option, kinds: dict[int, int], bars: dict[int, int]) -> Option:
    """An option with other numbers for its kinds and its bar."""
    if isinstance(option, Cut):
        return replace(option, bar=bars[option.bar])
    if isinstance(option, TrimDown):
        return replace(option, over=kinds[option.over])
    changed: dict[str, Child | tuple[Child, ...]] = {}
    for name in _child_fields(option):
        row = tuple(Child(kinds[child.kind], child.at) for child in _as_row(option, name))
        changed[name] = row[0] if isinstance(getattr(option, name), Child) else row
    return replace(option, **changed)  # type: ignore[arg-type]


def _child_fields(option: Option) -> tuple[str, ...]:
    """Fields that hold a child or a row of children."""
    if not is_dataclass(option):
        raise TypeError(f"{option} is no option")
    return tuple(f.name for f in fields(option) if _as_row(option, f.name))


def _as_row(option: Option, name: str) -> tuple[Child, ...]:
    value = getattr(option, name)
    if isinstance(value, Child):
        return (value,)
    if isinstance(value, tuple) and value and all(isinstance(v, Child) for v in value):
        return value
    return ()
