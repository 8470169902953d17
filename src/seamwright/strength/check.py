"""Is the drawing fit for the mechanics? Every fault is found before anything is solved."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.geometry import Polygon as Shape
from shapely.strtree import STRtree

from seamwright.design import Drawing, Patch
from seamwright.errors import Fault
from seamwright.geometry import SLIVER_MM, WELD_MM

LARGEST_MM = 5_000.0
"""A board longer than this is a slip of the unit."""
MOST_PATCHES = 20_000


def faults_of(drawing: Drawing) -> tuple[Fault, ...]:
    """Everything that keeps the board from being reckoned; empty where all is well.

    Codes: S101 no patches or too many, S102 thickness, S103 outline of a patch, S104 sliver,
    S105 overlap, S106 gap, S107 outside the outline, S108 size, S109 outline of the board.
    """
    faults = _whole(drawing)
    if faults:
        return tuple(faults)
    shapes, faults = _shapes(drawing.patches)
    outline = Shape(drawing.outline) if len(drawing.outline) >= 3 else Shape()
    if not outline.is_valid or outline.area <= 0.0:
        faults.append(Fault("S109", "the board's outline", "crosses itself or has no area"))
    if faults:
        return tuple(faults)
    faults += _overlaps(shapes)
    faults += _cover(shapes, outline)
    return tuple(faults)


def _whole(drawing: Drawing) -> list[Fault]:
    faults = []
    count = len(drawing.patches)
    if not 1 <= count <= MOST_PATCHES:
        faults.append(Fault("S101", "the drawing", f"has {count} patches", f"1 to {MOST_PATCHES}"))
    thick = drawing.thickness_mm
    if not (math.isfinite(thick) and thick > 0.0):
        faults.append(Fault("S102", "the board", f"is {thick:g} mm thick", "give its thickness"))
    coordinates = [value for patch in drawing.patches for point in patch.points for value in point]
    if not all(math.isfinite(value) for value in coordinates):
        faults.append(Fault("S108", "the drawing", "has a point that is no number"))
    elif coordinates and max(coordinates) - min(coordinates) > LARGEST_MM:
        size = max(coordinates) - min(coordinates)
        remedy = f"boards end at {LARGEST_MM:g} mm: check the unit"
        faults.append(Fault("S108", "the drawing", f"is {size:.0f} mm across", remedy))
    return faults


def _shapes(patches: tuple[Patch, ...]) -> tuple[list[tuple[Patch, Shape]], list[Fault]]:
    """The patches that are sound areas, and what is wrong with the others."""
    closed = [patch for patch in patches if len(patch.points) >= 3]
    shapes = np.array([Shape(patch.points) for patch in closed], dtype=object)
    sound = shapely.is_valid(shapes)
    slim = shapely.is_empty(shapely.buffer(shapes, -SLIVER_MM / 2.0, quad_segs=1))
    slim |= shapely.area(shapes) <= SLIVER_MM**2
    kept: list[tuple[Patch, Shape]] = []
    faults = [
        Fault("S103", f"patch {patch.name}", "has fewer than three corners")
        for patch in patches
        if len(patch.points) < 3
    ]
    for patch, shape, whole, thin in zip(closed, shapes, sound, slim, strict=True):
        subject = f"patch {patch.name}"
        if not whole:
            what, remedy = "crosses or touches itself", "redraw its outline"
            faults.append(Fault("S103", subject, what, remedy))
        elif thin:
            what = f"is a sliver, less than {SLIVER_MM:g} mm wide{_place(shape)}"
            faults.append(Fault("S104", subject, what, "join it to a neighbour"))
        else:
            kept.append((patch, shape))
    return kept, faults


def _overlaps(shapes: list[tuple[Patch, Shape]]) -> list[Fault]:
    all_shapes = np.array([shape for _, shape in shapes])
    first, second = STRtree(all_shapes).query(all_shapes, predicate="intersects")
    once = first < second
    first, second = first[once], second[once]
    common = shapely.intersection(all_shapes[first], all_shapes[second])
    faults = []
    for pair in np.flatnonzero(shapely.area(common) > WELD_MM**2):
        shared = _thick_part(common[pair])
        if shared.area > 0.0:
            mine, other = shapes[first[pair]][0], shapes[second[pair]][0]
            what = f"overlaps patch {other.name} by {shared.area:.3g} mm²{_place(shared)}"
            faults.append(Fault("S105", f"patch {mine.name}", what, "move one of them"))
    return faults


def _cover(shapes: list[tuple[Patch, Shape]], outline: Shape) -> list[Fault]:
    union = shapely.union_all([shape for _, shape in shapes], grid_size=WELD_MM / 10.0)
    faults = []
    gap = _thick_part(outline.difference(union))
    for part in shapely.get_parts(gap):
        if part.is_empty:
            continue
        what = f"has a gap of {part.area:.3g} mm²{_place(part)}"
        faults.append(Fault("S106", "the drawing", what, "fill it with a patch"))
    beyond = _thick_part(union.difference(outline))
    if beyond.area > 0.0:
        what = f"reach {beyond.area:.3g} mm² beyond the outline{_place(beyond)}"
        faults.append(Fault("S107", "patches", what, "trim them or widen the outline"))
    return faults


def _thick_part(shape: Shape) -> Shape:
    """What is left of an area when hairlines narrower than the weld are taken away."""
    if shape.is_empty or shape.area <= WELD_MM**2:
        return Shape()
    core = shape.buffer(-WELD_MM)
    return Shape() if core.is_empty else shape


def _place(shape: Shape) -> str:
    point = shape.representative_point()
    return f" near ({point.x:.0f}, {point.y:.0f})"
