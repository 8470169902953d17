"""Boards as a CSV table: text in, text out, no files.

One board a line; ``flaws`` holds rectangles as ``kind x y length width`` in mm, set apart by
semicolons. ``thickness_mm`` may be a quarter size such as ``5/4``: its rough thickness, or what
remains of it planed where the finish is milled. A line whose ``stock`` is
``offer`` is no board but a size that can be bought: its price is that of one board, and ``limit``
says how many can be had.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import replace
from enum import Enum
from typing import TypeVar

from seamwright.errors import Fault
from seamwright.rack.boards import (
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
)
from seamwright.rack.quarters import quarter

COLUMNS = (
    "name",
    "wood",
    "thickness_mm",
    "width_mm",
    "length_mm",
    "finish",
    "ring",
    "stock",
    "moisture_pct",
    "price",
    "place",
    "photo",
    "flaws",
    "limit",
)
_NEEDED = COLUMNS[:5]
_OFFER = "offer"
_FINISHES = {finish.value: finish for finish in Finish}
_RINGS = {ring.value: ring for ring in Ring}
_STOCKS = {"offcut": Stock.OFFCUT, "board": Stock.BOARD, _OFFER: Stock.BOUGHT}
_Choice = TypeVar("_Choice", bound=Enum)


def boards_to_csv(boards: tuple[Board, ...]) -> str:
    """All boards as CSV text with a heading line."""
    return rack_to_csv(Rack(boards=boards))


def rack_to_csv(rack: Rack) -> str:
    """All boards, then all sizes that can be bought, as CSV text with a heading line."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for board in rack.boards:
        writer.writerow(_cells(board, board.stock.value, limit=None))
    for offer in rack.offers:
        writer.writerow(_cells(offer.as_board(offer.name), _OFFER, limit=offer.limit))
    return out.getvalue()


def _cells(board: Board, stock: str, *, limit: int | None) -> tuple[str, ...]:
    return (
        board.name,
        board.wood,
        _number(board.thickness_mm),
        _number(board.width_mm),
        _number(board.length_mm),
        board.finish.value,
        board.ring.value,
        stock,
        _number(board.moisture_pct),
        _number(board.price),
        board.place,
        board.photo,
        "; ".join(_flaw_text(flaw) for flaw in board.flaws),
        "" if limit is None else str(limit),
    )


def boards_from_csv(text: str) -> tuple[Board, ...]:
    """Boards from CSV text; columns in any order, only the first five are needed.

    Raises:
        RackError: every fault, with its line.
    """
    return rack_from_csv(text).boards


def rack_from_csv(text: str) -> Rack:
    """Boards and sizes that can be bought from CSV text.

    Raises:
        RackError: every fault, with its line.
    """
    reader = csv.reader(io.StringIO(text.removeprefix("\ufeff")), strict=True)
    boards: list[Board] = []
    offers: list[Offer] = []
    faults: list[Fault] = []
    heading: list[str] | None = None
    try:
        for row in reader:
            if not any(cell.strip() for cell in row):
                continue
            if heading is None:
                heading = [cell.strip().lower() for cell in row]
                _check_heading(heading)
                continue
            found = _line(heading, row, reader.line_num, faults)
            if isinstance(found, Board):
                boards.append(found)
            elif found is not None:
                offers.append(found)
    except csv.Error as error:
        faults.append(
            Fault("R112", "the table", f"is not CSV ({error})", "check quotes", reader.line_num)
        )
    if heading is None and not faults:
        faults.append(Fault("R113", "the table", "is empty", "start with a line of column names"))
    for word, names in (
        ("board", [b.name for b in boards]),
        ("offer", [o.name for o in offers]),
    ):
        faults.extend(
            Fault("R107", f"{word} {name}", "is there twice", "give each its own mark")
            for name in sorted({n for n in names if names.count(n) > 1})
        )
    if faults:
        raise RackError(*faults)
    return Rack(boards=tuple(boards), offers=tuple(offers))


def flaw_from_text(text: str) -> Flaw:
    """One flaw from ``kind x y length width``.

    Raises:
        RackError: it cannot be read.
    Example:
        >>> flaw_from_text("knot 100 20 30 15").length_mm
        30.0
    """
    words = text.split()
    kinds = {kind.value: kind for kind in FlawKind}
    kind = kinds.get(" ".join(words[:-4]).lower())
    try:
        numbers = [float(word) for word in words[-4:]]
    except ValueError:
        numbers = []
    if kind is None or len(numbers) != 4:
        raise RackError(
            Fault(
                "R114",
                f"flaw {text.strip()!r}",
                "cannot be read",
                f"write kind x y length width in mm; kinds: {', '.join(kinds)}",
            )
        )
    x, y, length, width = numbers
    return Flaw(kind=kind, x_mm=x, y_mm=y, length_mm=length, width_mm=width)


