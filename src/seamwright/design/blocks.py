"""Read one block of a design: drawn in the file, known by name, or from a drawing."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from seamwright.design.dxf import block_from_dxf
from seamwright.design.fields import Table
from seamwright.design.grids import grid_block, patch_block, read_size
from seamwright.design.library import find_block
from seamwright.design.pieces import Block, Piece
from seamwright.design.svg import block_from_svg
from seamwright.design.wording import short
from seamwright.errors import DesignError

DrawingText = Callable[[str], str]
"""Gives the text of a drawing named in a design; raises DesignError where it cannot."""

_SOURCES = ("cells", "from", "drawing")


def read_block(table: Table, *, drawing_text: DrawingText | None) -> Block | None:
    """One block of a design file; None, with the faults noted, where it cannot be used."""
    given = [source for source in _SOURCES if source in table]
    if len(given) > 1:
        table.fault("D301", None, f"has both {given[0]} and {given[1]}", "keep one of them")
        return None
    if "from" in table:
        return _known_block(table)
    if "drawing" in table:
        return _drawn_block(table, drawing_text)
    return grid_block(table) if "cells" in table else patch_block(table)


def _known_block(table: Table) -> Block | None:
    table.only("from", "size", "letters", "grain")
    name = table.text("from")
    size = read_size(table) if table.need("size", '"3"') else None
    block = find_block(name, table) if name is not None else None
    if block is None or size is None:
        return None
    letters = {piece.wood: piece.wood for piece in block.pieces}
    return _fitted(table, block, size, _letters(table, letters, of=f'the block "{name}"'))


def _drawn_block(table: Table, drawing_text: DrawingText | None) -> Block | None:
    table.only("drawing", "size", "letters", "grain")
    name = table.text("drawing")
    size = read_size(table)
    if name is None:
        return None
    if drawing_text is None:
        table.fault("D310", "drawing", f"names {short(name)}", "drawings cannot be read from here")
        return None
    try:
        drawn = block_from_dxf if name.lower().endswith(".dxf") else block_from_svg
        drawing = drawn(drawing_text(name), name=name)
    except DesignError as error:
        table.findings.extend(error.faults)
        return None
    if size is None and drawing.real_size is None:
        table.fault("D311", "drawing", "says no real size", 'add size = "3" to the block')
        return None
    block = drawing.block
    fitted = size or drawing.real_size or (block.width_mm,)
    letters = {piece.wood: piece.wood for piece in block.pieces}
    return _fitted(table, block, fitted, _letters(table, letters, of=f"{name}"))


def _fitted(
    table: Table, block: Block, size: tuple[Fraction, ...], letters: dict[str, str]
) -> Block:
    width = size[0]
    height = size[1] if len(size) == 2 else width * block.height_mm / block.width_mm
    sized = block.resized(width, height)
    grain = table.grain()
    pieces = tuple(
        Piece(points=p.points, wood=letters[p.wood], grain_deg=grain, line=table.line())
        for p in sized.pieces
    )
    return Block(width_mm=width, height_mm=height, pieces=pieces)


def _letters(table: Table, letters: dict[str, str], *, of: str) -> dict[str, str]:
    given = table.table("letters")
    if given is None:
        return letters
    for key in given.values:
        if key not in letters:
            has = ", ".join(sorted(letters))
            given.fault("D313", key, f"is no letter of {of}", f"it has {has}")
            continue
        letters[key] = given.text(key) or key
    return letters
