"""Read a block from a DXF drawing: every closed straight outline is a patch, its layer its wood.

Closed polylines are patches as they stand. Lines are joined, layer by layer, to the areas they
enclose. An outline on layer 0 goes by its colour. Text and dimensions are passed over; every curve
is refused with its place.

Reference:
    Autodesk, DXF Reference 2010: bulge 0 is a straight stretch (LWPOLYLINE, group 42); header
    $INSUNITS 1 inches, 2 feet, 4 millimetres, 5 centimetres, 6 metres; colour 256 is BYLAYER.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from fractions import Fraction

import ezdxf
import shapely
from ezdxf.entities import DXFEntity, LWPolyline, Polyline, Spline

from seamwright.design.pieces import Block, Piece, in_reading_order
from seamwright.design.svg import DrawnBlock
from seamwright.errors import DesignError, Fault
from seamwright.geometry import Point, Polygon, anticlockwise, bounds, drop_collinear, snap_point
from seamwright.lengths import exact_mm

_UNIT_MM: dict[int, Fraction] = {
    1: Fraction(254, 10), 2: Fraction(3048, 10), 4: Fraction(1), 5: Fraction(10), 6: Fraction(1000),
}  # fmt: skip
_PASSED_OVER = {"TEXT", "MTEXT", "DIMENSION", "POINT", "ATTDEF", "ATTRIB", "LEADER", "VIEWPORT"}
_OWN_MARKS = {"GRAIN", "LABEL", "SCALE_BAR"}
"""Layers of our own drawings that hold no outlines."""
_CURVES = {"ARC": "an arc", "CIRCLE": "a circle", "ELLIPSE": "an ellipse", "SPLINE": "a curve"}
_FURTHEST = 1e7
_MOST_SHAPES = 50_000
_BY_LAYER = 256


def block_from_dxf(text: str, *, name: str) -> DrawnBlock:
    """The patches of a drawing.

    Args:
        text: the DXF, in its text form.
        name: of the file, for messages.
    Raises:
        DesignError: it is no DXF, holds a curve, or an outline that is not closed.
    """
    document = _document(text, name)
    faults: list[Fault] = []
    outlines: list[tuple[Polygon, str]] = []
    lines: dict[str, list[tuple[Point, Point]]] = {}
    for number, entity in enumerate(document.modelspace(), start=1):
        if number > _MOST_SHAPES:
            raise DesignError(Fault("D341", name, "holds too many shapes", "split the drawing"))
        if entity.dxftype() in _PASSED_OVER or entity.dxf.layer.upper() in _OWN_MARKS:
            continue
        try:
            if entity.dxftype() == "LINE":
                start, end = (_flat(p) for p in (entity.dxf.start, entity.dxf.end))
                lines.setdefault(_wood(entity), []).append((start, end))
            else:
                outlines.append((_outline(entity), _wood(entity)))
        except ValueError as error:
            remedy = "straight closed outlines are read"
            faults.append(Fault("D342", _place(entity, name), str(error), remedy))
    for wood, stretches in lines.items():
        areas, loose = _areas(stretches)
        outlines += [(area, wood) for area in areas]
        faults += [_loose(name, wood, at) for at in loose]
    if not outlines and not faults:
        faults.append(Fault("D343", name, "holds no closed outline", "draw closed polylines"))
    if faults:
        raise DesignError(*faults[:20])
    unit = document.header.get("$INSUNITS", 0)
    scale = _UNIT_MM.get(unit)
    return _block([(ring, wood) for ring, wood in outlines if ring], scale, name)


def _block(outlines: list[tuple[Polygon, str]], scale: Fraction | None, name: str) -> DrawnBlock:
    if not outlines:
        raise DesignError(Fault("D343", name, "holds no closed outline", "draw closed polylines"))
    x0, y0, x1, y1 = bounds(p for ring, _ in outlines for p in ring)
    pieces = tuple(
        Piece(
            points=anticlockwise(tuple(snap_point((x - x0, y - y0)) for x, y in ring)),
            wood=wood,
            place=f"outline {number} of {name}",
        )
        for number, (ring, wood) in enumerate(outlines, start=1)
    )
    width, height = exact_mm(x1 - x0), exact_mm(y1 - y0)
    return DrawnBlock(
        block=Block(width_mm=width, height_mm=height, pieces=in_reading_order(pieces)),
        real_size=None if scale is None else (width * scale, height * scale),
    )


def _document(text: str, name: str) -> ezdxf.document.Drawing:
    try:
        return ezdxf.read(io.StringIO(text.replace("\r\n", "\n")))
    except Exception as error:  # whatever a broken file does to the library, it is the file's fault
        why = str(error).splitlines()[0][:80] if str(error) else "no sections found"
        raise DesignError(
            Fault("D340", name, f"cannot be read as DXF ({why})", "save it as a text DXF")
        ) from None


def _outline(entity: DXFEntity) -> Polygon:
    """The outline of a closed polyline.

    Raises:
        ValueError: it is something else; the message says what.
    """
    kind = entity.dxftype()
    if kind in _CURVES:
        raise ValueError(f"is {_CURVES[kind]}")
    if isinstance(entity, LWPolyline):
        points = [(float(x), float(y), float(bulge)) for x, y, bulge in entity.get_points("xyb")]
        closed = entity.closed
    elif isinstance(entity, Polyline) and entity.is_2d_polyline:
        points = [(*_flat(v.dxf.location), v.dxf.get("bulge", 0.0)) for v in entity.vertices]
        closed = entity.is_closed
    elif kind == "INSERT":
        raise ValueError("is a copy of a group: dissolve groups before saving")
    else:
        raise ValueError(f"is a {kind.lower()[:30]}, which is no outline")
    if any(bulge for _, _, bulge in points):
        raise ValueError("has a curved side")
    ring = [_flat((x, y)) for x, y, _ in points]
    if not closed and ring[:1] != ring[-1:]:
        raise ValueError("is not closed")
    return drop_collinear(tuple(snap_point(p) for p in ring)) or ()


def _areas(stretches: list[tuple[Point, Point]]) -> tuple[list[Polygon], list[Point]]:
    """The areas that lines enclose, and the ends that enclose none."""
    noded = shapely.unary_union(
        [shapely.LineString(ends) for ends in stretches if ends[0] != ends[1]]
    )
    faces, cuts, dangles, _ = shapely.polygonize_full(list(getattr(noded, "geoms", [noded])))
    rings = [tuple(snap_point(p) for p in face.exterior.coords[:-1]) for face in faces.geoms]
    loose = [line.coords[0] for part in (cuts, dangles) for line in part.geoms]
    return [ring for ring in map(drop_collinear, rings) if ring], loose


def _loose(name: str, wood: str, at: Point) -> Fault:
    place = f"a line on {wood} of {name}, at {at[0]:g}, {at[1]:g}"
    return Fault("D344", place, "encloses nothing", "close the outline on its own layer")


def _wood(entity: DXFEntity) -> str:
    layer, colour = entity.dxf.layer, entity.dxf.get("color", _BY_LAYER)
    return f"colour {colour}" if layer == "0" and 0 < colour < _BY_LAYER else str(layer)


def _flat(point: object) -> Point:
    x, y = float(point[0]), float(point[1])  # type: ignore[index]
    if not (abs(x) < _FURTHEST and abs(y) < _FURTHEST):
        raise ValueError("lies out of reach")
    return snap_point((x, y))


def _place(entity: DXFEntity, name: str) -> str:
    where = next(_corners(entity), None)
    near = f", near {where[0]:g}, {where[1]:g}" if where else ""
    which = f"{entity.dxftype().lower()} {entity.dxf.get('handle', '')}".strip()
    return f"{which} on layer {entity.dxf.layer} of {name}{near}"


def _corners(entity: DXFEntity) -> Iterator[Point]:
    for key in ("center", "start", "insert"):
        if entity.dxf.hasattr(key):
            at = entity.dxf.get(key)
            yield float(at[0]), float(at[1])
    if isinstance(entity, LWPolyline):
        yield from ((float(x), float(y)) for x, y in entity.get_points("xy"))
    elif isinstance(entity, Spline):
        given = (*entity.control_points, *entity.fit_points)
        yield from ((float(p[0]), float(p[1])) for p in given)
