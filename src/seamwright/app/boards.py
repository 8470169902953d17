"""The verbs of the rack: add boards, mark flaws, take tables in and give them out."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from os import PathLike
from typing import TypeVar

from seamwright.app.files import about, read_bytes
from seamwright.design import decode
from seamwright.errors import Fault, LengthError, WoodError
from seamwright.lengths import Unit, parse_length
from seamwright.rack import (
    Board,
    Finish,
    Flaw,
    FlawKind,
    Offer,
    Rack,
    RackError,
    Ring,
    Stock,
    board_faults,
    flaw_from_text,
    rack_from_csv,
)
from seamwright.rack.quarters import quarter
from seamwright.woods import find_species

T = TypeVar("T")
_CLICK_MM = 10.0
_QUARTER = re.compile(r"\s*\d{1,2}/4\s*")


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """A board, or a size that can be bought, as somebody types it; "" where nothing was typed.

    Attributes:
        name: mark on the board, or what the yard calls the size.
        thickness, width, length: lengths with or without unit; the thickness may be ``5/4``.
        unit: of numbers without one.
        stock: "offcut", "board" or "offer".
        limit: of an offer: how many can be had.
        flaws: each as ``kind x y length width`` in mm.
    """

    name: str
    wood: str
    thickness: str
    width: str
    length: str
    unit: Unit = Unit.MM
    finish: str = ""
    ring: str = ""
    stock: str = ""
    moisture: str = ""
    price: str = ""
    place: str = ""
    limit: str = ""
    flaws: tuple[str, ...] = ()


def load_rack(path: str | PathLike[str]) -> Rack:
    """The boards of a table (CSV), woods by the names we know them by.

    Raises:
        FileError: the file cannot be read.
        RackError: anything in it is wrong; all faults with their lines.
    """
    raw = read_bytes(path)
    with about(path):
        return known_woods(rack_from_csv(decode(raw)))


def known_woods(rack: Rack) -> Rack:
    """The rack with every wood under its usual name; names we do not know stay as they are."""
    return replace(
        rack,
        boards=tuple(replace(b, wood=wood_named(b.wood)) for b in rack.boards),
        offers=tuple(replace(o, wood=wood_named(o.wood)) for o in rack.offers),
    )


def wood_named(text: str) -> str:
    """The usual name of a wood; what was typed where we do not know it.

    >>> wood_named("Hard Maple"), wood_named(" shed find ")
    ('sugar maple', 'shed find')
    """
    try:
        return find_species(text).name
    except WoodError:
        return text.strip()


def wood_colour(name: str) -> str:
    """The colour a wood is drawn in, "#rrggbb"; "" for one we do not know."""
    try:
        return find_species(name).colour
    except WoodError:
        return ""


def typed_board(typed: Typed) -> Board | Offer:
    """The board that was typed.

    Raises:
        RackError: every fault in it.
    """
    faults: list[Fault] = []
    finish = _choice(typed.finish, {f.value: f for f in Finish}, Finish.ROUGH, faults)
    ring = _choice(typed.ring, {r.value: r for r in Ring}, Ring.UNKNOWN, faults)
    kinds = {"offcut": Stock.OFFCUT, "board": Stock.BOARD, "offer": Stock.BOUGHT}
    stock = _choice(typed.stock, kinds, Stock.BOARD, faults)
    board = Board(
        name=typed.name.strip(),
        wood=wood_named(typed.wood) if typed.wood.strip() else "",
        thickness_mm=_thickness(typed, faults),
        width_mm=_length(typed.width, "width", typed.unit, faults),
        length_mm=_length(typed.length, "length", typed.unit, faults),
        finish=finish,
        ring=ring,
        stock=stock,
        moisture_pct=_number(typed.moisture, "moisture", faults),
        price=_number(typed.price, "price", faults),
        place=typed.place.strip(),
        flaws=tuple(flaw for text in typed.flaws for flaw in _flaw(text, faults)),
    )
    faults.extend(board_faults(board))
    limit = _number(typed.limit, "limit", faults)
    if stock is Stock.BOUGHT and board.price is None and not typed.price.strip():
        faults.append(Fault("R106", f"offer {board.name}", "has no price", "give that of one"))
    if limit is not None and (limit < 0 or limit % 1):
        faults.append(Fault("R118", "the limit", f"is {limit:g}", "give a whole number"))
    if faults:
        raise RackError(*faults)
    if stock is not Stock.BOUGHT:
        return board
    return Offer(
        name=board.name,
        wood=board.wood,
        thickness_mm=board.thickness_mm,
        width_mm=board.width_mm,
        length_mm=board.length_mm,
        price=board.price or 0.0,
        finish=finish,
        ring=ring,
        limit=None if limit is None else int(limit),
    )


def adding(thing: Board | Offer) -> Callable[[Rack], Rack]:
    """The change that puts a board on the rack, or a size on the yard's list."""

    def change(rack: Rack) -> Rack:
        if isinstance(thing, Offer):
            return replace(rack, offers=(*rack.offers, thing))
        return replace(rack, boards=(*rack.boards, thing))

    return change


def taking_away(name: str) -> Callable[[Rack], Rack]:
    """The change that takes a board or an offer off; one that is set aside stays.

    Raises:
        RackError: no such board, or it is set aside.
    """

    def change(rack: Rack) -> Rack:
        if any(offer.name == name for offer in rack.offers):
            return replace(rack, offers=tuple(o for o in rack.offers if o.name != name))
        board = rack.board(name)
        if holder := rack.holder(name):
            raise RackError(
                Fault("R143", f"board {name}", f"is set aside for {holder}", "release it first")
            )
        return replace(rack, boards=tuple(b for b in rack.boards if b is not board))

    return change


