"""Check that patches are sound and tile their outline exactly."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from seamwright.design.model import Patch
from seamwright.design.wording import area_words
from seamwright.errors import Fault
from seamwright.geometry import SLIVER_MM, Point, Polygon, centroid, distance, inner_point

AREA_MM2 = 1e-3
"""Overlaps and gaps up to this are rounding [mm²]."""

MOST_NAMED = 12
"""So many overlaps or gaps are named one by one."""


def check_patches(patches: Sequence[Patch], outline: Polygon) -> tuple[Fault, ...]:
    """Everything wrong with a drawing's shapes.

    Slivers and crossed outlines are named first; where there are any, overlaps and gaps are not
    looked for, since they would only repeat them.

    Args:
        patches: the patches; shapes as welded.
        outline: the board's edge.
    Returns:
        The faults, empty for a drawing that tiles its outline.
    """
    faults = [fault for patch in patches for fault in _shape_faults(patch)]
    if faults or not patches:
        return tuple(faults)
    shapes = shapely.polygons([shapely.linearrings(patch.points) for patch in patches])
    broken = np.flatnonzero(~shapely.is_valid(shapes))
    if broken.size:
        return tuple(_crossed(patches[i]) for i in broken.tolist())
    board = shapely.Polygon(outline)
    overlaps = _overlaps(patches, shapes)
    total = float(shapely.area(shapes).sum())
    if (
        not overlaps
        and abs(total - board.area) <= AREA_MM2
        and board.covers(shapely.box(*shapely.total_bounds(shapes)))
    ):
        return ()
    return tuple(overlaps + _gaps(shapes, board))


def _shape_faults(patch: Patch) -> list[Fault]:
    name, ring = f"patch {patch.name}", patch.points
    if len(ring) < 3:
        return [Fault("D501", name, "has no area", "take it out, or give it three corners")]
    area = shapely.Polygon(ring).area
    around = list(zip(ring, ring[1:] + ring[:1], strict=True))
    length = sum(distance(a, b) for a, b in around)
    faults = []
    for a, b in around:
        if distance(a, b) < SLIVER_MM:
            message = f"has an edge of {distance(a, b):.2f} mm near {place(a)}"
            remedy = f"no edge may be under {SLIVER_MM} mm; bring its two corners together"
            faults.append(Fault("D502", name, message, remedy))
            break
    thin = area < SLIVER_MM / 2.0 * length and shapely.Polygon(ring).buffer(-SLIVER_MM / 2).is_empty
    if thin:
        near = place(centroid(ring))
        message = f"is a sliver, nowhere wider than {SLIVER_MM} mm, near {near}"
        faults.append(Fault("D503", name, message, "widen it or take it out"))
    return faults


def _crossed(patch: Patch) -> Fault:
    reason = shapely.is_valid_reason(shapely.Polygon(patch.points))
    at = reason.partition("[")[2].rstrip("]").split()
    near = f" near {place((float(at[0]), float(at[1])))}" if len(at) == 2 else ""
    remedy = "list its corners in order round the edge"
    return Fault("D504", f"patch {patch.name}", f"has an outline that crosses itself{near}", remedy)


def _overlaps(patches: Sequence[Patch], shapes: np.ndarray) -> list[Fault]:
    first, second = shapely.STRtree(shapes).query(shapes)
    once = first < second
    first, second = first[once], second[once]
    common = shapely.intersection(shapes[first], shapes[second])
    areas = shapely.area(common)
    faults = []
    worst = [i for i in np.argsort(-areas).tolist() if areas[i] > AREA_MM2]
    for i in worst[:MOST_NAMED]:
        a, b = patches[int(first[i])], patches[int(second[i])]
        message = f"overlaps patch {b.name} by {area_words(areas[i])} mm² near {_middle(common[i])}"
        faults.append(Fault("D505", f"patch {a.name}", message, "move a corner of one of them"))
    if len(worst) > MOST_NAMED:
        more = len(worst) - MOST_NAMED
        faults.append(Fault("D505", "the drawing", f"has {more} more overlaps"))
    return faults


def _gaps(shapes: np.ndarray, board: shapely.Polygon) -> list[Fault]:
    covered = shapely.union_all(shapes)
    faults = []
    for code, rest, what, remedy in (
        ("D506", shapely.difference(board, covered), "a gap", "fill it with a patch"),
        ("D507", shapely.difference(covered, board), "wood outside its outline", "cut it back"),
    ):
        parts = [part for part in shapely.get_parts(rest) if part.area > AREA_MM2]
        parts.sort(key=lambda part: -part.area)
        for part in parts[:MOST_NAMED]:
            message = f"has {what} of {area_words(part.area)} mm² near {_middle(part)}"
            faults.append(Fault(code, "the drawing", message, remedy))
        if len(parts) > MOST_NAMED:
            more = len(parts) - MOST_NAMED
            faults.append(Fault(code, "the drawing", f"has {more} more places like this"))
    return faults


def _middle(shape: shapely.Geometry) -> str:
    largest = max(shapely.get_parts(shape), key=lambda part: float(part.area))
    ring = tuple((x, y) for x, y in largest.exterior.coords[:-1])
    return place(inner_point(ring))


def place(point: Point) -> str:
    """A place on the board in whole millimetres from the lower left corner.

    >>> place((31.2, 11.9))
    '(31, 12)'
    """
    return f"({point[0]:.0f}, {point[1]:.0f})"
