"""Read a block from an SVG drawing: every closed straight shape is a patch."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from seamwright.design.pieces import Block, Piece, in_reading_order
from seamwright.design.svgpath import ShapeError, closed_outlines, numbers, transform
from seamwright.errors import DesignError, Fault, LengthError
from seamwright.geometry import Polygon, anticlockwise, bounds, drop_collinear, snap_point
from seamwright.lengths import exact_mm, parse_length

Matrix = tuple[float, float, float, float, float, float]
_PLAIN: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
_IGNORED = {"defs", "title", "desc", "metadata", "style", "namedview", "script"}
_GROUPS = {"svg", "g", "a", "switch"}
_FILL = re.compile(r"(?:^|;)\s*fill\s*:\s*([^;]+)")
_FURTHEST = 1e7


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnBlock:
    """A drawing as a block, one user unit as 1 mm.

    Attributes:
        block: its pieces; their woods are what the drawing says: ``data-wood`` or the fill.
        real_size: width and height [mm] where the drawing gives its size in real units.
    """

    block: Block
    real_size: tuple[Fraction, Fraction] | None


def block_from_svg(text: str, *, name: str) -> DrawnBlock:
    """The patches of a drawing.

    Args:
        text: the SVG.
        name: of the file, for messages.
    Raises:
        DesignError: it is no SVG, holds a curve, an open shape or a shape without a wood.
    """
    root = _root(text, name)
    faults: list[Fault] = []
    pieces: list[Piece] = []
    for number, (element, matrix, wood) in enumerate(_shapes(root, name, faults), start=1):
        place = f"shape {number} ({_local(element)}{_id(element)}) of {name}"
        try:
            outlines = list(_outlines(element, matrix))
        except ShapeError as error:
            faults.append(Fault("D331", place, str(error), "straight closed shapes are read"))
            continue
        except (ValueError, OverflowError, IndexError):
            faults.append(Fault("D332", place, "has numbers that cannot be read"))
            continue
        if wood is None:
            remedy = 'give it data-wood="A", or a fill'
            faults.append(Fault("D333", place, "says no wood", remedy))
            continue
        pieces.extend(Piece(points=outline, wood=wood, place=place) for outline in outlines)
    if not pieces and not faults:
        faults.append(Fault("D334", name, "holds no closed shape", "draw polygons or rectangles"))
    if faults:
        raise DesignError(*faults)
    return _block(root, pieces, name)


def _block(root: Element, pieces: list[Piece], name: str) -> DrawnBlock:
    x0, y0, x1, y1 = bounds(p for piece in pieces for p in piece.points)
    if x1 <= x0 or y1 <= y0:
        raise DesignError(Fault("D334", name, "holds no closed shape", "draw polygons"))
    upright = tuple(
        Piece(
            points=anticlockwise(tuple(snap_point((x - x0, y1 - y)) for x, y in piece.points)),
            wood=piece.wood,
            place=piece.place,
        )
        for piece in pieces
    )
    width, height = exact_mm(x1 - x0), exact_mm(y1 - y0)
    scale = _real_scale(root)
    return DrawnBlock(
        block=Block(width_mm=width, height_mm=height, pieces=in_reading_order(upright)),
        real_size=None if scale is None else (width * scale, height * scale),
    )


def _root(text: str, name: str) -> Element:
    if "<!DOCTYPE" in text or "<!ENTITY" in text:
        remedy = "save it as plain SVG"
        raise DesignError(Fault("D335", name, "has a document type declaration", remedy))
    try:
        root = ElementTree.fromstring(text)
    except ElementTree.ParseError as error:
        line = error.position[0]
        raise DesignError(
            Fault("D336", name, f"is not SVG: {error.msg.split(':')[0]} in its line {line}")
        ) from error
    except ValueError as error:
        raise DesignError(Fault("D336", name, "is not SVG text")) from error
    if _local(root) != "svg":
        raise DesignError(Fault("D336", name, f"is not SVG but <{_local(root)[:40]}>"))
    return root


def _shapes(
    root: Element, name: str, faults: list[Fault]
) -> Iterator[tuple[Element, Matrix, str | None]]:
    """All shapes in drawing order with their place on the page and their wood."""
    stack: list[tuple[Element, Matrix, str | None]] = [(root, _PLAIN, None)]
    while stack:
        element, outer, inherited = stack.pop()
        kind = _local(element)
        if kind in _IGNORED or not kind:
            continue
        try:
            matrix = transform(element.get("transform", ""), outer)
        except ValueError:
            place = f"{kind}{_id(element)} of {name}"
            faults.append(Fault("D337", place, "has a transform that cannot be read"))
            continue
        wood = _wood(element) or inherited
        if kind in _GROUPS:
            stack.extend((child, matrix, wood) for child in reversed(element))
        else:
            yield element, matrix, wood


def _wood(element: Element) -> str | None:
    style = _FILL.search(element.get("style", ""))
    fill = style[1].strip() if style else element.get("fill")
    return element.get("data-wood") or (fill if fill != "none" else None)


def _outlines(element: Element, matrix: Matrix) -> Iterator[Polygon]:
    a, b, c, d, e, f = matrix
    for outline in _own_outlines(element):
        points = tuple((a * x + c * y + e, b * x + d * y + f) for x, y in outline)
        if not all(abs(x) < _FURTHEST and abs(y) < _FURTHEST for x, y in points):
            raise ValueError("out of reach")
        cleaned = drop_collinear(tuple(snap_point(p) for p in points))
        if cleaned:
            yield cleaned


def _own_outlines(element: Element) -> Iterator[Polygon]:
    kind = _local(element)
    if kind == "path":
        yield from closed_outlines(element.get("d", ""))
    elif kind in ("polygon", "polyline"):
        flat = numbers(element.get("points", ""))
        points = tuple(zip(flat[::2], flat[1::2], strict=True))
        if kind == "polyline" and points[:1] != points[-1:]:
            raise ShapeError("is not closed")
        yield points
    elif kind == "rect":
        if numbers(element.get("rx", "0"))[:1] > [0.0] or numbers(element.get("ry", "0")) > [0.0]:
            raise ShapeError("has rounded corners")
        x, y, w, h = (float(element.get(key, "0")) for key in ("x", "y", "width", "height"))
        yield ((x, y), (x + w, y), (x + w, y + h), (x, y + h))
    else:
        raise ShapeError(f"is a {kind[:40]}, which is no closed straight shape")


def _real_scale(root: Element) -> Fraction | None:
    """Millimetres in one user unit, where the drawing says its width in real units."""
    view = root.get("viewBox", "")
    try:
        width = parse_length(root.get("width", ""))
        across = Fraction(view.replace(",", " ").split()[2])
    except (LengthError, ValueError, IndexError, ZeroDivisionError):
        return None
    return width / across if across > 0 and width > 0 else None


def _local(element: Element) -> str:
    return element.tag.rpartition("}")[2] if isinstance(element.tag, str) else ""


def _id(element: Element) -> str:
    found = element.get("id", "")
    return f' "{found[:40]}"' if found else ""
