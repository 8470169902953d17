"""Where two pieces meet, how long, and how their grain runs into the glue line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from seamwright.design import Patch
from seamwright.geometry import ON_LINE_MM, Line, Point, angle_between, cos_deg, sin_deg
from seamwright.seams.lines import supporting_lines

LONG_GRAIN_DEG = 5.0
"""Up to this angle between grain and seam a side counts as long grain (about a 1:12 slope;
common practice, no source for the exact figure)."""
END_GRAIN_DEG = 60.0
"""From this angle on a side counts as end grain (common practice, no source)."""


class SeamClass(Enum):
    """How the grain of one side meets the glue line."""

    LONG_GRAIN = "long grain"
    SLANTED = "slanted"
    END_GRAIN = "end grain"


@dataclass(frozen=True, slots=True, kw_only=True)
class Seam:
    """A straight glue line between two patches.

    Attributes:
        left, right: numbers of the patches on either side.
        start, end: its ends [mm].
        left_deg, right_deg: acute angle [°] between grain and seam on either side; 0 is long
            grain, 90 is end grain.
    """

    left: int
    right: int
    start: Point
    end: Point
    left_deg: float
    right_deg: float

    @property
    def length_mm(self) -> float:
        """Length of the glue line [mm]."""
        dx, dy = self.end[0] - self.start[0], self.end[1] - self.start[1]
        return float((dx * dx + dy * dy) ** 0.5)

    @property
    def weaker_deg(self) -> float:
        """The larger of the two grain angles [°]: the side that governs."""
        return max(self.left_deg, self.right_deg)

    @property
    def seam_class(self) -> SeamClass:
        """Class of the weaker side."""
        return grade(self.weaker_deg)

    @property
    def words(self) -> str:
        """The class in words, with degrees where they matter."""
        if self.seam_class is SeamClass.SLANTED:
            return f"slanted {self.weaker_deg:.0f}°"
        return str(self.seam_class.value)


def grade(angle_deg: float) -> SeamClass:
    """Class of one side from the angle [°] between its grain and the seam."""
    if angle_deg <= LONG_GRAIN_DEG:
        return SeamClass.LONG_GRAIN
    return SeamClass.END_GRAIN if angle_deg >= END_GRAIN_DEG else SeamClass.SLANTED


def find_seams(patches: Sequence[Patch]) -> tuple[Seam, ...]:
    """Every seam of a drawing, each stretch between two patches once.

    Args:
        patches: patches that tile a board.
    Returns:
        Seams sorted by the line they lie on and along it.
    """
    cells = [patch.points for patch in patches]
    edges = _edges_by_line(patches)
    seams: list[Seam] = []
    for entry in supporting_lines(cells):
        line = entry.line
        angle = line.undirected_deg
        left, right = edges.on(line)
        for low_l, high_l, a in left:
            for low_r, high_r, b in right:
                low, high = max(low_l, low_r), min(high_l, high_r)
                if high - low > ON_LINE_MM:
                    seams.append(
                        Seam(
                            left=a,
                            right=b,
                            start=_at(line, low),
                            end=_at(line, high),
                            left_deg=angle_between(patches[a].grain_deg, angle),
                            right_deg=angle_between(patches[b].grain_deg, angle),
                        )
                    )
    return tuple(seams)


Stretch = tuple[float, float, int]


class _EdgeTable:
    """Edges of all patches, found again by the line they lie on."""

    def __init__(self) -> None:
        self._rows: dict[tuple[int, int], list[tuple[Line, Point, Point, int]]] = {}

    def add(self, a: Point, b: Point, patch: int) -> None:
        line = Line.through(a, b)
        self._rows.setdefault(self._key(line), []).append((line, a, b, patch))

    def on(self, line: Line) -> tuple[list[Stretch], list[Stretch]]:
        left: list[Stretch] = []
        right: list[Stretch] = []
        for near in self._near(line):
            for _, a, b, patch in self._rows.get(near, ()):
                if abs(line.side(a)) > ON_LINE_MM or abs(line.side(b)) > ON_LINE_MM:
                    continue
                along_a = line.ux * a[0] + line.uy * a[1]
                along_b = line.ux * b[0] + line.uy * b[1]
                side = left if along_b > along_a else right
                side.append((min(along_a, along_b), max(along_a, along_b), patch))
        return sorted(left), sorted(right)

    @staticmethod
    def _key(line: Line) -> tuple[int, int]:
        angle = round(line.undirected_deg * 100.0) % 18000
        # which way round: a hair below 180° is 0°, looked at from the other side
        ahead = line.ux * cos_deg(angle / 100.0) + line.uy * sin_deg(angle / 100.0)
        return (angle, round(line.offset if ahead > 0.0 else -line.offset))

    def _near(self, line: Line) -> list[tuple[int, int]]:
        angle, offset = self._key(line)
        keys: dict[tuple[int, int], None] = {}
        for turned in (-1, 0, 1):
            # across 0° the direction flips, and with it the sign of the offset
            flips = not 0 <= angle + turned < 18000
            for moved in (-1, 0, 1):
                sign = -1 if flips else 1
                keys[((angle + turned) % 18000, sign * (offset + moved))] = None
        return list(keys)


def _edges_by_line(patches: Sequence[Patch]) -> _EdgeTable:
    table = _EdgeTable()
    for number, patch in enumerate(patches):
        for a, b in zip(patch.points, patch.points[1:] + patch.points[:1], strict=True):
            table.add(a, b, number)
    return table


def _at(line: Line, along: float) -> Point:
    return (
        line.ux * along - line.uy * line.offset,
        line.uy * along + line.ux * line.offset,
    )