def _check_heading(heading: list[str]) -> None:
    faults = [
        Fault("R115", f"column {name}", "is missing", f"needed are {', '.join(_NEEDED)}", 1)
        for name in _NEEDED
        if name not in heading
    ]
    faults += [
        Fault("R116", f"column {name!r}", "is not known", f"known are {', '.join(COLUMNS)}", 1)
        for name in heading
        if name not in COLUMNS
    ]
    faults += [
        Fault("R116", f"column {name!r}", "is there twice", "keep one of them", 1)
        for name in sorted({n for n in heading if heading.count(n) > 1})
    ]
    if faults:
        raise RackError(*faults)


def _line(
    heading: list[str], row: list[str], line: int, faults: list[Fault]
) -> Board | Offer | None:
    if len(row) != len(heading):
        faults.append(
            Fault("R117", "the row", f"has {len(row)} cells", f"give {len(heading)}", line)
        )
        return None
    cells = dict(zip(heading, (cell.strip() for cell in row), strict=True))
    found: list[Fault] = []
    board = _board(cells, found)
    limit = _maybe(cells.get("limit", ""), "limit", found)
    is_offer = board.stock is Stock.BOUGHT
    if limit is not None and (limit < 0 or limit % 1 or not is_offer):
        remedy = "give a whole number, and only where the stock is 'offer'"
        found.append(Fault("R118", "cell limit", f"holds {limit:g}", remedy))
    if is_offer and board.price is None:
        found.append(Fault("R106", f"offer {board.name}", "has no price", "give that of one board"))
    found = found or list(board_faults(board))
    faults.extend(replace(fault, line=line) for fault in found)
    if found:
        return None
    if not is_offer:
        return board
    return Offer(
        name=board.name,
        wood=board.wood,
        thickness_mm=board.thickness_mm,
        width_mm=board.width_mm,
        length_mm=board.length_mm,
        price=board.price or 0.0,
        finish=board.finish,
        ring=board.ring,
        limit=None if limit is None else int(limit),
    )


def _board(cells: dict[str, str], found: list[Fault]) -> Board:
    flaws = []
    for text in filter(None, (t.strip() for t in cells.get("flaws", "").split(";"))):
        try:
            flaws.append(flaw_from_text(text))
        except RackError as error:
            found.extend(error.faults)
    return Board(
        name=cells["name"],
        wood=cells["wood"],
        thickness_mm=_thickness(cells, found),
        width_mm=_size(cells["width_mm"], "width_mm", found),
        length_mm=_size(cells["length_mm"], "length_mm", found),
        finish=_choice(_FINISHES, cells.get("finish", ""), Finish.ROUGH, found),
        ring=_choice(_RINGS, cells.get("ring", ""), Ring.UNKNOWN, found),
        stock=_choice(_STOCKS, cells.get("stock", ""), Stock.BOARD, found),
        moisture_pct=_maybe(cells.get("moisture_pct", ""), "moisture_pct", found),
        price=_maybe(cells.get("price", ""), "price", found),
        place=cells.get("place", ""),
        photo=cells.get("photo", ""),
        flaws=tuple(flaws),
    )


def _thickness(cells: dict[str, str], faults: list[Fault]) -> float:
    text = cells["thickness_mm"]
    if "/" not in text:
        return _size(text, "thickness_mm", faults)
    try:
        size = quarter(text)
    except RackError as error:
        faults.extend(error.faults)
        return 1.0
    milled = cells.get("finish", "").lower() == Finish.MILLED.value
    return size.milled_mm if milled else size.rough_mm


def _size(text: str, column: str, faults: list[Fault]) -> float:
    value = _maybe(text, column, faults)
    if value is None and not text:
        faults.append(Fault("R118", f"cell {column}", "is empty", "give a number in mm"))
    return 1.0 if value is None else value


def _maybe(text: str, column: str, faults: list[Fault]) -> float | None:
    if not text:
        return None
    try:
        return float(text)
    except ValueError:
        faults.append(Fault("R118", f"cell {column}", f"holds {text!r}", "give a number"))
        return None


def _choice(
    words: Mapping[str, _Choice], text: str, usual: _Choice, faults: list[Fault]
) -> _Choice:
    if not text:
        return usual
    if text.lower() in words:
        return words[text.lower()]
    faults.append(Fault("R119", f"word {text!r}", "is not known here", f"use {', '.join(words)}"))
    return usual


def _flaw_text(flaw: Flaw) -> str:
    numbers = (flaw.x_mm, flaw.y_mm, flaw.length_mm, flaw.width_mm)
    return " ".join((flaw.kind.value, *map(_number, numbers)))


def _number(value: float | None) -> str:
    return "" if value is None else repr(value).removesuffix(".0")
