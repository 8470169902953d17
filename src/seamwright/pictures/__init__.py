"""Drawings of boards and steps, made once as neutral shapes and written as SVG.

>>> from seamwright.pictures import Ink, Path, framed, svg
>>> square = Path(points=((0, 0), (10, 0), (10, 10), (0, 10)), closed=True, ink=Ink(line="#000000"))
>>> svg(framed([square], title="a square", margin_mm=0.5)).splitlines()[0][-54:]
'viewBox="0 0 11 11" role="img"><title>a square</title>'
"""

from seamwright.pictures.backing import backing_picture
from seamwright.pictures.looks import Look, Looks, looks
from seamwright.pictures.panel import legend, panel
from seamwright.pictures.primitives import (
    Anchor,
    Cells,
    Disc,
    Ink,
    Item,
    Layer,
    Path,
    Picture,
    Text,
    Weight,
    framed,
    text_width_mm,
)
from seamwright.pictures.sizes import Ruler, degrees
from seamwright.pictures.solids import Piece, Shelf, Solid, Solids, box
from seamwright.pictures.steps import Easel, step_picture, step_scale
from seamwright.pictures.svg import svg

__all__ = [
    "Anchor",
    "Cells",
    "Disc",
    "Easel",
    "Ink",
    "Item",
    "Layer",
    "Look",
    "Looks",
    "Path",
    "Picture",
    "Piece",
    "Ruler",
    "Shelf",
    "Solid",
    "Solids",
    "Text",
    "Weight",
    "backing_picture",
    "box",
    "degrees",
    "framed",
    "legend",
    "looks",
    "panel",
    "step_picture",
    "step_scale",
    "svg",
    "text_width_mm",
]
