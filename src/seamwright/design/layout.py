"""Set blocks in rows, with sashing between them and borders round them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from seamwright.design.fields import Table
from seamwright.design.grids import MOST_PATCHES
from seamwright.design.naming import row_letters
from seamwright.design.pieces import Block, Piece
from seamwright.design.sashing import Runs, Sashes, Strip
from seamwright.design.wording import short, some
from seamwright.geometry import Motion
from seamwright.lengths import length_text

SIDES = ("left", "right", "top", "bottom")
_EQUAL_MM = Fraction(1, 10**6)
MOST_BORDERS = 24
_PLACED = re.compile(r"([^~\s]+?)((?:~(?:90|180|270|m)){0,4})")


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Pieces in the board's frame; each piece's place is its name.

    Attributes:
        width_mm, height_mm: size.
        pieces: in drawing order.
    """

    width_mm: Fraction
    height_mm: Fraction
    pieces: tuple[Piece, ...]


def read_board(table: Table, blocks: Mapping[str, Block | None]) -> Layout | None:
    """The [board] table as one layout; None, with the faults noted, where it cannot be used."""
    table.only("set", "sashing", "borders", "outline")
    rows = _read_set(table, blocks) if table.need("set", '"star star"') else None
    sashing = table.table("sashing")
    stones, strip, runs = None, None, Runs.ACROSS
    if sashing is not None:
        sashing.only("wood", "width", "grain", "cornerstones", "runs")
        stones = sashing.text("cornerstones")
        runs = sashing.choice("runs", Runs, Runs.ACROSS)
        strip = _strip(sashing)
    borders = _borders(table)
    if rows is None or (sashing is not None and strip is None) or None in borders:
        return None
    layout = _set_rows(table, rows, Sashes(strip, stones, runs))
    if layout is None:
        return None
    for number, border in enumerate(borders, start=1):
        if border is not None:
            layout = _bordered(layout, border[0], border[1], number)
    return layout


def _read_set(table: Table, blocks: Mapping[str, Block | None]) -> list[list[Block]] | None:
    value = table.values["set"]
    if isinstance(value, list) and all(isinstance(line, str) for line in value):
        lines = list(value)
    else:
        text = table.text("set")
        if text is None:
            return None
        lines = text.splitlines()
    words = [line.split() for line in lines if line.split()]
    if not words:
        table.fault("D401", "set", "is empty", "write the names of blocks, one row a line")
        return None
    rows: list[list[Block]] = []
    good = True
    patches = 0
    for row in words:
        found: list[Block] = []
        for word in row:
            block = _placed_block(table, word, blocks)
            good = good and block is not None
            if block is not None:
                patches += len(block.pieces)
                found.append(block)
            if patches > MOST_PATCHES:
                message = f"has more than {MOST_PATCHES} patches"
                table.fault("D402", "set", message, "split the board")
                return None
        rows.append(found)
    return rows if good else None


def _placed_block(table: Table, word: str, blocks: Mapping[str, Block | None]) -> Block | None:
    match = _PLACED.fullmatch(word)
    name = match[1] if match else word.partition("~")[0]
    if name not in blocks:
        known = f"this file has {some(blocks)}" if blocks else "this file has no [block.…]"
        table.fault("D403", "set", f"names {short(name)}, which is no block", known)
        return None
    if match is None:
        remedy = "write ~90, ~180 or ~270 to turn it, ~m to mirror it"
        table.fault("D404", "set", f"has {short(word)}", remedy)
        return None
    block = blocks[name]
    for turn in match[2].split("~")[1:]:
        block = block.turned(turn) if block is not None else None
    return block


def _strip(table: Table) -> Strip | None:
    wood = table.text("wood") if table.need("wood", '"A"') else None
    width = table.length("width") if table.need("width", '"1/4"') else None
    grain = table.grain()
    if wood is None or width is None:
        return None
    return Strip(wood=wood, width_mm=width, grain_deg=grain)


def _borders(table: Table) -> list[tuple[Strip, list[str]] | None]:
    given = table.values.get("borders")
    if isinstance(given, list) and len(given) > MOST_BORDERS:
        table.fault("D409", "borders", f"has {len(given)} borders", f"{MOST_BORDERS} is the most")
        return [None]
    return [_border(border) for border in table.tables("borders")]


