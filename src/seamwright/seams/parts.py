"""Pieces of cells, numbered, and on which side of which line each of them lies.

Regions are sets of pieces, as integers used as bit sets. A piece that is met again, however it was
cut, has the number it had before: what is known of a region is known for good.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from seamwright.geometry import (
    ON_LINE_MM,
    SLIVER_MM,
    Line,
    Point,
    Polygon,
    drop_collinear,
    is_convex,
    split,
)
from seamwright.seams.lines import members, supporting_lines


@dataclass(frozen=True, slots=True, kw_only=True)
class AddedSeam:
    """A new seam through one cell.

    Attributes:
        cell: number of the drawn cell it cuts.
        start, end: its ends [mm].
    """

    cell: int
    start: Point
    end: Point


@dataclass(frozen=True, slots=True)
class Halves:
    """A region cut along a line: what lies left, what lies right, and the seams that are new."""

    left: int
    right: int
    added: tuple[AddedSeam, ...]


class Parts:
    """Pieces of cells and the lines they may be cut along.

    Args:
        cells: polygons that tile a region [mm].
        origin: for each the number of the drawn cell it is.
    """

    def __init__(self, cells: Sequence[Polygon], origin: Sequence[int]) -> None:
        self.lines = tuple(entry.line for entry in supporting_lines(cells))
        self.polygons: list[Polygon] = []
        self.origin: list[int] = []
        self._numbers: dict[tuple[int, frozenset[Point]], int] = {}
        self._left = [0] * len(self.lines)
        self._right = [0] * len(self.lines)
        self._cuts: dict[tuple[int, int], Halves | None] = {}
        self._locked: dict[int, tuple[int, ...]] = {}
        for cell, number in zip(cells, origin, strict=True):
            self._add(cell, number)

    @property
    def whole(self) -> int:
        """All cells, where nothing has been cut yet."""
        return (1 << len(self.polygons)) - 1

    def crossed(self, region: int, line: int) -> int:
        """The pieces of a region a line runs through (bit set)."""
        return region & self._left[line] & self._right[line]

    def beside(self, region: int, line: int) -> bool:
        """Whether a region reaches to both sides of a line."""
        return bool(region & self._left[line]) and bool(region & self._right[line])

    def locked(self, region: int) -> tuple[int, ...]:
        """Split a region along lines that cross nothing as far as it goes: what stays together."""
        if region not in self._locked:
            self._locked[region] = tuple(self._split(region))
        return self._locked[region]

    def cut(self, region: int, line: int) -> Halves | None:
        """Cut along a line; None where a cut would leave a sliver."""
        crossed = self.crossed(region, line)
        left = region & self._left[line] & ~crossed
        right = region & self._right[line] & ~crossed
        added: list[AddedSeam] = []
        for part in members(crossed):
            if (part, line) not in self._cuts:
                self._cuts[part, line] = self._cut_one(part, line)
            halves = self._cuts[part, line]
            if halves is None:
                return None
            left |= halves.left
            right |= halves.right
            added.extend(halves.added)
        return Halves(left, right, tuple(added))

    def _split(self, region: int) -> list[int]:
        if not region & (region - 1):
            hollow = region and not is_convex(self.polygons[region.bit_length() - 1])
            return [region] if hollow else []
        for line in range(len(self.lines)):
            if self.beside(region, line) and not self.crossed(region, line):
                return [
                    *self.locked(region & self._left[line]),
                    *self.locked(region & self._right[line]),
                ]
        return [region]

    def _cut_one(self, part: int, line: int) -> Halves | None:
        halves = split(self.polygons[part], self.lines[line])
        sides = [0, 0]
        for place, pieces in enumerate(halves):
            for piece in pieces:
                clean = drop_collinear(piece)
                if not clean or _too_thin(clean):
                    return None
                sides[place] |= 1 << self._add(clean, self.origin[part])
        added = tuple(
            AddedSeam(cell=self.origin[part], start=start, end=end)
            for start, end in _chords(halves, self.lines[line])
        )
        return Halves(sides[0], sides[1], added)

    def _add(self, polygon: Polygon, origin: int) -> int:
        key = (origin, frozenset((round(x, 6), round(y, 6)) for x, y in polygon))
        if key not in self._numbers:
            number = self._numbers[key] = len(self.polygons)
            self.polygons.append(polygon)
            self.origin.append(origin)
            for place, line in enumerate(self.lines):
                reach = [line.side(p) for p in polygon]
                self._left[place] |= (max(reach) > ON_LINE_MM) << number
                self._right[place] |= (min(reach) < -ON_LINE_MM) << number
        return self._numbers[key]


def _too_thin(cell: Polygon) -> bool:
    for a, b in zip(cell, cell[1:] + cell[:1], strict=True):
        line = Line.through(a, b)
        if max(line.side(p) for p in cell) < SLIVER_MM:
            return True
    return False


def _chords(
    halves: tuple[Sequence[Polygon], Sequence[Polygon]], line: Line
) -> list[tuple[Point, Point]]:
    """Stretches of the line where parts on both sides meet; a hollow cell may have several."""
    stretches = [[s for part in parts for s in _on_line(part, line)] for parts in halves]
    found = []
    for low_a, high_a in stretches[0]:
        for low_b, high_b in stretches[1]:
            low, high = max(low_a, low_b), min(high_a, high_b)
            if high - low > ON_LINE_MM:
                found.append((low, high))
    return [(_at(line, low), _at(line, high)) for low, high in sorted(found)]


def _on_line(part: Polygon, line: Line) -> list[tuple[float, float]]:
    found = []
    for a, b in zip(part, part[1:] + part[:1], strict=True):
        if abs(line.side(a)) <= ON_LINE_MM and abs(line.side(b)) <= ON_LINE_MM:
            along = (line.ux * a[0] + line.uy * a[1], line.ux * b[0] + line.uy * b[1])
            found.append((min(along), max(along)))
    return found


def _at(line: Line, along: float) -> Point:
    return (
        line.ux * along - line.uy * line.offset,
        line.uy * along + line.ux * line.offset,
    )
