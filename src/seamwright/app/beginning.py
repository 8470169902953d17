"""Where a drawing begins: a known block set in rows, an empty grid, or the user's file."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from string import ascii_uppercase

from seamwright.app.files import read_design
from seamwright.app.own_blocks import Table, sized
from seamwright.app.rows import known_table, with_woods
from seamwright.design import (
    Unit,
    block_from_dxf,
    block_from_svg,
    decode,
    read,
    write,
    write_tables,
)
from seamwright.design.write import quoted
from seamwright.errors import DesignError, Fault
from seamwright.lengths import decimal_text, parse_length

MOST_ACROSS = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Blocks:
    """One block, or two in turn, set in rows.

    Attributes:
        first, second: names of known blocks; no second one where it is empty.
        size: side of a block, as typed.
        across, down: blocks in a row, rows.
        sashing, border: width of the strips between blocks and around all, as typed; empty for
            none.
        stones: whether the strips between blocks meet in cornerstones of wood C.
    """

    first: str
    second: str = ""
    size: str
    across: int
    down: int
    sashing: str = ""
    border: str = ""
    stones: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """What every new drawing is given.

    Attributes:
        title: its name.
        unit: of lengths that have none.
        thickness: as typed.
        woods: names of the first three woods; A is the ground, B and C the figure.
    """

    title: str
    unit: Unit
    thickness: str
    woods: tuple[str, str, str]


def from_blocks(sheet: Sheet, blocks: Blocks, own: Mapping[str, str] | None = None) -> str:
    """The design file of a board of known blocks, or of the user's own.

    Args:
        sheet: what every drawing is given.
        blocks: which, how large, how many.
        own: design files of the user's own blocks, by name.
    Raises:
        DesignError: a block, a length or a number cannot be used.
    """
    kept = own or {}
    _whole(blocks.across, "blocks in a row")
    _whole(blocks.down, "rows")
    kinds = ("first", "second" if blocks.second else "first")
    rows = "\n".join(
        " ".join(kinds[(row + column) % 2] for column in range(blocks.across))
        for row in range(blocks.down)
    )
    board: Table = {"set": rows + "\n"}
    if blocks.sashing.strip():
        stones = {"cornerstones": "C"} if blocks.stones else {}
        board["sashing"] = {"wood": "B", "width": blocks.sashing, **stones}
    if blocks.border.strip():
        board["borders"] = [{"wood": "A", "width": blocks.border}]
    woods: Table = dict(zip("ABC", sheet.woods, strict=True))
    tables: dict[str, Table] = {}
    for key, name in zip(kinds, (blocks.first, blocks.second or blocks.first), strict=True):
        if name in kept:
            woods = {**dict(read(kept[name], name=name).woods), **woods}
            tables[key] = sized(kept[name], blocks.size, sheet.unit)
        else:
            tables[key] = known_table(name, blocks.size)
    text = write_tables(
        {
            "title": sheet.title,
            "unit": sheet.unit.value,
            "thickness": sheet.thickness,
            "woods": with_woods(woods, tables.values()),
            "block": tables,
            "board": board,
        }
    )
    read(text, name=sheet.title)
    return text


def from_grid(sheet: Sheet, *, width: str, height: str, columns: int, rows: int) -> str:
    """The design file of a board in one wood, cut into equal columns and rows.

    Raises:
        DesignError, LengthError: a length or a number cannot be used.
    """
    _whole(columns, "columns")
    _whole(rows, "rows")
    wide = parse_length(width, unit=sheet.unit) / columns
    high = parse_length(height, unit=sheet.unit) / rows
    cells = "\n".join(" ".join("A" for _ in range(columns)) for _ in range(rows))
    grid = (
        f"[block.grid]\ncolumns = {quoted(' '.join([_mm(wide)] * columns))}\n"
        f"rows = {quoted(' '.join([_mm(high)] * rows))}\ncells = '''\n{cells}\n'''\n"
    )
    text = f"{_head(sheet)}\n{grid}"
    read(text, name=sheet.title)
    return text


def from_file(sheet: Sheet, name: str, raw: bytes, *, width: str) -> str:
    """The design file in an uploaded file, or around an uploaded SVG or DXF drawing.

    Args:
        sheet: used for a drawing only; a design file brings its own.
        name: the file's name; its ending tells what it is.
        raw: the file.
        width: finished width of the drawing, as typed.
    Raises:
        DesignError: the file cannot be used; what and where is said.
    """
    ending = name.lower().rpartition(".")[2]
    if ending not in {"svg", "dxf"}:
        read_design(raw, name=sheet.title)
        return raw.decode("utf-8-sig")
    drawn = decode(raw)
    made = (block_from_dxf if ending == "dxf" else block_from_svg)(drawn, name=name[:80])
    letters = _letters(dict.fromkeys(piece.wood for piece in made.block.pieces))
    more = "".join(
        f"{letter} = {quoted(mark)}\n" for mark, letter in letters.items() if letter not in "ABC"
    )
    size = f"size = {quoted(width)}\n" if width.strip() else ""
    table = ", ".join(f"{quoted(mark)} = {quoted(letter)}" for mark, letter in letters.items())
    text = (
        f'{_head(sheet)}{more}\n[block.drawn]\ndrawing = "drawn.{ending}"\n{size}'
        f"letters = {{ {table} }}\n"
    )
    return write(read(text, name=sheet.title, drawing_text=lambda _: drawn))


def _letters(marks: Iterable[str]) -> dict[str, str]:
    """A letter for every colour or layer of a drawing, in the order given; letters stay letters."""
    free = itertools.chain(ascii_uppercase, (f"W{number}" for number in itertools.count(1)))
    return {mark: mark if mark in tuple(ascii_uppercase) else next(free) for mark in marks}


def _head(sheet: Sheet) -> str:
    woods = "\n".join(
        f"{letter} = {quoted(name)}" for letter, name in zip("ABC", sheet.woods, strict=True)
    )
    return (
        f"title = {quoted(sheet.title)}\nunit = {quoted(sheet.unit.value)}\n"
        f"thickness = {quoted(sheet.thickness)}\n\n[woods]\n{woods}\n"
    )


def _whole(number: int, what: str) -> None:
    if not 1 <= number <= MOST_ACROSS:
        raise DesignError(Fault("D911", what, f"are {number}", f"use 1 to {MOST_ACROSS}"))


def _mm(length: Fraction) -> str:
    return f"{decimal_text(length, 9)}mm"