def _border(table: Table) -> tuple[Strip, list[str]] | None:
    table.only("wood", "width", "grain", "sides")
    sides = (table.text("sides") or " ".join(SIDES)).split()
    wrong = [side for side in sides if side not in SIDES]
    if wrong or len(set(sides)) < len(sides):
        remedy = 'write some of "left right top bottom", in the order of gluing'
        message = f"has {short(wrong[0])}" if wrong else "names a side twice"
        table.fault("D405", "sides", message, remedy)
        return None
    strip = _strip(table)
    return None if strip is None else (strip, sides)


def _set_rows(table: Table, rows: list[list[Block]], sashes: Sashes) -> Layout | None:
    gap = sashes.gap_mm
    widths = [sum((b.width_mm for b in row), (len(row) - 1) * gap) for row in rows]
    heights = [row[0].height_mm for row in rows]
    if not _rows_fit(table, rows, widths):
        return None
    columns = [b.width_mm for b in rows[0]]
    if sashes.need_columns and not all(_same_columns(columns, row) for row in rows):
        remedy = "give every row the same block widths, or let the sashing run across"
        table.fault("D406", "sashing", "needs columns, but the blocks form none", remedy)
        return None
    height = sum(heights, (len(rows) - 1) * gap)
    pieces: list[Piece] = []
    alone = len(rows) == 1 and len(rows[0]) == 1
    y = height
    for r, row in enumerate(rows):
        if r:
            y -= gap
            pieces += sashes.below(columns, y)
        y -= heights[r]
        x = Fraction(0)
        for c, block in enumerate(row):
            if c:
                pieces += sashes.beside(x, y, heights[r])
                x += gap
            pieces += _set_down(block, x, y, "" if alone else f"{row_letters(r)}{c + 1}·")
            x += block.width_mm
    pieces += sashes.upright(columns, height)
    return Layout(width_mm=widths[0], height_mm=height, pieces=tuple(pieces))


def _same_columns(columns: list[Fraction], row: list[Block]) -> bool:
    return len(columns) == len(row) and all(
        abs(width - block.width_mm) <= _EQUAL_MM for width, block in zip(columns, row, strict=True)
    )


def _rows_fit(table: Table, rows: list[list[Block]], widths: list[Fraction]) -> bool:
    good = True
    for r, row in enumerate(rows):
        odd = next((b for b in row if abs(b.height_mm - row[0].height_mm) > _EQUAL_MM), None)
        if odd is not None:
            first, other = (length_text(b.height_mm, unit=table.unit) for b in (row[0], odd))
            message = f"has blocks {first} and {other} high in row {r + 1}"
            table.fault("D407", "set", message, "all blocks of a row must be of one height")
            good = False
        if abs(widths[r] - widths[0]) > _EQUAL_MM:
            first, other = (length_text(w, unit=table.unit) for w in (widths[0], widths[r]))
            message = f"has row 1 {first} and row {r + 1} {other} wide"
            table.fault("D408", "set", message, "all rows must be of one width")
            good = False
    return good


def _set_down(block: Block, x: Fraction, y: Fraction, prefix: str) -> list[Piece]:
    motion = Motion(x_mm=float(x), y_mm=float(y))
    return [
        replace(piece.moved(motion), place=f"{prefix}{number}")
        for number, piece in enumerate(block.pieces, start=1)
    ]


def _bordered(layout: Layout, strip: Strip, sides: list[str], number: int) -> Layout:
    """Borders in the order of their sides: a later one runs past the ends of earlier ones."""
    x0 = y0 = Fraction(0)
    x1, y1 = layout.width_mm, layout.height_mm
    width = strip.width_mm
    pieces = list(layout.pieces)
    for side in sides:
        if side == "left":
            x0, box = x0 - width, (x0 - width, y0, x0, y1)
        elif side == "right":
            x1, box = x1 + width, (x1, y0, x1 + width, y1)
        elif side == "top":
            y1, box = y1 + width, (x0, y1, x1, y1 + width)
        else:
            y0, box = y0 - width, (x0, y0 - width, x1, y0)
        pieces.append(strip.piece(f"{side} {number}", box))
    motion = Motion(x_mm=float(-x0), y_mm=float(-y0))
    moved = tuple(piece.moved(motion) for piece in pieces)
    return Layout(width_mm=x1 - x0, height_mm=y1 - y0, pieces=moved)
