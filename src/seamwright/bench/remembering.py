"""Steps carried out before, so that a plan pays only for the steps that are new.

What a step makes follows from its numbers, the wood it takes and the shop, whatever its parts are
called and wherever they come from. So a step is known by just these: by the very shapes it takes,
and by which pieces of them are from one stick. What is recalled is what the bench itself made of
the same step on the same wood, under the names of today. Whether a step can be begun and whether
all comes out even is checked each time; a step with a finding is carried out again.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterable
from dataclasses import dataclass, fields, replace
from operator import attrgetter
from typing import NamedTuple

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
_NAMES = {"makes", "takes", "rest", "parts", "lots"}
_NUMBERS = {
    kind: attrgetter(*(field.name for field in fields(kind) if field.name not in _NAMES))
    for kind in (Slice, Trim, Laminate, Resaw, Surface)
}

Sticks = tuple[str, ...]
"""Names of sticks, each once, in the order they are met."""


class Content(NamedTuple):
    """What a solid is, whatever its name.

    Attributes:
        number: the same for equal shapes of equal wood, parted into sticks alike.
        sticks: what its sticks are called.
    """

    number: int
    sticks: Sticks


class Known(NamedTuple):
    """A step by what it does.

    Attributes:
        number: the same for steps that do the same.
        sticks: what the sticks are called that it is done with.
        taken: kinds used up and how many.
    """

    number: int
    sticks: Sticks
    taken: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class _Result:
    """What a step gave, under the names of its plan.

    Attributes:
        carried: what it gave.
        sticks: what its sticks were called.
        made, rest: what came out and what remained.
    """

    carried: Carried
    sticks: Sticks
    made: Content
    rest: Content | None


class Workbook:
    """What the bench has carried out, in one shop at a time."""

    def __init__(self) -> None:
        self._shop: Shop | None = None
        self._steps: dict[object, int] = {}
        self._contents: dict[object, int] = {}
        self._results: dict[int, _Result] = {}
        self._pieces = 0

    def opened(self, shop: Shop) -> Page:
        """A page for one plan."""
        if shop != self._shop or self._pieces > _MOST_PIECES:
            self._steps.clear()
            self._contents.clear()
            self._results.clear()
            self._shop, self._pieces = shop, 0
        return Page(self)

    def number(self, step: object) -> int:
        """The number of a step that is known by what it does."""
        return self._steps.setdefault(step, len(self._steps))

    def content(self, solid: Solid) -> Content:
        """What a solid is."""
        sticks: dict[str, int] = {}
        pieces = solid.pieces
        # numbers as they are stored: a zero with a sign is another zero
        outlines = [piece.points for piece in pieces]
        shape = array("d", [x for points in (*outlines, solid.hull) for p in points for x in p])
        shape.extend((solid.depth_mm, solid.area_mm2, *[piece.grain_deg for piece in pieces]))
        what = (
            solid.planed,
            shape.tobytes(),
            tuple([len(points) for points in outlines]),
            tuple([piece.wood for piece in pieces]),
            tuple([sticks.setdefault(piece.stick, len(sticks)) for piece in pieces]),
        )
        return Content(self._contents.setdefault(what, len(self._contents)), tuple(sticks))

    def result(self, number: int) -> _Result | None:
        """What a step gave, where it is known."""
        return self._results.get(number)

    def keep(self, number: int, result: _Result) -> None:
        """Remember what a step gave, under the names it has now."""
        if number not in self._results:
            self._pieces += sum(1 for _ in _pieces(result.carried))
        self._results[number] = result


class Page:
    """One plan, written up as it is carried out."""

    def __init__(self, book: Workbook) -> None:
        self._book = book
        self._content: dict[str, Content] = {}

    def known(self, step: Step) -> Known | None:
        """A step by what it does; None where nothing is known of what it takes."""
        if isinstance(step, Mill):
            return None
        used = inputs(step)
        taken: list[object] = []
        sticks: dict[str, int] = {}
        for kind in used:
            content = self._content.get(kind)
            if content is None:
                return None
            own = tuple([sticks.setdefault(stick, len(sticks)) for stick in content.sticks])
            taken.append((content.number, own))
        if isinstance(step, Laminate):
            place = {kind: at for at, kind in enumerate(used)}
            taken.extend([(place[part.part], part.at) for part in step.parts])
        verb = type(step)
        numbers = tuple(map(_nameless, _NUMBERS[verb](step)))
        named = (bool(getattr(step, "rest", "")), bool(getattr(step, "lots", ())))
        number = self._book.number((verb, numbers, *taken, *named))
        return Known(number, tuple(sticks), tuple(used.items()))

    def recalled(self, known: Known | None, step: Step, position: int) -> Carried | None:
        """What the step gave before, as if it were carried out now; None where that is not known.

        Args:
            known: the step by what it does.
            step: the step.
            position: its number in the plan.
        """
        result = None if known is None else self._book.result(known.number)
        if known is None or result is None:
            return None
        names: dict[str, str] = {}
        if known.sticks != result.sticks:
            names = dict(zip(result.sticks, known.sticks, strict=True))
        before = result.carried
        rest = before.rest
        return Carried(
            number=position,
            step=step,
            went_in=known.taken,
            came_out=_named(before.came_out, step.makes, names),
            count=before.count,
            rest=_named(rest, step.rest, names) if rest and isinstance(step, Slice) else None,
            places=before.places,
            dust=_from(before.dust, names),
            offcuts=_from(before.offcuts, names),
            glue_lines=before.glue_lines,
            milled_mm3=before.milled_mm3,
            kerf_mm3=before.kerf_mm3,
            offcut_mm3=before.offcut_mm3,
            planed_mm3=before.planed_mm3,
        )

    def entered(self, known: Known | None, carried: Carried, *, clean: bool) -> None:
        """Write up what was carried out or recalled.

        Args:
            known: the step by what it does.
            carried: what it gave.
            clean: whether nothing was found on the way.
        """
        book, rest = self._book, carried.rest
        result = None if known is None else book.result(known.number)
        if known is None or result is None:
            made = book.content(carried.came_out)
            left = None if rest is None else book.content(rest)
            if known is not None and clean:
                book.keep(known.number, _Result(carried, known.sticks, made, left))
        elif known.sticks == result.sticks:
            made, left = result.made, result.rest
        else:
            names = dict(zip(result.sticks, known.sticks, strict=True))
            made = _under(names, result.made)
            left = None if result.rest is None else _under(names, result.rest)
            # names are mostly those of the plan before
            book.keep(known.number, _Result(carried, known.sticks, made, left))
        # slices of one kind may come off several bars
        self._content.setdefault(carried.came_out.kind, made)
        if rest is not None and left is not None:
            self._content[rest.kind] = left


def _under(names: dict[str, str], content: Content) -> Content:
    """The same wood from sticks of other names."""
    return Content(content.number, tuple([names[stick] for stick in content.sticks]))


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
    if solid.kind == kind and not names:
        return solid
    return Solid(
        kind=kind,
        pieces=_from(solid.pieces, names),
        depth_mm=solid.depth_mm,
        hull=solid.hull,
        area_mm2=solid.area_mm2,
        planed=solid.planed,
    )


def _from(pieces: tuple[Piece, ...], names: dict[str, str]) -> tuple[Piece, ...]:
    """The pieces with other names for their sticks."""
    if not names:
        return pieces
    return tuple(
        [Piece(points=p.points, wood=p.wood, grain_deg=p.grain_deg, stick=names[p.stick])
         for p in pieces]
    )  # fmt: skip
