"""A changed size written into the design file as the user wrote it, where that says the same."""

from __future__ import annotations

import re

from seamwright.design import Drawing, Resized, read, write
from seamwright.errors import DesignError, LengthError
from seamwright.geometry import WELD_MM, distance
from seamwright.lengths import Unit, parse_length
from seamwright.lengths.shop import length_text

_SIZE_LINE = re.compile(r"^[^#\n]*\b(?:columns|rows|width|size|sashing|borders)\b[^\n]*$", re.M)
_SIZE = re.compile(r"(?<![\w.,/-])\d[\d./-]*(?:\s?(?:mm|in))?(?![\w.,/-])")
_SAME_MM = 1e-6


def restated(text: str, resized: Resized) -> str:
    """The design file of a resized drawing.

    Args:
        text: the file of the drawing before; "" where there is none.
        resized: the change.
    Returns:
        The file with its sizes changed, its blocks and borders kept, where that draws exactly the
        changed drawing; otherwise a file of bare patches.
    """
    drawing = resized.drawing
    if text:
        edited = _SIZE_LINE.sub(lambda line: _edited(line[0], resized, drawing.unit), text)
        if edited != text and _draws(edited, drawing):
            return edited
    return write(drawing)


def _edited(line: str, resized: Resized, unit: Unit) -> str:
    def other(size: re.Match[str]) -> str:
        try:
            mm = float(parse_length(size[0], unit=unit))
        except LengthError:
            return size[0]
        return _written(resized, unit) if abs(mm - resized.band_mm) < _SAME_MM else size[0]

    return _SIZE.sub(other, line)


def _written(resized: Resized, unit: Unit) -> str:
    """The new size, exact in a unit a design file takes."""
    mm = resized.band_to_mm
    words = length_text(mm, unit=unit).rstrip('"')
    try:
        exact = abs(float(parse_length(words, unit=unit)) - mm) < _SAME_MM
    except LengthError:
        exact = False
    return words if exact else f"{mm:.6f}".rstrip("0").rstrip(".") + "mm"


def _draws(text: str, drawing: Drawing) -> bool:
    """Whether a text draws this, patch by patch."""
    try:
        drawn = read(text, name=drawing.title)
    except DesignError:
        return False
    if len(drawn.patches) != len(drawing.patches):
        return False
    return all(
        (a.name, a.wood, a.grain_deg) == (b.name, b.wood, b.grain_deg)
        and len(a.points) == len(b.points)
        and all(distance(p, q) <= WELD_MM for p, q in zip(a.points, b.points, strict=True))
        for a, b in zip(drawn.patches, drawing.patches, strict=True)
    )
