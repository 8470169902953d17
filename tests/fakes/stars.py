"""Stars of any number of points, and the fewest cuts counted by an implementation of its own."""

from __future__ import annotations

import math
from functools import cache

from shapely import Polygon as Shape
from shapely import box
from shapely.affinity import rotate

from seamwright.geometry import Polygon

_FAR_MM = 1e4


def star(points: int, *, side_mm: float = 60.0, turned_deg: float = 0.0) -> list[Polygon]:
    """So many rhombs about the middle, and what is set in between them up to a polygon."""
    turn = 360.0 / points

    def at(reach: float, steps: float) -> tuple[float, float]:
        angle = math.radians(turned_deg + steps * turn)
        return (round(reach * math.cos(angle), 9), round(reach * math.sin(angle), 9))

    far = 2.0 * side_mm * math.cos(math.radians(turn / 2.0))
    cells: list[Polygon] = []
    for k in range(points):
        inner, tip, following = at(side_mm, k), at(far, k + 0.5), at(side_mm, k + 1)
        cells.append(((0.0, 0.0), inner, tip, following))
        cells.append((following, tip, at(far, k + 1.5)))
    return cells


Spot = tuple[float, float]
Row = tuple[float, float, float]
"""A point of a line [mm] and its direction [°]."""


def carriers(rings: list[Polygon]) -> list[Row]:
    """Every line that carries an edge, each once."""
    found: dict[tuple[float, float], Row] = {}
    for ring in rings:
        for (x, y), (u, v) in zip(ring, ring[1:] + ring[:1], strict=True):
            turn = math.atan2(v - y, u - x) % math.pi
            turn = 0.0 if math.pi - turn < 1e-6 else turn
            away = math.cos(turn) * y - math.sin(turn) * x
            found.setdefault((round(turn, 5), round(away, 3)), (x, y, math.degrees(turn)))
    return list(found.values())


def fewest_cuts(rings: list[Polygon], lines: list[Row], *, through: Spot | None = None) -> float:
    """Fewest cells cut until straight cuts along the lines have parted all cells, each convex.

    Every line is tried at every turn, down to the last cell; only what a set of cells takes is
    remembered. Infinite where nothing does.

    Args:
        rings: cells [mm].
        lines: to cut along.
        through: where given, only lines through this point may cut cells.
    """
    sides = [(_half(x, y, deg), _half(x, y, deg + 180.0)) for x, y, deg in lines]
    free = [through is None or _off(line, through) < 1e-3 for line in lines]
    shapes: dict[str, Shape] = {}

    def named(shape: Shape) -> str:
        name = str([(round(x, 2) + 0.0, round(y, 2) + 0.0) for x, y in _corners(shape)])
        shapes[name] = shape
        return name

    @cache
    def parted(name: str, line: int) -> tuple[str, str]:
        parts = (shapes[name].intersection(side) for side in sides[line])
        left, right = (named(part) if part.area > 1e-2 else "" for part in parts)
        return left, right

    @cache
    def least(cells: frozenset[str]) -> float:
        if len(cells) == 1:
            shape = shapes[next(iter(cells))]
            return 0.0 if shape.convex_hull.area - shape.area < 1e-2 else math.inf
        found = math.inf
        for line in range(len(lines)):
            parts = [parted(name, line) for name in cells]
            left = frozenset(a for a, _ in parts if a)
            right = frozenset(b for _, b in parts if b)
            crossed = sum(1 for a, b in parts if a and b)
            if crossed and not free[line]:
                continue
            if left and right and crossed < found:
                found = min(found, crossed + least(left) + least(right))
        return found

    return least(frozenset(named(Shape(ring)) for ring in rings))


def _off(line: Row, spot: Spot) -> float:
    """How far a line passes from a spot [mm]."""
    angle = math.radians(line[2])
    return abs(math.cos(angle) * (spot[1] - line[1]) - math.sin(angle) * (spot[0] - line[0]))


def _half(x: float, y: float, deg: float) -> Shape:
    """Everything left of a line, as far as it matters."""
    return rotate(box(x - _FAR_MM, y, x + _FAR_MM, y + _FAR_MM), deg, origin=(x, y))


def _corners(shape: Shape) -> list[Spot]:
    """Corners of a shape [mm], sorted; none twice, and none on a straight edge."""
    around = dict.fromkeys((round(x, 4) + 0.0, round(y, 4) + 0.0) for x, y in shape.exterior.coords)
    ring = list(around)
    triples = zip(ring[-1:] + ring[:-1], ring, ring[1:] + ring[:1], strict=True)
    return sorted(each[1] for each in triples if Shape(each).area > 1e-2)
