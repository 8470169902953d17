"""The line along which a board would break under a load: an upper bound, and a line to draw."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from scipy.sparse import coo_array
from scipy.sparse.csgraph import dijkstra

from seamwright.geometry import Point
from seamwright.strength.arrays import Floats, Ints
from seamwright.strength.board import Board
from seamwright.strength.fill import edge_points
from seamwright.strength.grain import SeamGrain
from seamwright.strength.loads import Axis
from seamwright.strength.material import Material
from seamwright.strength.seams import SeamRun

_MOST_POINTS = 24
"""Points on the outline of one piece between which it may break."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakLine:
    """Where the board would break through.

    Attributes:
        factor: times the load that breaks it if every part of the line gives its all [-].
        path: the line [mm].
        on_seams: share of its length that runs along seams.
    """

    factor: float
    path: tuple[Point, ...]
    on_seams: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Links:
    """Straight bits a break may follow.

    Attributes:
        points: (n, 2) [mm].
        ends: (l, 2) point numbers; seams first.
        tension_mpa, shear_mpa: (l,) what the bit bears.
        on_seam: (l,)
        rim: (n,) whether a point lies on the board's edge.
    """

    points: Floats
    ends: Ints
    tension_mpa: Floats
    shear_mpa: Floats
    on_seam: Floats
    rim: Ints


def links_of(
    board: Board,
    seams: tuple[SeamRun, ...],
    grains: tuple[SeamGrain, ...],
    materials: tuple[Material, ...],
    *,
    size_mm: float = 12.0,
) -> Links:
    """Every bit along a seam, and every chord through a piece between points of its outline.

    Args:
        grains: one for each seam.
        materials: one for each piece.
    """
    points, segments, owners = edge_points(board, size_mm=size_mm)
    bears = {
        edge: (grain.tension_mpa[0], grain.shear_mpa[0])
        for seam, grain in zip(seams, grains, strict=True)
        for edge in seam.edges
    }
    along = np.array([edge in bears for edge in owners.tolist()])
    strength = [np.array([bears[edge] for edge in owners[along].tolist()]).reshape(-1, 2)]
    ends = [segments[along]]
    areas = shapely.area(board.shapes)
    convex = shapely.area(shapely.convex_hull(board.shapes)) - areas < 1e-6 * areas
    for piece, mine in _points_of(board, segments, owners).items():
        chords = _chords(sorted(set(board.rings[piece])), mine)
        if not convex[piece]:
            chords = _inside(board.shapes[piece], chords, points)
        ends.append(chords)
        grain_deg = board.drawing.patches[piece].grain_deg
        strength.append(_wood(points[chords], grain_deg, materials[piece]))
    edges = list(board.edges.values())
    outer = np.array([len(edges[owner]) == 1 for owner in owners.tolist()])
    both = np.concatenate(strength)
    joined = np.concatenate(ends)
    on_seam = np.zeros(len(joined))
    on_seam[: int(along.sum())] = 1.0
    return Links(
        points=points,
        ends=joined,
        tension_mpa=both[:, 0],
        shear_mpa=both[:, 1],
        on_seam=on_seam,
        rim=np.unique(segments[outer]),
    )


def _points_of(board: Board, segments: Ints, owners: Ints) -> dict[int, set[int]]:
    edges = list(board.edges.values())
    found: dict[int, set[int]] = {piece: set() for piece in range(len(board.rings))}
    for (a, b), owner in zip(segments.tolist(), owners.tolist(), strict=True):
        for piece in edges[owner]:
            found[piece].update((a, b))
    return found


def _chords(corners: list[int], mine: set[int]) -> Ints:
    """(l, 2) every pair of a piece's corners and of some points between them."""
    extra = np.array(sorted(mine.difference(corners)), dtype=np.int64)
    room = max(0, _MOST_POINTS - len(corners))
    if len(extra) > room:
        extra = extra[np.linspace(0, len(extra) - 1, room).astype(np.int64)] if room else extra[:0]
    kept = np.concatenate((corners, extra))
    first, second = np.triu_indices(len(kept), 1)
    return np.column_stack((kept[first], kept[second]))


