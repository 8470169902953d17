"""Points for the finite elements: along every edge, and a honeycomb inside."""

from __future__ import annotations

import math

import numpy as np
import shapely
from scipy.spatial import cKDTree

from seamwright.strength.arrays import Floats, Ints
from seamwright.strength.board import Board

_CLEAR = 0.72
"""A honeycomb point keeps this share of the element size from the points on the edges."""


def edge_points(board: Board, *, size_mm: float) -> tuple[Floats, Ints, Ints]:
    """Split every edge into parts no longer than the element size, at least two.

    Returns:
        points (n, 2), the board's nodes first; segments (m, 2) of point numbers; for each segment
        the number of its edge in the order of ``board.edges``.
    """
    points = [board.nodes]
    segments: list[Ints] = []
    owners: list[Ints] = []
    count = len(board.nodes)
    for number, (a, b) in enumerate(board.edges):
        start, end = board.nodes[a], board.nodes[b]
        length = math.dist(start, end)
        parts = max(2 if length > size_mm / 4.0 else 1, math.ceil(length / size_mm - 1e-9))
        shares = np.arange(1, parts)[:, None] / parts
        points.append(start + shares * (end - start))
        chain = np.concatenate(([a], np.arange(count, count + parts - 1), [b]))
        segments.append(np.column_stack((chain[:-1], chain[1:])))
        owners.append(np.full(parts, number))
        count += parts - 1
    return (
        np.concatenate(points),
        np.concatenate(segments).astype(np.int64),
        np.concatenate(owners).astype(np.int64),
    )


def honeycomb(board: Board, boundary: Floats, *, size_mm: float) -> Floats:
    """Points of a regular triangular net inside the board and clear of its edges."""
    low, high = boundary.min(axis=0), boundary.max(axis=0)
    rise = size_mm * math.sqrt(0.75)
    rows = np.arange(low[1] + rise / 2.0, high[1], rise)
    columns = np.arange(low[0], high[0] + size_mm, size_mm)
    x, y = np.meshgrid(columns, rows)
    x = x + (np.arange(len(rows)) % 2)[:, None] * (size_mm / 2.0)
    net = np.column_stack((x.ravel(), y.ravel()))
    if len(net) == 0:
        return net
    away, _ = cKDTree(boundary).query(net)
    net = net[away > _CLEAR * size_mm]
    outline = shapely.union_all(board.shapes)
    shapely.prepare(outline)
    kept: Floats = net[shapely.contains_xy(outline, net[:, 0], net[:, 1])]
    return kept
