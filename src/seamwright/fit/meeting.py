"""Points of the board where seams should meet, and what each error does to them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import combinations, pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from seamwright.fit.joints import Floats
from seamwright.fit.program import Gap, Program
from seamwright.fit.shapes import Indices, Points
from seamwright.geometry import Line, Point, convex_hull

_SAME_MM = 0.02
_RIM_MM = 0.1
_STEP = 1e-3
_STILL = 1e-7
_CHUNK = 400
_MOST = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Meetings:
    """Pairs of corners that meet as drawn, and faces that close.

    Attributes:
        pairs: corners of the board that should be one point (pairs × 2).
        drift: first-order drift of the first corner from the second (pairs × errors), x + iy
            [mm per mm or °].
        gaps: faces that should close.
        gap_rows: first-order opening of each (gaps × errors).
        places, gap_places: where they are, in the drawing's frame [mm].
    """

    pairs: Indices
    drift: NDArray[np.complex128]
    gaps: tuple[Gap, ...]
    gap_numbers: Indices
    gap_rows: Floats
    places: tuple[Point, ...]
    gap_places: tuple[Point, ...]

    @property
    def points(self) -> tuple[Point, ...]:
        """The meeting points, each once [mm]."""
        return tuple(dict.fromkeys((round(x, 2), round(y, 2)) for x, y in self.places))


def central_slopes(
    function: Callable[[Floats], NDArray[Any]], count: int, *, step: float = _STEP
) -> NDArray[Any]:
    """First-order slopes of a function of many errors, by central differences.

    Args:
        function: from errors (count × trials) to results (results × trials).
        count: number of errors.
        step: of each error.
    Returns:
        (results × count).
    """
    found = []
    for start in range(0, count, _CHUNK):
        size = min(_CHUNK, count - start)
        errors = np.zeros((count, 2 * size))
        at = np.arange(size)
        errors[start + at, at] = step
        errors[start + at, size + at] = -step
        results = function(errors)
        found.append((results[:, :size] - results[:, size:]) / (2.0 * step))
    return np.concatenate(found, axis=1)


def combined_sd(slopes: Floats, sd: Floats) -> Floats:
    """Standard deviation of each result of independent errors, to first order.

    Args:
        slopes: (results × errors).
        sd: standard deviation of each error.
    Reference:
        JCGM 100:2008 (GUM), equation (10).
    """
    return np.asarray(np.sqrt(((slopes * sd) ** 2).sum(axis=1)))


def slopes(program: Program) -> tuple[NDArray[np.complex128], Floats]:
    """What each error does to the corners of the board and to the gaps, to first order.

    Steps of a thousandth of a millimetre or degree: the size of the second-order rest is far
    below what shows.

    Returns:
        (corners × errors, complex) and (gaps × errors).
    """
    count = len(program.shape.points)

    def carried_out(errors: Floats) -> NDArray[np.complex128]:
        run = program.run(errors)
        return np.concatenate([program.corners(run), program.open_mm(run)])

    found = central_slopes(carried_out, program.errors)
    return found[:count], found[count:].real


def meetings(program: Program) -> Meetings:
    """All points of a board that can miss each other, and all faces that can stay open.

    Points that meet on the rim are left out: they are trimmed or lie free. Faces that end there
    have to close all the same.
    """
    corners, opening = slopes(program)
    points = program.shape.points
    inside = inside_rim(points)
    pairs = _pairs(points, inside, corners)
    drift = corners[pairs[:, 0]] - corners[pairs[:, 1]]
    moving = np.flatnonzero(np.abs(opening).max(axis=1, initial=0.0) > _STILL)
    gaps = _each_once([int(g) for g in moving], opening)
    place = program.board_at.point
    return Meetings(
        pairs=pairs,
        drift=drift,
        gaps=tuple(program.gaps[g] for g in gaps),
        gap_numbers=np.array(gaps, dtype=np.int64),
        gap_rows=opening[gaps],
        places=tuple(place((points[a].real, points[a].imag)) for a in pairs[:, 0]),
        gap_places=tuple(
            place((points[i].real, points[i].imag)) for i in (program.gaps[g].point for g in gaps)
        ),
    )


def inside_rim(points: Points) -> NDArray[np.bool_]:
    """Which corners lie inside the outline of a board, not on it."""
    hull = convex_hull([(float(p.real), float(p.imag)) for p in points])
    inside = np.ones(len(points), dtype=bool)
    for a, b in zip(hull, hull[1:] + hull[:1], strict=True):
        line = Line.through(a, b)
        inside &= (line.ux * points.imag - line.uy * points.real - line.offset) > _RIM_MM
    return inside


def _pairs(points: Points, inside: NDArray[np.bool_], corners: NDArray[np.complex128]) -> Indices:
    """Corners at one place that do not always move together."""
    flat = np.stack([points.real, points.imag], axis=1)
    found: list[tuple[int, int]] = []
    seen: set[int] = set()
    for i, near in enumerate(cKDTree(flat).query_ball_point(flat, _SAME_MM)):
        if i in seen or not inside[i]:
            continue
        seen.update(near)
        apart: list[int] = []
        for j in sorted(near):
            if all(np.abs(corners[j] - corners[k]).max() > _STILL for k in apart):
                apart.append(j)
        few = combinations(apart, 2) if len(apart) <= _MOST else pairwise([*apart, apart[0]])
        found += [(a, b) for a, b in few]
    return np.array(found, dtype=np.int64).reshape(-1, 2)


def main_direction(drift: NDArray[np.complex128]) -> Points:
    """The direction in which each pair drifts most: the main axis of its two by two spread.

    Args:
        drift: pairs × independent errors, each weighed by its standard deviation.
    """
    xx, yy = (drift.real**2).sum(axis=1), (drift.imag**2).sum(axis=1)
    xy = (drift.real * drift.imag).sum(axis=1)
    return np.asarray(np.exp(0.5j * np.arctan2(2.0 * xy, xx - yy)))


def _each_once(gaps: list[int], opening: Floats) -> list[int]:
    """Gaps that always open alike are one."""
    known: set[bytes] = set()
    kept = []
    for g in gaps:
        row = opening[g]
        sign = np.sign(row[np.argmax(np.abs(row))])
        key = np.round(row * sign, 5).tobytes()
        if key not in known:
            known.add(key)
            kept.append(g)
    return kept
