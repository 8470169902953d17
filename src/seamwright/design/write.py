"""Write any drawing as a design file of bare patches."""

from __future__ import annotations

import re
from decimal import Decimal
from functools import lru_cache

from seamwright.design.model import Backing, Drawing, Patch, Unit
from seamwright.geometry import Point, Polygon
from seamwright.lengths import INCH_MM, decimal_text, exact_mm

_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")


def write(drawing: Drawing) -> str:
    """The drawing as a design file that reads back as the same drawing.

    Lengths that are not exact in the design's unit are written in millimetres, so nothing is
    lost down to the lattice of a billionth of a millimetre.

    Returns:
        TOML text. Reading it gives an equal drawing if the points are on the lattice and welded,
        as those of every drawing that was read are.
    """
    unit = drawing.unit
    head = [
        f"title = {quoted(drawing.title)}",
        f'unit = "{unit.value}"',
        f'thickness = "{_length(drawing.thickness_mm, unit)}"',
        f'kind = "{drawing.kind.value}"',
        f"copies = {drawing.copies}",
        f'outline = "{_points(drawing.outline, unit)}"',
        "",
        "[woods]",
        *(f"{_key(letter)} = {quoted(name)}" for letter, name in drawing.woods),
        *_backing(drawing.backing, unit),
    ]
    return "\n".join(head) + "\n" + "".join(_patch(patch, unit) for patch in drawing.patches)


def _backing(backing: Backing | None, unit: Unit) -> list[str]:
    if backing is None:
        return []
    grain = [] if backing.grain_deg is None else [f"grain = {_grain(backing.grain_deg)}"]
    return [
        "",
        "[backing]",
        f"{'wood' if backing.is_solid else 'panel'} = {quoted(backing.material)}",
        *grain,
        f'thickness = "{_length(backing.thickness_mm, unit)}"',
        *([] if backing.veneer is None else [f"veneer = {quoted(backing.veneer)}"]),
    ]


def quoted(text: str) -> str:
    r"""A text as a TOML string.

    >>> print(quoted('3/4" ply\n'))
    "3/4\" ply\n"
    """
    named = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r"}
    return '"' + "".join(named.get(c) or (c if c.isprintable() else _code(c)) for c in text) + '"'


def _code(character: str) -> str:
    return f"\\U{ord(character):08x}"


def _key(letter: str) -> str:
    return letter if _BARE_KEY.fullmatch(letter) else quoted(letter)


# an edit leaves most patches as they were
@lru_cache(maxsize=1 << 14)
def _patch(patch: Patch, unit: Unit) -> str:
    return (
        f"\n[[patch]]\nname = {quoted(patch.name)}\nwood = {quoted(patch.wood)}\n"
        f"grain = {_grain(patch.grain_deg)}\n"
        f'points = "{_points(patch.points, unit)}"\n'
    )


def _grain(grain_deg: float) -> str:
    words = {90.0: '"up"', 0.0: '"across"'}
    return words.get(grain_deg) or format(Decimal(repr(grain_deg)), "f")


def _points(points: Polygon, unit: Unit) -> str:
    return " ".join(_point(point, unit) for point in points)


def _point(point: Point, unit: Unit) -> str:
    return f"{_length(point[0], unit)},{_length(point[1], unit)}"


@lru_cache(maxsize=1 << 15)
def _length(length_mm: float, unit: Unit) -> str:
    """The shortest exact text: whole, shop fraction, decimal, or millimetres."""
    exact = exact_mm(length_mm)
    if unit is Unit.INCH:
        inches = exact / INCH_MM
        if 64 % inches.denominator == 0:
            whole, part = divmod(abs(inches), 1)
            minus = "-" if inches < 0 else ""
            if not part:
                return f"{minus}{whole}"
            front = f"{whole}-" if whole else ""
            return f"{minus}{front}{part.numerator}/{part.denominator}"
    text = decimal_text(exact, 9).rstrip("0").rstrip(".")
    return text if unit is Unit.MM else f"{text}mm"
