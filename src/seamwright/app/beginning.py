"""Where a drawing begins: a known block set in rows, an empty grid, or the user's file."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from seamwright.app.files import read_design
from seamwright.design import Unit, decode, known_blocks, read, write
from seamwright.design.write import quoted
from seamwright.errors import DesignError, Fault
from seamwright.lengths import decimal_text, parse_length

MOST_ACROSS = 20
_FILL = re.compile(r'\bfill\s*=\s*"([^"]+)"|\bfill\s*:\s*([^;"]+)')


@dataclass(frozen=True, slots=True, kw_only=True)
class Blocks:
    """One block, or two in turn, set in rows.

    Attributes:
        first, second: names of known blocks; no second one where it is empty.
        size: side of a block, as typed.
        across, down: blocks in a row, rows.
        sashing, border: width of the strips between blocks and around all, as typed; empty for
            none.
    """

    first: str
    second: str = ""
    size: str
    across: int
    down: int
    sashing: str = ""
    border: str = ""


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


def from_blocks(sheet: Sheet, blocks: Blocks) -> str:
    """The design file of a board of known blocks.

    Raises:
        DesignError: a block, a length or a number cannot be used.
    """
    for name in (blocks.first, blocks.second or blocks.first):
        if name not in known_blocks():
            raise DesignError(
                Fault("D910", f"block {name!r}", "is not known", "choose from the list")
            )
    _whole(blocks.across, "blocks in a row")
    _whole(blocks.down, "rows")
    tables = [_block("first", blocks.first, blocks.size)]
    if blocks.second:
        tables.append(_block("second", blocks.second, blocks.size))
    kinds = ("first", "second" if blocks.second else "first")
    rows = "\n".join(
        " ".join(kinds[(row + column) % 2] for column in range(blocks.across))
        for row in range(blocks.down)
    )
    board = f"[board]\nset = '''\n{rows}\n'''\n"
    if blocks.sashing.strip():
        board += f'sashing = {{ wood = "B", width = {quoted(blocks.sashing)} }}\n'
    if blocks.border.strip():
        board += f'borders = [{{ wood = "A", width = {quoted(blocks.border)} }}]\n'
    text = "\n".join((_head(sheet), *tables, board))
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
    """The design file in an uploaded file, or around an uploaded SVG drawing.

    Args:
        sheet: used for a drawing only; a design file brings its own.
        name: the file's name; its ending tells what it is.
        raw: the file.
        width: finished width of the drawing, as typed.
    Raises:
        DesignError: the file cannot be used; what and where is said.
    """
    if not name.lower().endswith(".svg"):
        read_design(raw, name=sheet.title)
        return raw.decode("utf-8-sig")
    drawn = decode(raw)
    size = f"size = {quoted(width)}\n" if width.strip() else ""
    letters = ", ".join(
        f"{quoted(fill)} = {quoted(letter)}"
        for letter, fill in zip("ABC", _fills(drawn), strict=False)
    )
    text = (
        f'{_head(sheet)}\n[block.drawn]\ndrawing = "drawn.svg"\n{size}letters = {{ {letters} }}\n'
    )
    return write(read(text, name=sheet.title, drawing_text=lambda _: drawn))


def _fills(drawn: str) -> tuple[str, ...]:
    """The fills of a drawing in the order they are met: the first becomes wood A."""
    found = (a or b for a, b in _FILL.findall(drawn))
    return tuple(dict.fromkeys(fill.strip() for fill in found if fill.strip() != "none"))


def _head(sheet: Sheet) -> str:
    woods = "\n".join(
        f"{letter} = {quoted(name)}" for letter, name in zip("ABC", sheet.woods, strict=True)
    )
    return (
        f"title = {quoted(sheet.title)}\nunit = {quoted(sheet.unit.value)}\n"
        f"thickness = {quoted(sheet.thickness)}\n\n[woods]\n{woods}\n"
    )


def _block(key: str, name: str, size: str) -> str:
    return f"[block.{key}]\nfrom = {quoted(name)}\nsize = {quoted(size)}\n"


def _whole(number: int, what: str) -> None:
    if not 1 <= number <= MOST_ACROSS:
        raise DesignError(Fault("D911", what, f"are {number}", f"use 1 to {MOST_ACROSS}"))


def _mm(length: Fraction) -> str:
    return f"{decimal_text(length, 9)}mm"
