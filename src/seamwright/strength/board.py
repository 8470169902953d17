"""The board as one net of welded points: every seam is the same edge seen from both sides."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import shapely
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

from seamwright.design import Drawing
from seamwright.errors import Fault, StrengthError
from seamwright.geometry import WELD_MM
from seamwright.strength.arrays import Floats
from seamwright.strength.check import faults_of

Edge = tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """A checked drawing, its points welded.

    Attributes:
        drawing: what it was made from.
        nodes: (n, 2) points [mm].
        rings: for each patch its outline as node numbers, anticlockwise; every node that touches
            the outline stands in it.
        edges: for each edge (a < b) the patches it bounds: one at the board's edge, two at a seam.
        shapes: each patch as welded.
    """

    drawing: Drawing
    nodes: Floats
    rings: tuple[tuple[int, ...], ...]
    edges: dict[Edge, tuple[int, ...]]
    shapes: tuple[shapely.Polygon, ...]

    @property
    def area_mm2(self) -> float:
        """Area of all patches [mm²]."""
        return float(sum(shape.area for shape in self.shapes))


def welded(drawing: Drawing) -> Board:
    """Check and weld a drawing.

    Raises:
        StrengthError: the faults of ``check.faults_of``, or parts that hang together nowhere
            (S110).
    """
    faults = faults_of(drawing)
    if faults:
        raise StrengthError(*faults)
    nodes, rings = _weld_points(drawing)
    rings = _pull_in(nodes, rings)
    edges: dict[Edge, tuple[int, ...]] = {}
    for piece, ring in enumerate(rings):
        for a, b in _pairs(ring):
            key = (min(a, b), max(a, b))
            edges[key] = (*edges.get(key, ()), piece)
    shapes = tuple(shapely.Polygon(nodes[list(ring)]) for ring in rings)
    board = Board(drawing=drawing, nodes=nodes, rings=tuple(rings), edges=edges, shapes=shapes)
    _check_connected(board)
    return board


def _pairs(ring: Iterable[int]) -> list[Edge]:
    listed = list(ring)
    return list(zip(listed, listed[1:] + listed[:1], strict=True))


def _weld_points(drawing: Drawing) -> tuple[Floats, list[tuple[int, ...]]]:
    points = np.array([p for patch in drawing.patches for p in patch.points], dtype=np.float64)
    near = cKDTree(points).query_pairs(WELD_MM, output_type="ndarray")
    n = len(points)
    graph = coo_array((np.ones(len(near)), (near[:, 0], near[:, 1])), shape=(n, n))
    count, label = connected_components(graph, directed=False)
    total = np.zeros((count, 2))
    np.add.at(total, label, points)
    nodes = total / np.bincount(label, minlength=count)[:, None]
    rings = []
    start = 0
    labels, places = label.tolist(), nodes.tolist()
    for patch in drawing.patches:
        ring = labels[start : start + len(patch.points)]
        start += len(patch.points)
        rings.append(_without_repeats(ring, places))
    return nodes, rings


def _without_repeats(ring: list[int], nodes: list[list[float]]) -> tuple[int, ...]:
    """The ring without doubled points, turned anticlockwise."""
    kept = [a for a, b in zip(ring, ring[-1:] + ring[:-1], strict=True) if a != b]
    at = [nodes[node] for node in kept]
    turn = sum(p[0] * q[1] - q[0] * p[1] for p, q in zip(at, at[1:] + at[:1], strict=True))
    return tuple(kept if turn > 0.0 else kept[::-1])


def _pull_in(nodes: Floats, rings: list[tuple[int, ...]]) -> list[tuple[int, ...]]:
    """Put every node that lies on an edge into it: where three pieces meet in a T."""
    edges = sorted({(min(a, b), max(a, b)) for ring in rings for a, b in _pairs(ring)})
    lines = shapely.linestrings(nodes[np.array(edges)])
    tree = shapely.STRtree(lines)
    points = shapely.points(nodes)
    at, on = tree.query(points, predicate="dwithin", distance=WELD_MM)
    inside: dict[Edge, list[int]] = {}
    for node, line in zip(at.tolist(), on.tolist(), strict=True):
        if node not in edges[line]:
            inside.setdefault(edges[line], []).append(node)
    return [_pulled(nodes, ring, inside) for ring in rings]


def _pulled(nodes: Floats, ring: tuple[int, ...], inside: dict[Edge, list[int]]) -> tuple[int, ...]:
    out: list[int] = []
    for a, b in _pairs(ring):
        out.append(a)
        between = inside.get((min(a, b), max(a, b)), [])
        along = nodes[b] - nodes[a]
        out += sorted(between, key=lambda node: float((nodes[node] - nodes[a]) @ along))
    return tuple(out)


def _check_connected(board: Board) -> None:
    pairs = np.array([p for p in board.edges.values() if len(p) == 2], dtype=np.int64)
    n = len(board.rings)
    if n == 1:
        return
    pairs = pairs.reshape(-1, 2)
    graph = coo_array((np.ones(len(pairs)), (pairs[:, 0], pairs[:, 1])), shape=(n, n))
    count, label = connected_components(graph, directed=False)
    if count == 1:
        return
    main = int(np.argmax(np.bincount(label)))
    faults = []
    for part in range(count):
        if part != main:
            names = [board.drawing.patches[i].name for i in np.flatnonzero(label == part)[:4]]
            faults.append(
                Fault(
                    "S110",
                    "patch " + ", ".join(names),
                    "is glued to the rest of the board nowhere",
                    "a corner is no seam: let it share an edge",
                )
            )
    raise StrengthError(*faults)
