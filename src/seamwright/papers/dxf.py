"""Write outlines as DXF for machines that cut: layers, a stated unit, a bar to check by.

R2010 with ``$INSUNITS`` and ``$MEASUREMENT`` set. Some machines ignore the unit: the bar and the
file's name say it again.

Reference:
    Autodesk, DXF Reference 2010, HEADER section: $INSUNITS 4 is millimetres, 1 is inches;
    $MEASUREMENT 1 is metric, 0 English.
"""

from __future__ import annotations

import io
import threading

import ezdxf
from ezdxf import units
from ezdxf.layouts import Modelspace

from seamwright.design import Drawing, Unit
from seamwright.geometry import Polygon, bounds, cos_deg, inner_point, sin_deg
from seamwright.papers.templates.shapes import Template, board
from seamwright.pictures import Layer

_LAYERS = {
    Layer.CUT: 7,
    Layer.GRAIN: 3,
    Layer.LABEL: 8,
    Layer.SCALE_BAR: 5,
}
"""Layers and their colour numbers."""
_WORD_MM = 3.0
_ONE_AT_A_TIME = threading.Lock()
"""The library's switch for repeatable files is one for the whole process."""


def board_dxf(drawing: Drawing, *, unit: Unit = Unit.MM) -> bytes:
    """The board's patches as closed outlines, at real size.

    Args:
        drawing: the board.
        unit: what one drawing unit means.
    """
    return template_dxf(board(drawing), unit=unit)


def template_dxf(template: Template, *, unit: Unit = Unit.MM) -> bytes:
    """Any template as DXF; the same input gives the same bytes."""
    with _ONE_AT_A_TIME:
        before = ezdxf.options.write_fixed_meta_data_for_testing
        ezdxf.options.write_fixed_meta_data_for_testing = True
        try:
            return _written(template, unit)
        finally:
            ezdxf.options.write_fixed_meta_data_for_testing = before


def _written(template: Template, unit: Unit) -> bytes:
    metric = unit is Unit.MM
    document = ezdxf.new("R2010", units=units.MM if metric else units.IN)
    document.header["$MEASUREMENT"] = 1 if metric else 0
    for layer, colour in _LAYERS.items():
        document.layers.add(layer.value, color=colour)
    scale = 1.0 if metric else 1.0 / 25.4
    space = document.modelspace()
    for shape in template.shapes:
        _closed(space, shape.outline, scale, Layer.CUT)
        x, y = inner_point(shape.outline)
        _word(space, shape.label, (x, y), scale=scale, layer=Layer.LABEL)
        if shape.grain_deg is not None:
            dx, dy = 5.0 * cos_deg(shape.grain_deg), 5.0 * sin_deg(shape.grain_deg)
            ends = (((x - dx) * scale, (y - dy) * scale), ((x + dx) * scale, (y + dy) * scale))
            space.add_line(*ends, dxfattribs={"layer": Layer.GRAIN.value})
    _bar(space, template, scale, metric)
    out = io.StringIO()
    document.write(out)
    return out.getvalue().encode("utf-8")


def _bar(space: Modelspace, template: Template, scale: float, metric: bool) -> None:
    """100 mm or 4 in below the drawing."""
    x0, y0, _, _ = bounds(p for shape in template.shapes for p in shape.outline)
    long = 100.0 if metric else 101.6
    low = y0 - 15.0
    ring = ((x0, low), (x0 + long, low), (x0 + long, low + 3.0), (x0, low + 3.0))
    _closed(space, ring, scale, Layer.SCALE_BAR)
    text = "100 mm, unit of this file: mm" if metric else "4 in, unit of this file: inch"
    _word(space, text, (x0 + long + 2.0, low + 1.5), scale=scale, layer=Layer.SCALE_BAR)


def _closed(space: Modelspace, ring: Polygon, scale: float, layer: Layer) -> None:
    points = [(x * scale, y * scale) for x, y in ring]
    space.add_lwpolyline(points, close=True, dxfattribs={"layer": layer.value})


def _word(
    space: Modelspace, text: str, at: tuple[float, float], *, scale: float, layer: Layer
) -> None:
    word = space.add_text(text, height=_WORD_MM * scale, dxfattribs={"layer": layer.value})
    word.set_placement((at[0] * scale, at[1] * scale))
