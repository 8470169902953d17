"""Over-build and trim: make the simpler shape whose seams run on, then saw off what is too much."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from seamwright.geometry import (
    ANGLE_DEG,
    ON_LINE_MM,
    Line,
    Polygon,
    angle_between,
    area,
    clip,
    drop_collinear,
)
from seamwright.planner.bars import LEAST_SLANT_DEG
from seamwright.planner.cells import SAME_MM2, Cell

MOST_EXTRA = 3.0
"""A larger part of more than this many times the area is never worth building."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OverBuilt:
    """A larger tiling and the cuts that bring it back.

    Attributes:
        cells: the pieces, run on; same order and frame as the trimmed region's.
        hull: the larger outline [mm].
        cuts: what lies left of every line stays.
    """

    cells: tuple[Cell, ...]
    hull: Polygon
    cuts: tuple[Line, ...]


def over_builds(cells: Sequence[Cell], hull: Polygon, seams: Sequence[float]) -> list[OverBuilt]:
    """Larger parts that a region can be trimmed from.

    The larger outline is the bounding parallelogram in two directions: those of the seams inside
    (at most two, so that the larger part is a plain grid), completed by edges of the outline; for
    a single piece, along and across its grain, and along its grain and along one of its edges where
    that leaves fewer cuts to make. A single piece always gets the smallest of these, however large:
    there is no other way to make it.

    Args:
        cells: convex cells that tile the region [mm].
        hull: its outline, anticlockwise [mm].
        seams: directions of the seams inside [°], each once.
    """
    if len(seams) > 2:
        return []
    edges = [Line.through(a, b) for a, b in zip(hull, hull[1:] + hull[:1], strict=True)]
    most = MOST_EXTRA * area(hull)
    if len(cells) == 1:
        return _blanks(cells, edges, most)
    outer = [e.undirected_deg for e in edges]
    built = _built(cells, edges, _pairs(seams, outer))
    return [larger for larger in built if area(larger.hull) <= most]


def _blanks(cells: Sequence[Cell], edges: Sequence[Line], most: float) -> list[OverBuilt]:
    """What a single piece is trimmed from, smallest first where cuts are equal."""
    grain = cells[0].grain_deg
    square = _built(cells, edges, [(grain, grain + 90.0)])
    slanted = _built(cells, edges, _slants(edges, grain))
    by_size = sorted(square + slanted, key=lambda built: area(built.hull))
    kept = [built for built in square if area(built.hull) <= most]
    for built in by_size:
        fewer = all(len(built.cuts) < len(other.cuts) for other in kept)
        if fewer and area(built.hull) <= most:
            kept.append(built)
    return kept or by_size[:1]


def _built(
    cells: Sequence[Cell], edges: Sequence[Line], pairs: Sequence[tuple[float, float]]
) -> list[OverBuilt]:
    found = [_over_build(cells, edges, pair) for pair in pairs]
    return [built for built in found if built is not None]


def _slants(edges: Sequence[Line], grain_deg: float) -> list[tuple[float, float]]:
    angles = {round(e.undirected_deg, 6): e.undirected_deg for e in edges}
    return [
        (grain_deg, angle)
        for angle in angles.values()
        if angle_between(angle, grain_deg) >= LEAST_SLANT_DEG
    ]


def _lies_on(line: Line, a: tuple[float, float], b: tuple[float, float]) -> bool:
    return abs(line.side(a)) <= ON_LINE_MM and abs(line.side(b)) <= ON_LINE_MM


def _pairs(seams: Sequence[float], outer: Sequence[float]) -> list[tuple[float, float]]:
    if len(seams) == 2:
        return [(seams[0], seams[1])]
    if not seams:
        return []
    others: list[float] = []
    for angle in outer:
        if all(angle_between(angle, known) > ANGLE_DEG for known in (*seams, *others)):
            others.append(angle)
    square = seams[0] + 90.0
    if all(angle_between(square, known) > ANGLE_DEG for known in others):
        others.append(square)
    return [(seams[0], other) for other in others]


def _over_build(
    cells: Sequence[Cell], edges: Sequence[Line], pair: tuple[float, float]
) -> OverBuilt | None:
    corners = [corner for cell in cells for corner in cell.polygon]
    sides: list[Line] = []
    for angle in pair:
        line = Line.at_angle((0.0, 0.0), angle)
        reach = [line.side(corner) for corner in corners]
        sides += [line.shifted(min(reach)), line.shifted(max(reach)).reversed()]
    first, second = (sides[0], sides[2])
    low, high = first.crossing(second), first.crossing(sides[3])
    far_low, far_high = sides[1].crossing(second), sides[1].crossing(sides[3])
    if low is None or high is None or far_low is None or far_high is None:
        return None
    hull: Polygon = (low, high, far_high, far_low)
    if _turns_clockwise(hull):
        hull = hull[::-1]
    cuts = tuple(e for e in edges if not any(_same_line(e, side) for side in sides))
    if not cuts:
        return None
    grown: list[Cell] = []
    for cell in cells:
        polygon = _run_on(cell.polygon, cuts, hull)
        if polygon is None:
            return None
        grown.append(replace(cell, polygon=polygon))
    if abs(sum(area(c.polygon) for c in grown) - area(hull)) > SAME_MM2:
        return None
    return OverBuilt(cells=tuple(grown), hull=hull, cuts=cuts)


def _turns_clockwise(ring: Polygon) -> bool:
    return Line.through(ring[0], ring[1]).side(ring[2]) < 0.0


def _same_line(a: Line, b: Line) -> bool:
    cross = a.ux * b.uy - a.uy * b.ux
    if abs(cross) > 1e-9:
        return False
    sign = 1.0 if a.ux * b.ux + a.uy * b.uy > 0.0 else -1.0
    return abs(a.offset - sign * b.offset) <= ON_LINE_MM


def _run_on(polygon: Polygon, cuts: Sequence[Line], hull: Polygon) -> Polygon | None:
    result = hull
    for a, b in zip(polygon, polygon[1:] + polygon[:1], strict=True):
        if any(_lies_on(line, a, b) for line in cuts):
            continue
        parts = clip(result, Line.through(a, b))
        if len(parts) != 1:
            return None
        result = parts[0]
    return drop_collinear(result) or None
