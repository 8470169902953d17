"""Steps carried out before, so that a plan pays only for the steps that are new.

What a step makes follows from its numbers, the wood it takes and the shop, whatever its parts are
called. So a step is known by just these, back to the sticks, and what is recalled is what the bench
itself made of the same step on the same wood, under the names of today. Whether a step can be begun
and whether all comes out even is checked each time; a step with a finding is carried out again.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields, replace
from operator import attrgetter

from seamwright.bench.model import Carried, Piece, Solid
from seamwright.plan import (
    Laminate,
    Mill,
    Resaw,
    SetUp,
    Shop,
    Slice,
    Step,
    Surface,
    Trim,
    inputs,
)

_MOST_PIECES = 200_000
"""Beyond this all is forgotten: some 60 MB."""
_NAMES = {"makes", "takes", "rest", "parts"}
_NUMBERS = {
    kind: attrgetter(*(field.name for field in fields(kind) if field.name not in _NAMES))
    for kind in (Mill, Slice, Trim, Laminate, Resaw, Surface)
}

Content = tuple[int, bool]
"""What a solid is, whatever its name: the step it is from, and whether it is the rest of a bar."""


@dataclass(frozen=True, slots=True)
class _Result:
    """What a step gave, under the names of its plan; ``sticks`` tells what they stood for."""

    carried: Carried
    sticks: dict[str, int]
    from_sticks: frozenset[str]


class Workbook:
    """What the bench has carried out, in one shop at a time."""

    def __init__(self) -> None:
        self._shop: Shop | None = None
        self._steps: dict[object, int] = {}
        self._results: dict[int, _Result] = {}
        self._pieces = 0

    def opened(self, shop: Shop) -> Page:
        """A page for one plan."""
        if shop != self._shop or self._pieces > _MOST_PIECES:
            self._steps.clear()
            self._results.clear()
            self._shop, self._pieces = shop, 0
        return Page(self)

    def number(self, step: object) -> int:
        """The number of a step that is known by what it does."""
        return self._steps.setdefault(step, len(self._steps))

    def result(self, number: int) -> _Result | None:
        """What a step gave, where it is known."""
        return self._results.get(number)

    def keep(self, number: int, carried: Carried, sticks: dict[str, int]) -> None:
        """Remember what a step gave."""
        pieces = list(_pieces(carried))
        self._pieces += len(pieces)
        found = frozenset([piece.stick for piece in pieces])
        self._results[number] = _Result(carried, sticks, found)


class Page:
    """One plan, written up as it is carried out.

    Steps are numbered by what they do; two equal sorts of sticks in a plan stay two.
    """

    def __init__(self, book: Workbook) -> None:
        self._book = book
        self._content: dict[str, Content] = {}
        self._sticks: dict[str, int] = {}
        self._names: dict[int, str] = {}

    def number(self, step: Step) -> int | None:
        """The number of a step; None where nothing is known of what it takes."""
        numbers = tuple(map(_nameless, _NUMBERS[type(step)](step)))
        if isinstance(step, Mill):
            equal = 0
            while (number := self._book.number((Mill, numbers, equal))) in self._names:
                equal += 1
            return number
        taken: list[object] = [self._content.get(kind) for kind in inputs(step)]
        if None in taken:
            return None
        if isinstance(step, Laminate):
            taken = [(self._content[part.part], part.at) for part in step.parts]
        return self._book.number((type(step), numbers, *taken, bool(getattr(step, "rest", ""))))

    def recalled(self, number: int | None, step: Step, position: int) -> Carried | None:
        """What the step gave before, as if it were carried out now; None where that is not known.

        Args:
            number: of what it does, as ``number`` gave it.
            step: the step.
            position: its number in the plan.
        """
        known = None if number is None else self._book.result(number)
        if known is None:
            return None
        names = {old: self._names[known.sticks[old]] for old in known.from_sticks}
        if all(old == new for old, new in names.items()):
            names = {}
        before = known.carried
        rest = before.rest
        return replace(
            before,
            number=position,
            step=step,
            went_in=tuple(inputs(step).items()),
            came_out=_named(before.came_out, step.makes, names),
            rest=_named(rest, step.rest, names) if rest and isinstance(step, Slice) else None,
            dust=_from(before.dust, names),
            offcuts=_from(before.offcuts, names),
        )

    def entered(self, number: int | None, carried: Carried, *, clean: bool) -> None:
        """Write up what was carried out or recalled.

        Args:
            number: of what the step does.
            carried: what it gave.
            clean: whether nothing was found on the way.
        """
        if number is None:
            return
        kind = carried.came_out.kind
        self._content.setdefault(kind, (number, False))
        if carried.rest is not None:
            self._content[carried.rest.kind] = (number, True)
        if isinstance(carried.step, Mill):
            self._sticks[kind] = number
            self._names[number] = kind
        elif clean and self._book.result(number) is None:
            self._book.keep(number, carried, self._sticks)


def _nameless(value: object) -> object:
    """A value without the names in it: which part a setting must match makes no difference here."""
    if isinstance(value, SetUp):
        return replace(value, match="") if value.match else value
    return tuple(map(_nameless, value)) if isinstance(value, tuple) else value


def _pieces(carried: Carried) -> Iterable[Piece]:
    yield from carried.came_out.pieces
    yield from carried.rest.pieces if carried.rest else ()
    yield from carried.dust
    yield from carried.offcuts


def _named(solid: Solid, kind: str, names: dict[str, str]) -> Solid:
    return replace(solid, kind=kind, pieces=_from(solid.pieces, names))


def _from(pieces: tuple[Piece, ...], names: dict[str, str]) -> tuple[Piece, ...]:
    """The pieces with other names for their sticks."""
    if not names:
        return pieces
    return tuple(
        [Piece(points=p.points, wood=p.wood, grain_deg=p.grain_deg, stick=names[p.stick])
         for p in pieces]
    )  # fmt: skip