def _inside(shape: shapely.Polygon, chords: Ints, points: Floats) -> Ints:
    within = shapely.covers(shape.buffer(1e-6), shapely.linestrings(points[chords]))
    kept: Ints = chords[within]
    return kept


def _wood(chords: Floats, grain_deg: float, wood: Material) -> Floats:
    """(l, 2) tension across and shear along a chord through wood, by Hankinson."""
    along = chords[:, 1] - chords[:, 0]
    turn = np.arctan2(along[:, 1], along[:, 0]) - np.radians(grain_deg)
    s, c = np.sin(turn) ** 2, np.cos(turn) ** 2
    strong, weak = wood.tension_along_mpa, wood.tension_across_mpa
    # a chord along the grain splits (weak), one across it tears the fibres (strong)
    tension = strong * weak / (strong * c + weak * s)
    return np.column_stack((tension, np.full(len(chords), wood.shear_mpa)))


def weakest_line(
    links: Links, *, thickness_mm: float, axis: Axis, positions: Floats, moment: Floats
) -> BreakLine:
    """The cheapest line across the board, through seams and through wood.

    Args:
        axis: the way the board spans.
        positions, moment: places along the span [mm], and the moment of the whole section there
            [N·mm].

    Reference:
        Yield-line theory (Johansen 1943): a line of hinges gives an upper bound. Wood is brittle,
        so the true load lies below it; the first crack by elastic reckoning is the lower end.
    """
    a, b = links.points[links.ends[:, 0]], links.points[links.ends[:, 1]]
    step = np.abs(b - a)
    along, across = step[:, axis.value], step[:, 1 - axis.value]
    middle = (a + b)[:, axis.value] / 2.0
    acting = np.abs(np.interp(middle, positions, moment))
    acting = np.maximum(acting, 1e-6 * np.abs(moment).max())
    bears = thickness_mm**2 * (links.tension_mpa * across / 6.0 + links.shear_mpa * along / 3.0)
    cost = bears / acting
    rim = links.points[links.rim, 1 - axis.value]
    half = (rim.min() + rim.max()) / 2.0
    near, far = links.rim[rim < half], links.rim[rim >= half]
    count = len(links.points)
    graph = coo_array((cost, (links.ends[:, 0], links.ends[:, 1])), shape=(count + 2, count + 2))
    edge = [
        coo_array((np.full(len(ends), 1e-12), (ends, np.full(len(ends), count + i))), graph.shape)
        for i, ends in enumerate((near, far))
    ]
    whole = _fewest(graph, links) + edge[0] + edge[1]
    distance, before = dijkstra(
        whole.tocsr(), directed=False, indices=count, return_predecessors=True
    )
    nodes = []
    node = int(before[count + 1])
    while node != count and node >= 0:
        nodes.append(node)
        node = int(before[node])
    return _line(links, nodes, float(distance[count + 1]))


def _fewest(graph: coo_array, links: Links) -> coo_array:
    """The graph with the cheaper of two links between the same points, not their sum."""
    low, high = links.ends.min(axis=1), links.ends.max(axis=1)
    order = np.lexsort((graph.data, high, low))
    first = np.ones(len(order), dtype=bool)
    first[1:] = (np.diff(low[order]) != 0) | (np.diff(high[order]) != 0)
    keep = order[first]
    return coo_array((graph.data[keep], (low[keep], high[keep])), shape=graph.shape)


def _line(links: Links, nodes: list[int], factor: float) -> BreakLine:
    seams = np.sort(links.ends[links.on_seam > 0.0], axis=1)
    on_seam = set(map(tuple, seams.tolist()))
    total = along = 0.0
    for a, b in pairwise(nodes):
        length = float(np.linalg.norm(links.points[b] - links.points[a]))
        total += length
        along += length if (min(a, b), max(a, b)) in on_seam else 0.0
    return BreakLine(
        factor=factor,
        path=tuple((float(x), float(y)) for x, y in links.points[nodes]),
        on_seams=along / total if total else 0.0,
    )
