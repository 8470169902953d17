"""What one part of a kind looks like on paper, and how a cut changes it.

Points are complex numbers, x + iy [mm]: a turn is one product, and numpy carries a hundred
thousand of them at once. A recipe made here from the drawn sizes is carried out by
``fit.program`` on real ones.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from seamwright.geometry import cos_deg, sin_deg

Points = NDArray[np.complex128]
Indices = NDArray[np.int64]

ON_LINE_MM = 1e-3
"""A corner nearer to a cut than this lies on it as drawn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Corners:
    """One piece of wood: its corners among the points of the part, anticlockwise.

    Attributes:
        at: indices of the corners.
        wood, grain_deg: as in the part's frame.
        stick, sliced: ids of the stick kind it comes from, and of the slice kind; "" for none.
    """

    at: tuple[int, ...]
    wood: str
    grain_deg: float
    stick: str
    sliced: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A part as drawn: points [mm] and the pieces between them."""

    points: Points
    pieces: tuple[Corners, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Clip:
    """How a cut makes new points from old ones.

    Attributes:
        kept: points that stay, in order; they come first in the new shape.
        inner, outer: ends of the edges that are crossed; one new point each.
        point, direction: a point of the drawn line, in the middle of the cut, and its direction;
            what lies left of it stays.
    """

    kept: Indices
    inner: Indices
    outer: Indices
    point: complex
    direction: complex

    def is_idle(self, points: int) -> bool:
        """Whether it leaves all of so many points as they are and makes no new one."""
        return not len(self.inner) and np.array_equal(self.kept, np.arange(points))


def direction(angle_deg: float) -> complex:
    """Unit direction, exact for whole quarter turns."""
    return complex(cos_deg(angle_deg), sin_deg(angle_deg))


def sides(points: Points, through: complex, along: complex) -> NDArray[np.float64]:
    """Distances from a line [mm], positive to its left."""
    return np.asarray(((points - through) * along.conjugate()).imag)


def clip(shape: Shape, through: complex, along: complex) -> tuple[Clip, Shape]:
    """What stays left of a line.

    A corner on the line stays where both its edges lie left of it; where one of them is cut away,
    it is where the other one meets the cut, so that it moves with the cut.

    Args:
        shape: what is cut.
        through, along: a point of the line [mm] and its unit direction.
    """
    side = sides(shape.points, through, along)
    kept: set[int] = set()
    crossed: dict[tuple[int, int], int] = {}
    pieces: list[tuple[Corners, list[tuple[str, object]]]] = []
    for piece in shape.pieces:
        ring = _ring(piece.at, side, kept, crossed)
        if len(ring) >= 3:
            pieces.append((piece, ring))
    kept_at = np.array(sorted(kept), dtype=np.int64)
    place: dict[object, int] = {("kept", int(i)): number for number, i in enumerate(kept_at)}
    place |= {("new", edge): len(kept) + number for edge, number in crossed.items()}
    inner = np.array([edge[0] for edge in crossed], dtype=np.int64)
    outer = np.array([edge[1] for edge in crossed], dtype=np.int64)
    new = cross(shape.points[inner], shape.points[outer], side[inner], side[outer])
    middle = complex(new.mean()) if len(new) else through
    return (
        Clip(kept=kept_at, inner=inner, outer=outer, point=middle, direction=along),
        Shape(
            points=np.concatenate([shape.points[kept_at], new]),
            pieces=tuple(
                replace(piece, at=tuple(place[corner] for corner in ring)) for piece, ring in pieces
            ),
        ),
    )


def _ring(
    at: tuple[int, ...],
    side: NDArray[np.float64],
    kept: set[int],
    crossed: dict[tuple[int, int], int],
) -> list[tuple[str, object]]:
    """The corners of a piece after the cut, each kept or new."""
    if all(side[i] <= ON_LINE_MM for i in at):
        return []
    ring: list[tuple[str, object]] = []
    for k, i in enumerate(at):
        before, after = at[k - 1], at[(k + 1) % len(at)]
        if side[i] > ON_LINE_MM:
            kept.add(i)
            ring.append(("kept", i))
            if side[after] <= ON_LINE_MM and not _touches(after, at[(k + 2) % len(at)], side):
                crossed.setdefault((i, after), len(crossed))
                ring.append(("new", (i, after)))
        elif _touches(i, after, side) and side[before] > ON_LINE_MM:
            kept.add(i)
            ring.append(("kept", i))
        elif side[after] > ON_LINE_MM:
            crossed.setdefault((after, i), len(crossed))
            ring.append(("new", (after, i)))
    return ring


def _touches(i: int, after: int, side: NDArray[np.float64]) -> bool:
    """Whether a corner lies on the line and the piece turns back from there."""
    return abs(float(side[i])) <= ON_LINE_MM and float(side[after]) > ON_LINE_MM


def cross(
    inner: Points, outer: Points, side_in: NDArray[np.float64], side_out: NDArray[np.float64]
) -> Points:
    """Where edges meet a line, from the distances of their ends."""
    return np.asarray(inner + (outer - inner) * (side_in / (side_in - side_out)))
