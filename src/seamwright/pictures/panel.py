"""The board as drawn: woods, grain, names and overall sizes."""

from __future__ import annotations

from seamwright.design import Drawing
from seamwright.geometry import Polygon, bounds, inner_point
from seamwright.pictures.dimensions import SMALL_MM, dimension, scaled, sign
from seamwright.pictures.hatching import wood
from seamwright.pictures.inside import holds
from seamwright.pictures.looks import INK, Looks
from seamwright.pictures.primitives import (
    Anchor,
    Ink,
    Item,
    Layer,
    Path,
    Picture,
    Text,
    Weight,
    framed,
    text_box,
    text_width_mm,
)
from seamwright.pictures.sizes import Ruler

_NAME_MM = 2.4


def panel(
    drawing: Drawing,
    *,
    looks: Looks,
    ruler: Ruler,
    scale: float,
    names: bool = True,
    sizes: bool = True,
) -> Picture:
    """The drawing of a board, seen from its show face.

    Args:
        drawing: the board.
        looks: of its woods.
        ruler: how sizes are written.
        scale: paper millimetres for one millimetre of board; 1 is real size.
        names: write a patch's name where it fits.
        sizes: add overall dimensions.
    """
    items: list[Item] = []
    for patch in drawing.patches:
        outline = scaled(patch.points, scale)
        items += wood(outline, grain_deg=patch.grain_deg, look=looks[patch.wood])
    if names:
        items.extend(
            name
            for patch in drawing.patches
            if (name := _name(patch.name, scaled(patch.points, scale))) is not None
        )
    edge = scaled(drawing.outline, scale)
    items.append(Path(points=edge, closed=True, ink=Ink(line=INK, width_mm=0.6), layer=Layer.CUT))
    if sizes:
        items += _overall(drawing, ruler, scale)
    count = len(drawing.patches)
    title = f"{drawing.title}: drawing of the board, {count} patches, from the show face"
    return framed(items, title=title)


def _name(text: str, outline: Polygon) -> Text | None:
    """A patch's name in its middle, smaller where it must be; None where it does not fit."""
    at = inner_point(outline)
    for size in (_NAME_MM, 0.75 * _NAME_MM):
        name = sign(at, text, size_mm=size)
        if holds(outline, text_box(name), margin_mm=0.2):
            return name
    return None


def _overall(drawing: Drawing, ruler: Ruler, scale: float) -> list[Item]:
    x0, y0, x1, y1 = bounds(drawing.outline)
    corners = scaled(((x0, y0), (x1, y0), (x0, y1)), scale)
    low, right, top = corners
    return [
        *dimension(right, low, size_mm=x1 - x0, ruler=ruler, offset_mm=6.0),
        *dimension(low, top, size_mm=y1 - y0, ruler=ruler, offset_mm=6.0),
    ]


def legend(looks: Looks, *, ruler_mm: float = 14.0) -> Picture:
    """A swatch, the letter and the name of each wood, side by side."""
    items: list[Item] = []
    x = 0.0
    for look in looks.values():
        swatch = ((x, 0.0), (x + ruler_mm, 0.0), (x + ruler_mm, 7.0), (x, 7.0))
        items += wood(swatch, grain_deg=0.0, look=look)
        items.append(sign((x + ruler_mm / 2.0, 3.5), look.letter, size_mm=3.6, weight=Weight.BOLD))
        text = f"{look.name} · {look.hatch.said}"
        items.append(_start(text, x + ruler_mm + 2.0, 3.5))
        x += ruler_mm + 2.0 + text_width_mm(text, SMALL_MM) + 7.0
    return framed(items, title="Woods: colour and kind of line")


def _start(text: str, x: float, y: float) -> Text:
    return Text(at=(x, y), text=text, size_mm=SMALL_MM, colour=INK, anchor=Anchor.START)
