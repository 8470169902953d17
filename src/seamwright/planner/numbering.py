"""Numbers of the kinds and bars of a search, going on from those of the last one."""

from __future__ import annotations

from array import array
from collections.abc import Mapping

from seamwright.geometry import Motion, Polygon
from seamwright.planner.bars import BarBook
from seamwright.planner.canon import Key, canonical
from seamwright.planner.options import Kind, World
from seamwright.planner.recalling import Form, Lesson, Memory
from seamwright.seams import Through, members


class Numbering:
    """Every kind and bar once.

    Attributes:
        memory: what earlier searches have found.
        woods: a number for each wood.
        kinds, keys: kinds and their forms, by number; 0 is the board.
        known: the number of each form.
        todo: kinds to be expanded, with the lines that may run through them.
        book: the bars.
        line: what the numbers belong to.
        with_strips: kinds that were looked through for cross strips, with what was found.
    """

    def __init__(self, memory: Memory, woods: Mapping[str, int], kerf_mm: float) -> None:
        self.memory = memory
        self.woods = woods
        self.kinds: list[Kind] = []
        self.keys: list[Key] = []
        self.known: dict[Key, int] = {}
        self.todo: list[tuple[int, tuple[Through, ...]]] = []
        self.book = BarBook(kerf_mm, [], {})
        self.line: object = object()
        self.with_strips: dict[int, Kind] = {}
        self._seen: dict[tuple[int, int], tuple[int, Motion]] = {}
        self._cells: dict[int, list[int]] = {}
        self._before = 0
        self._begun_with = 0

    def begin(self, world: World) -> None:
        """Enter the board, as kind 0, after what the last search has numbered."""
        region = (1 << len(world.cells)) - 1
        key, frame, hull = self._form(world, region)
        last = self.memory.last(key)
        if last is not None:
            self.kinds, self.keys = list(last.kinds), list(last.keys)
            self.known = last.numbers.copy()
            self.book.bars, self.book.numbers = list(last.bars), last.bar_numbers.copy()
            self.line, self._begun_with = last.line, last.begun_with
            self.with_strips = last.crossed.copy()
            self.with_strips.pop(0, None)
            del self.known[last.keys[0]]
        board = Kind(world, region, frame, frame.polygon(hull))
        self.kinds[:1], self.keys[:1], self.known[key] = [board], [key], 0
        self._before = len(self.kinds)
        self.todo.append((0, world.lines))

    @property
    def new(self) -> int:
        """How many kinds no search before has numbered."""
        return len(self.kinds) - self._before

    def lesson(self) -> Lesson:
        """What the search has found."""
        return Lesson(
            kinds=tuple(self.kinds),
            keys=tuple(self.keys),
            bars=tuple(self.book.bars),
            bar_numbers=self.book.numbers,
            numbers=self.known,
            line=self.line,
            begun_with=self._begun_with or len(self.kinds),
            crossed=self.with_strips,
        )

    def kind(self, world: World, region: int, lines: tuple[Through, ...]) -> tuple[int, Motion]:
        """The kind of a region and the motion from its world into the kind's frame."""
        place = (id(world), region)
        if place in self._seen:
            return self._seen[place]
        key, frame, hull = self._form(world, region)
        if key not in self.known:
            self.enter(key, world, region, frame, hull)
            self.todo[-1] = (self.known[key], lines)
        number = self.known[key]
        self._seen[place] = (number, frame)
        return number, frame

    def enter(self, key: Key, world: World, region: int, frame: Motion, hull: Polygon) -> None:
        """A new kind."""
        number = len(self.kinds)
        self.known[key] = number
        self.keys.append(key)
        self.kinds.append(Kind(world, region, frame, frame.polygon(hull)))
        self.todo.append((number, world.lines))

    def _form(self, world: World, region: int) -> Form:
        """Canonical form, frame and outline of a region: an edit leaves most as they were."""
        if id(world) not in self._cells:
            self._cells[id(world)] = self.memory.numbered(world.cells)
        numbers, own = self._cells[id(world)], members(region)
        inside = [numbers[i] for i in own]
        place = array("q", inside).tobytes()
        form = self.memory.forms.get(place)
        if form is None:
            cells = [world.cells[i] for i in own]
            shape = self.memory.shape(inside, cells)
            form = self.memory.forms[place] = (*canonical(cells, self.woods, shape), shape.hull)
        return form