def without_flaw(name: str, number: int) -> Callable[[Rack], Rack]:
    """The change that takes a flaw off a board, by its number from 1.

    Raises:
        RackError: no such board or flaw.
    """

    def change(rack: Rack) -> Rack:
        board = rack.board(name)
        if not 1 <= number <= len(board.flaws):
            raise RackError(
                Fault("R148", f"board {name}", f"has no flaw {number}", "list the rack to see them")
            )
        flaws = board.flaws[: number - 1] + board.flaws[number:]
        clear = replace(board, flaws=flaws)
        return replace(rack, boards=tuple(clear if b is board else b for b in rack.boards))

    return change


def taking_in(found: Rack) -> Callable[[Rack], Rack]:
    """The change that adds the boards and sizes of a table.

    Raises:
        RackError: a mark is on the rack already; all of them are named.
    """

    def change(rack: Rack) -> Rack:
        here = {b.name for b in rack.boards} | {o.name for o in rack.offers}
        names = [*(b.name for b in found.boards), *(o.name for o in found.offers)]
        twice = [name for name in names if name in here]
        if twice:
            raise RackError(
                *(
                    Fault("R107", f"board {name}", "is on the rack already", "give another mark")
                    for name in twice
                )
            )
        return replace(
            rack,
            boards=(*rack.boards, *(replace(b, photo="") for b in found.boards)),
            offers=(*rack.offers, *found.offers),
        )

    return change


def flaw_typed(kind: str, x: str, y: str, length: str, width: str, *, unit: Unit) -> Flaw:
    """A flaw from what was typed or dragged.

    Raises:
        RackError: every fault in it.
    """
    faults: list[Fault] = []
    found = _choice(kind, {k.value: k for k in FlawKind}, FlawKind.KNOT, faults)
    sizes = [
        _length(text, word, unit, faults)
        for text, word in ((x, "x"), (y, "y"), (length, "length"), (width, "width"))
    ]
    if faults:
        raise RackError(*faults)
    return Flaw(kind=found, x_mm=sizes[0], y_mm=sizes[1], length_mm=sizes[2], width_mm=sizes[3])


def dragged_flaw(rack: Rack, name: str, kind: str, corners: list[float]) -> Rack:
    """The rack with a flaw dragged on a board's face from corner to corner.

    Whole millimetres, cut off at the board's edges; a click marks 10 × 10 mm.

    Args:
        rack: the rack.
        name: of the board.
        kind: of the flaw.
        corners: x and y of one corner, then of the other [mm], y up.
    Raises:
        RackError: no such board or kind, or the flaw lies off the board.
    """
    board = rack.board(name)
    faults: list[Fault] = []
    found = _choice(kind, {k.value: k for k in FlawKind}, FlawKind.KNOT, faults)
    if not all(abs(corner) < 1e6 for corner in corners):
        faults.append(Fault("R109", "the flaw", "has no size", "drag over the spot"))
    if faults:
        raise RackError(*faults)
    spans = []
    for low, high, most in zip(
        corners[:2], corners[2:], (board.length_mm, board.width_mm), strict=True
    ):
        a, b = sorted((low, high))
        if b - a < _CLICK_MM / 2:
            a, b = (a + b - _CLICK_MM) / 2, (a + b + _CLICK_MM) / 2
        lo, hi = max(0.0, float(round(a))), min(most, float(round(b)))
        if hi <= lo:
            raise RackError(Fault("R110", f"board {name}", "does not reach there", "drag on it"))
        spans.append((lo, hi))
    (x0, x1), (y0, y1) = spans
    flaw = Flaw(kind=found, x_mm=x0, y_mm=y0, length_mm=x1 - x0, width_mm=y1 - y0)
    return rack.with_flaw(name, flaw)


def _thickness(typed: Typed, faults: list[Fault]) -> float:
    if not _QUARTER.fullmatch(typed.thickness):
        return _length(typed.thickness, "thickness", typed.unit, faults)
    try:
        size = quarter(typed.thickness)
    except RackError as error:
        faults.extend(error.faults)
        return 1.0
    return size.milled_mm if typed.finish == Finish.MILLED.value else size.rough_mm


def _length(text: str, word: str, unit: Unit, faults: list[Fault]) -> float:
    try:
        return float(parse_length(text, unit=unit))
    except (LengthError, OverflowError) as error:
        why = str(error.faults[0]) if isinstance(error, LengthError) else "is far too long"
        faults.append(Fault("R118", f"the {word}", f"cannot be read ({why})", "give a length"))
        return 1.0


def _number(text: str, word: str, faults: list[Fault]) -> float | None:
    if not text.strip():
        return None
    try:
        return float(text)
    except ValueError:
        faults.append(Fault("R118", f"the {word}", f"is {text[:20]!r}", "give a number"))
        return None


def _choice(text: str, known: dict[str, T], usual: T, faults: list[Fault]) -> T:
    if not text.strip():
        return usual
    if text.strip().lower() in known:
        return known[text.strip().lower()]
    faults.append(
        Fault("R119", f"word {text[:20]!r}", "is not known here", f"use {', '.join(known)}")
    )
    return usual


def _flaw(text: str, faults: list[Fault]) -> list[Flaw]:
    try:
        return [flaw_from_text(text)]
    except RackError as error:
        faults.extend(error.faults)
        return []
