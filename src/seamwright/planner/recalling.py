"""What was found out about the parts of earlier drawings, so that an edit pays for what it changes.

A part is known by its canonical form, whatever drawing it was met in; the ways to make it depend
on nothing but that form and the shop. So they are searched once. The next search goes on with the
numbers of the last one and only numbers what is new; where it cannot, options are recalled with
the numbers that kinds and bars have in the new search.
"""

from __future__ import annotations

from array import array
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from copy import copy
from dataclasses import dataclass, field, replace

from seamwright.geometry import Motion, Polygon
from seamwright.planner.canon import Key, Shape, shape_of
from seamwright.planner.cells import Cell
from seamwright.planner.former import Former
from seamwright.planner.options import Bar, Child, CrossStrips, Cut, Join, Kind, Option, TrimDown
from seamwright.planner.tariffs import Tariffs

_MOST_KINDS = 30_000
"""Beyond this all is forgotten: a day's edits of a large board."""
_MOST_BYTES = 100_000_000
"""Shapes that take more memory than this are forgotten."""
_IDLE = 1000
"""A search goes on from the last one until this many kinds, and half of all, may be idle."""


Form = tuple[Key, Motion, Polygon]
"""Canonical form of a region, the motion that brings it there, and its outline."""


@dataclass(frozen=True, slots=True)
class Lesson:
    """One search: what its numbers mean.

    Attributes:
        kinds, keys: its kinds; 0 is the board.
        bars, bar_numbers: its bars, and the number of each by its form.
        numbers: the number of each kind by its form.
        line: the search that first gave out these numbers; others went on from it, so that one
            number means one kind in all of them, the board's apart.
        begun_with: kinds that first search had.
        crossed: for kinds that were looked through for cross strips, by number, the kind with
            what was found.
    """

    kinds: tuple[Kind, ...]
    keys: tuple[Key, ...]
    bars: tuple[Bar, ...]
    bar_numbers: dict[tuple[object, ...], int]
    numbers: dict[Key, int]
    line: object
    begun_with: int
    crossed: dict[int, Kind]


@dataclass(slots=True)
class Memory:
    """Kinds with their options, by canonical form; for one shop and one way of searching.

    Attributes:
        former: what the last plan was like.
        tariffs: what has been priced.
        forms: forms of regions by the numbers of their cells.
        shapes: shapes of regions by the numbers of their outlines.
    """

    former: Former = field(default_factory=Former)
    tariffs: Tariffs = field(default_factory=Tariffs)
    forms: dict[bytes, Form] = field(default_factory=dict)
    shapes: dict[bytes, Shape] = field(default_factory=dict)
    _shapes_size: int = 0
    _outlines: dict[Polygon, int] = field(default_factory=dict)
    _outline_of: list[int] = field(default_factory=list)
    _woods: dict[str, int] = field(default_factory=dict)
    _known: dict[Key, tuple[Lesson, int]] = field(default_factory=dict)
    _cells: dict[Cell, int] = field(default_factory=dict)
    _last: Lesson | None = None

    def woods(self, cells: Iterable[Cell]) -> dict[str, int]:
        """A number for each wood, the same one for ever: it is part of the canonical form."""
        for wood in sorted({cell.wood for cell in cells}):
            self._woods.setdefault(wood, len(self._woods))
        return self._woods

    def numbered(self, cells: Iterable[Cell]) -> list[int]:
        """A number for each cell, the same one for an equal cell in the same place."""
        known, outlines = self._cells, self._outlines
        numbers = []
        for cell in cells:
            number = known.get(cell)
            if number is None:
                number = known[cell] = len(known)
                self._outline_of.append(outlines.setdefault(cell.polygon, len(outlines)))
            numbers.append(number)
        return numbers

    def shape(self, numbers: Sequence[int], cells: Sequence[Cell]) -> Shape:
        """The shape of a region: another wood or grain leaves it as it was.

        Args:
            numbers: of its cells, as ``numbered`` gave them.
            cells: its cells.
        """
        outlines = self._outline_of
        place = array("q", [outlines[number] for number in numbers]).tobytes()
        shape = self.shapes.get(place)
        if shape is None:
            shape = self.shapes[place] = shape_of([cell.polygon for cell in cells])
            self._shapes_size += shape.size
        return shape

    def last(self, board: Key) -> Lesson | None:
        """The search that one for another board may go on from, keeping its numbers."""
        last = self._last
        if last is None or last.numbers.get(board, 0):
            return None
        return last

    def learn(self, lesson: Lesson) -> None:
        """Keep what a search that ended well has found."""
        forgotten = max(len(self._known), len(self.forms), len(self._cells)) > _MOST_KINDS
        if forgotten:
            self._known.clear()
            self.forms.clear()
            self._cells.clear()
            self._outlines.clear()
            self._outline_of.clear()
            self._forget_shapes()
        if self._shapes_size > _MOST_BYTES:
            self._forget_shapes()
        before = len(self._last.kinds) if self._last and self._last.line is lesson.line else 0
        known = 0 if forgotten else before
        for number in (0, *range(max(known, 1), len(lesson.keys))):
            self._known.setdefault(lesson.keys[number], (lesson, number))
        crowded = len(lesson.kinds) > 2 * lesson.begun_with + _IDLE
        # 0 will be another board next time: nothing may be made from it
        again = any(
            0 in children(option)
            for kind in (lesson.kinds[0], *lesson.kinds[before:])
            for option in kind.options
        )
        self._last = None if crowded or again else lesson

    def _forget_shapes(self) -> None:
        self.shapes.clear()
        self._shapes_size = 0

    def recall(self, key: Key) -> tuple[Lesson, Kind] | None:
        """A kind of that form with the search its options' numbers belong to."""
        known = self._known.get(key)
        return None if known is None else (known[0], known[0].kinds[known[1]])


def reached(kinds: Sequence[Kind]) -> list[int]:
    """Numbers of the kinds that the board leads to, in order."""
    found, todo = {0}, [0]
    while todo:
        fresh = [child for child in needs(kinds[todo.pop()]) if child not in found]
        found.update(fresh)
        todo.extend(fresh)
    return sorted(found)


def needs(kind: Kind) -> Mapping[int, int]:
    """Numbers of the kinds that an expanded kind needs, each with how many at the most at once."""
    if kind.needs is None:
        most: dict[int, int] = {}
        for option in kind.options:
            for child, times in Counter(children(option)).items():
                most[child] = max(most.get(child, 0), times)
        kind.needs = most
    return kind.needs


def bare(kind: Kind) -> Kind:
    """The kind without its options, to be filled anew."""
    fresh = copy(kind)
    fresh.options, fresh.needs = [], None
    return fresh


def with_options(kind: Kind, more: Sequence[Option]) -> Kind:
    """The kind with further options; the one that is remembered keeps its own."""
    fresh = copy(kind)
    fresh.options, fresh.needs = [*kind.options, *more], None
    return fresh


def children(option: Option) -> tuple[int, ...]:
    """Numbers of the kinds an option needs, in the order of its fields."""
    if isinstance(option, Join | CrossStrips):
        return tuple([part.kind for part in option.parts])
    if isinstance(option, TrimDown):
        return (option.over,)
    if isinstance(option, Cut):
        return ()
    return (option.core.kind, *[filler.kind for filler in option.fillers])


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
    return tuple(name for name in option.__dataclass_fields__ if _as_row(option, name))


def _as_row(option: Option, name: str) -> tuple[Child, ...]:
    value = getattr(option, name)
    if isinstance(value, Child):
        return (value,)
    if isinstance(value, tuple) and value and all(isinstance(v, Child) for v in value):
        return value
    return ()
