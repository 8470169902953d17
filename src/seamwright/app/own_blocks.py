"""Blocks of the user's own: cut out of a drawing, kept, and set in any board at any size."""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import replace
from decimal import Decimal

from seamwright.app.redrawing import named_patch, refused
from seamwright.design import Drawing, read, write_tables
from seamwright.geometry import Point, area, bounds
from seamwright.lengths import Unit, decimal_text, exact_mm, parse_length

Table = dict[str, object]
_SAME_MM2 = 1e-3
MOST_LETTERS = 40


def block_key(name: str) -> str:
    """What a block is called in a file: a name without spaces.

    >>> block_key(" Hearth star No. 2 ")
    'hearth-star-no-2'

    Raises:
        DesignError: nothing is left of the name.
    """
    key = re.sub(r"[^\w]+", "-", name.lower()).strip("-_")[:MOST_LETTERS].strip("-")
    if not key:
        raise refused("D930", "the block", "has no name", "type one, such as hearth star")
    return key


def cut_out(drawing: Drawing, names: Collection[str], key: str) -> str:
    """A design file whose board is the block that some patches of a drawing form.

    Args:
        drawing: as it is; it is not changed.
        names: of the patches.
        key: what to call the block.
    Raises:
        DesignError: they do not fill a rectangle.
    """
    if not names:
        raise refused("D931", "the block", "has no patches", "choose some first")
    patches = [named_patch(drawing, name) for name in dict.fromkeys(names)]
    x0, y0, x1, y1 = bounds(p for patch in patches for p in patch.points)
    missing = (x1 - x0) * (y1 - y0) - sum(area(patch.points) for patch in patches)
    if missing > _SAME_MM2:
        remedy = f"choose what else lies in it ({missing / 100.0:.1f} cm² are missing)"
        raise refused("D932", "the patches chosen", "fill no rectangle", remedy)
    used = {patch.wood for patch in patches}
    table = {"patch": [_patch_table(p.wood, p.grain_deg, p.points, (x0, y0)) for p in patches]}
    text = write_tables(
        {
            "title": key,
            "unit": drawing.unit.value,
            "thickness": _mm(drawing.thickness_mm),
            "woods": {letter: wood for letter, wood in drawing.woods if letter in used},
            "block": {key: table},
        }
    )
    read(text, name=key)
    return text


def sized(text: str, size: str, unit: Unit) -> Table:
    """The table of a kept block, stretched to a width as typed; its own size where none is typed.

    Raises:
        LengthError: the width cannot be read.
    """
    drawing = read(text, name="block")
    x0, y0, x1, _ = bounds(drawing.outline)
    wide = float(parse_length(size, unit=unit)) if size.strip() else x1 - x0
    if wide <= 0.0:
        raise refused("D905", "the size", "must be more than nothing")
    by = wide / (x1 - x0)
    patches = [
        replace(p, points=tuple((x * by, y * by) for x, y in p.points)) for p in drawing.patches
    ]
    return {"patch": [_patch_table(p.wood, p.grain_deg, p.points, (x0, y0)) for p in patches]}


def whole(drawing: Drawing) -> Table:
    """The table of a block that is a whole board."""
    x0, y0, _, _ = bounds(drawing.outline)
    return {
        "patch": [_patch_table(p.wood, p.grain_deg, p.points, (x0, y0)) for p in drawing.patches]
    }


def _patch_table(
    wood: str, grain_deg: float, points: Collection[Point], origin: Point
) -> dict[str, object]:
    """A patch in a block; grain that runs up is left to the board, so that it stays when turned."""
    x0, y0 = origin
    placed = " ".join(f"{_mm(x - x0)},{_mm(y - y0)}" for x, y in points)
    own: dict[str, object] = {} if grain_deg == 90.0 else {"grain": _grain(grain_deg)}
    return {"wood": wood, **own, "points": placed}


def _grain(grain_deg: float) -> object:
    return "across" if grain_deg == 0.0 else Decimal(repr(grain_deg))


def _mm(length_mm: float) -> str:
    text = decimal_text(exact_mm(length_mm), 9).rstrip("0").rstrip(".")
    return f"{text}mm"
