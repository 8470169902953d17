"""Where two pieces meet, how long, and how their grain runs into the glue line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from functools import lru_cache

from seamwright.design import Patch
from seamwright.geometry import ON_LINE_MM, Line, Point, Polygon, angle_between
from seamwright.seams.lines import Edge, edges_by_line

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
    return tuple(
        Seam(
            left=a,
            right=b,
            start=start,
            end=end,
            left_deg=angle_between(patches[a].grain_deg, angle),
            right_deg=angle_between(patches[b].grain_deg, angle),
        )
        for a, b, start, end, angle in _stretches(tuple(patch.points for patch in patches))
    )


_Stretch = tuple[int, int, Point, Point, float]


# a wood or a grain that is changed moves no seam
@lru_cache(maxsize=16)
def _stretches(cells: tuple[Polygon, ...]) -> tuple[_Stretch, ...]:
    """Cell on the left, cell on the right, ends and direction of each stretch between two cells."""
    return tuple(
        stretch for line, edges in edges_by_line(cells) for stretch in _on_line(line, edges)
    )


def _on_line(line: Line, edges: Sequence[Edge]) -> Iterator[_Stretch]:
    # an edge that runs with the line has its cell on the left
    left = sorted((begin, end, cell) for begin, end, cell in edges if begin < end)
    right = sorted((end, begin, cell) for begin, end, cell in edges if end < begin)
    angle = line.undirected_deg
    first = 0
    for low_l, high_l, a in left:
        while first < len(right) and right[first][1] <= low_l:
            first += 1
        for low_r, high_r, b in right[first:]:
            if low_r >= high_l:
                break
            low, high = max(low_l, low_r), min(high_l, high_r)
            if high - low > ON_LINE_MM:
                yield a, b, _at(line, low), _at(line, high), angle


def _at(line: Line, along: float) -> Point:
    return (
        line.ux * along - line.uy * line.offset,
        line.uy * along + line.ux * line.offset,
    )
