"""Triangles that keep to the seams: Delaunay of all points, split until every seam is an edge."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from scipy.spatial import Delaunay, cKDTree

from seamwright.errors import Fault, StrengthError
from seamwright.strength.arrays import Flags, Floats, Ints
from seamwright.strength.board import Board
from seamwright.strength.fill import edge_points, honeycomb

_ROUNDS = 40
_FLAT_MM2 = 1e-7
"""Triangles smaller than this are the flat ones that rounding leaves along straight edges."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mesh:
    """A triangle mesh that fits the board.

    Attributes:
        board: what it is a mesh of.
        points: (n, 2) [mm]; the board's nodes come first.
        triangles: (m, 3) point numbers.
        pieces: (m,) the patch each triangle lies in.
        segments: (k, 2) point numbers: the edges of the patches, split.
        owners: (k,) for each segment the number of its edge in the order of ``board.edges``.
    """

    board: Board
    points: Floats
    triangles: Ints
    pieces: Ints
    segments: Ints
    owners: Ints


def meshed(board: Board, *, size_mm: float) -> Mesh:
    """A mesh with elements of about a size [mm].

    Raises:
        StrengthError: no mesh keeps to all seams (S120), which only a drawing near the limits of
            its tolerances can bring about.

    Reference:
        Splitting at powers of two from a sharp corner: Ruppert (1995), "A Delaunay refinement
        algorithm", the concentric shells; here only to recover edges, not for angles.
    """
    edge, segments, owners = edge_points(board, size_mm=size_mm)
    inner = honeycomb(board, edge, size_mm=size_mm)
    for _ in range(_ROUNDS):
        points = np.concatenate((edge, inner))
        triangles = Delaunay(points).simplices.astype(np.int64)
        lost = ~_present(triangles, segments, len(points))
        if not lost.any():
            return _assigned(board, points, triangles, segments, owners)
        inner = _uncrowded(inner, edge[segments[lost]])
        edge, segments, owners = _split(edge, segments, owners, lost, corners=len(board.nodes))
    x, y = edge[segments[lost][0, 0]]
    raise StrengthError(
        Fault(
            "S120",
            f"the seam near ({x:.0f}, {y:.0f})",
            "could not be meshed",
            "look for points that nearly meet there and let them meet",
        )
    )


def _present(triangles: Ints, segments: Ints, count: int) -> Flags:
    """Which segments are sides of triangles."""
    sides = np.concatenate((triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]))
    sides.sort(axis=1)
    ordered = np.sort(segments, axis=1)
    return np.isin(ordered[:, 0] * count + ordered[:, 1], sides[:, 0] * count + sides[:, 1])


def _split(
    edge: Floats, segments: Ints, owners: Ints, lost: Flags, *, corners: int
) -> tuple[Floats, Ints, Ints]:
    """Split the lost segments in two."""
    ends = segments[lost]
    a, b = edge[ends[:, 0]], edge[ends[:, 1]]
    share = np.array(
        [
            _share(math.dist(p, q), start=int(s) < corners, end=int(e) < corners)
            for p, q, (s, e) in zip(a, b, ends, strict=True)
        ]
    )
    new = a + share[:, None] * (b - a)
    numbers = np.arange(len(edge), len(edge) + len(new))
    first, second = np.column_stack((ends[:, 0], numbers)), np.column_stack((numbers, ends[:, 1]))
    return (
        np.concatenate((edge, new)),
        np.concatenate((segments[~lost], first, second)),
        np.concatenate((owners[~lost], owners[lost], owners[lost])),
    )


def _uncrowded(inner: Floats, ends: Floats) -> Floats:
    """The honeycomb without the points that crowd the lost segments."""
    if not len(inner):
        return inner
    radius = np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1) * 0.55
    crowd = cKDTree(inner).query_ball_point(ends.mean(axis=1), radius)
    return np.delete(inner, sorted({int(i) for hits in crowd for i in hits}), axis=0)


def _share(length: float, *, start: bool, end: bool) -> float:
    """Where to split: in the middle, or at a power of two from the one end that is a corner."""
    if start == end:
        return 0.5
    shell = 2.0 ** round(math.log2(length / 2.0)) / length
    return shell if start else 1.0 - shell


def _assigned(board: Board, points: Floats, triangles: Ints, segments: Ints, owners: Ints) -> Mesh:
    p, q, r = points[triangles[:, 0]], points[triangles[:, 1]], points[triangles[:, 2]]
    twice = (q[:, 0] - p[:, 0]) * (r[:, 1] - p[:, 1]) - (q[:, 1] - p[:, 1]) * (r[:, 0] - p[:, 0])
    solid = np.abs(twice) > 2.0 * _FLAT_MM2
    triangles, twice = triangles[solid], twice[solid]
    middles = points[triangles].mean(axis=1)
    found, piece = shapely.STRtree(board.shapes).query(
        shapely.points(middles), predicate="intersects"
    )
    found, first = np.unique(found, return_index=True)
    covered = float(np.abs(twice[found]).sum()) / 2.0
    if abs(covered - board.area_mm2) > 1e-6 * board.area_mm2:
        raise StrengthError(
            Fault("S120", "the board", f"was meshed to {covered:.2f} mm² of {board.area_mm2:.2f}")
        )
    return Mesh(
        board=board,
        points=points,
        triangles=triangles[found],
        pieces=piece[first].astype(np.int64),
        segments=segments,
        owners=owners,
    )
