"""Read a block that is drawn in the file: a grid of cells, or bare patches."""

from __future__ import annotations

from fractions import Fraction
from itertools import accumulate

from seamwright.design.fields import Exact, Table
from seamwright.design.pieces import (
    CELL,
    Block,
    HoleError,
    Piece,
    cell_pieces,
    in_reading_order,
    laid_over,
)
from seamwright.design.wording import short
from seamwright.geometry import Polygon, anticlockwise, drop_collinear, snap_point
from seamwright.lengths import exact_mm

MOST_PATCHES = 20_000
"""Patches of the largest board that is read."""

MOST_CLIPPED = 500_000
"""Cells times patches laid over them, in one block."""


def read_patches(table: Table, *, grain_deg: float | None) -> list[Piece]:
    """The [[patch]] tables within a table."""
    pieces = []
    for patch in table.tables("patch"):
        patch.only("wood", "points", "grain", "name")
        wood = patch.text("wood") if patch.need("wood", '"A"') else None
        points = patch.points("points") if patch.need("points", '"0,0 1,0 1,1"') else None
        own = patch.grain()
        name = patch.label("name", most=40) or ""
        if wood is None or points is None:
            continue
        outline = anticlockwise(as_floats(points))
        if not drop_collinear(outline):
            patch.fault("D302", "points", "lie on one line", "a patch needs an area")
            continue
        grain = grain_deg if own is None else own
        pieces.append(
            Piece(points=outline, wood=wood, grain_deg=grain, place=name, line=patch.line())
        )
    return pieces


def as_floats(points: tuple[Exact, ...]) -> Polygon:
    """Exact points on the lattice."""
    return tuple(snap_point((float(x), float(y))) for x, y in points)


def grid_block(table: Table) -> Block | None:
    """A block given as cells in columns and rows, with patches laid over them."""
    table.only("columns", "rows", "cells", "patch", "grain")
    columns = table.lengths("columns") if table.need("columns", '"1 1"') else None
    rows = table.lengths("rows") if table.need("rows", '"1 1"') else None
    grain = table.grain()
    text = table.text("cells")
    patches = read_patches(table, grain_deg=grain)
    if columns is None or rows is None or text is None:
        return None
    lines = [(row, line.split()) for row, line in enumerate(text.splitlines()) if line.strip()]
    if not _counts_fit(table, lines, columns, rows, patches):
        return None
    xs = [float(x) for x in accumulate(columns, initial=Fraction(0))]
    height = sum(rows, Fraction(0))
    ys = [float(height - y) for y in accumulate(rows, initial=Fraction(0))]
    pieces: list[Piece] = []
    for r, (row, words) in enumerate(lines):
        line = table.line("cells", row=row)
        for c, word in enumerate(words):
            cell = CELL.fullmatch(word)
            if cell is None:
                remedy = "write A, A/B or A\\B"
                table.fault("D303", "cells", f"has {short(word)}", remedy, row=row)
                return None
            box = (xs[c], ys[r + 1], xs[c + 1], ys[r])
            pieces.extend(cell_pieces(cell, box, grain_deg=grain, line=line))
    for number, patch in enumerate(patches, start=1):
        try:
            pieces = laid_over(pieces, patch)
        except HoleError:
            remedy = "cut the cell in two by one more column or row"
            table.fault("D304", None, f"has patch {number}, which leaves a hole in a cell", remedy)
            return None
    width = sum(columns, Fraction(0))
    return Block(width_mm=width, height_mm=height, pieces=in_reading_order(pieces))


def _counts_fit(
    table: Table,
    lines: list[tuple[int, list[str]]],
    columns: tuple[Fraction, ...],
    rows: tuple[Fraction, ...],
    patches: list[Piece],
) -> bool:
    count = sum(len(words) for _, words in lines)
    if count > MOST_PATCHES:
        table.fault("D305", "cells", f"has more than {MOST_PATCHES} cells", "split the board")
        return False
    if count * len(patches) > MOST_CLIPPED:
        message = f"has {len(patches)} patches laid over {count} cells"
        table.fault("D305", "patch", message, "draw all of it as patches, without cells")
        return False
    good = True
    if len(lines) != len(rows):
        message = f"has {len(lines)} lines, but rows has {len(rows)} sizes"
        table.fault("D306", "cells", message, "give every line of cells one size in rows")
        good = False
    for row, words in lines:
        if len(words) != len(columns):
            message = f"has a line of {len(words)} cells, but columns has {len(columns)} sizes"
            remedy = "give every cell of a line one size in columns"
            table.fault("D307", "cells", message, remedy, row=row)
            good = False
    return good


def patch_block(table: Table) -> Block | None:
    """A block given as bare patches."""
    table.only("patch", "grain", "size")
    grain = table.grain()
    pieces = read_patches(table, grain_deg=grain)
    size = read_size(table)
    if not pieces:
        if "patch" not in table:
            remedy = "give it columns, rows and cells, or [[patch]] tables, or from, or drawing"
            table.fault("D308", None, "is empty", remedy)
        return None
    width = exact_mm(max(x for piece in pieces for x, _ in piece.points))
    height = exact_mm(max(y for piece in pieces for _, y in piece.points))
    if size is not None:
        width, height = size[0], size[-1]
    if width <= 0 or height <= 0:
        table.fault("D309", "patch", "lies left of or below 0,0", "start at the lower left corner")
        return None
    return Block(width_mm=width, height_mm=height, pieces=in_reading_order(pieces))


def read_size(table: Table) -> tuple[Fraction, ...] | None:
    """The width, or the width and height, of a block [mm]."""
    size = table.lengths("size")
    if size is not None and len(size) > 2:
        table.fault(
            "D312", "size", f"has {len(size)} sizes", "write the width, or width and height"
        )
        return None
    return size
