"""The seams of a welded board: straight runs of edges between two pieces."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass
from itertools import pairwise

from seamwright.geometry import Point, angle_between, direction_deg, fold_deg
from seamwright.strength.board import Board, Edge

_TURN_DEG = 15.0
"""Edges that turn less than this are one seam: a curve drawn as short straights."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeamRun:
    """Where two pieces meet.

    Attributes:
        number: from 0, in the order of ``seams_of``.
        first, second: numbers of the two pieces, first < second.
        edges: numbers of its edges in the order of ``board.edges``, along the seam.
        path: its points [mm], one more than edges.
        length_mm: along the path.
        direction_deg: from end to end, in [0, 180).
    """

    number: int
    first: int
    second: int
    edges: tuple[int, ...]
    nodes: tuple[int, ...]
    path: tuple[Point, ...]
    length_mm: float
    direction_deg: float

    @property
    def middle(self) -> Point:
        """A point in the middle of the path."""
        left = self.length_mm / 2.0
        for a, b in pairwise(self.path):
            step = math.dist(a, b)
            if step >= left and step > 0.0:
                share = left / step
                return (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
            left -= step
        return self.path[-1]


def seams_of(board: Board) -> tuple[SeamRun, ...]:
    """All seams, by pieces and then along the board."""
    by_pair: dict[tuple[int, ...], list[int]] = defaultdict(list)
    edges = list(board.edges)
    for number, pieces in enumerate(board.edges.values()):
        if len(pieces) == 2:
            by_pair[pieces].append(number)
    seams: list[SeamRun] = []
    for (first, second), numbers in sorted(by_pair.items()):
        for chain, nodes in _chains(board, edges, numbers):
            path = tuple((float(x), float(y)) for x, y in board.nodes[list(nodes)])
            dx, dy = path[-1][0] - path[0][0], path[-1][1] - path[0][1]
            seams.append(
                SeamRun(
                    number=len(seams),
                    first=first,
                    second=second,
                    edges=chain,
                    nodes=nodes,
                    path=path,
                    length_mm=sum(math.dist(a, b) for a, b in pairwise(path)),
                    direction_deg=fold_deg(direction_deg(dx, dy)),
                )
            )
    return tuple(seams)


@dataclass(frozen=True, slots=True)
class _Pair:
    """The edges of one pair of pieces: their ends, and which meet at a node."""

    ends: dict[int, Edge]
    at: dict[int, list[int]]


def _chains(
    board: Board, edges: list[Edge], numbers: list[int]
) -> list[tuple[tuple[int, ...], tuple[int, ...]]]:
    """The edges of one pair of pieces as runs without a sharp turn."""
    at: dict[int, list[int]] = defaultdict(list)
    for number in numbers:
        for node in edges[number]:
            at[node].append(number)
    pair = _Pair({number: edges[number] for number in numbers}, at)
    left = set(numbers)
    chains = []
    while left:
        start = min(left)
        left.discard(start)
        a, b = edges[start]
        forward, ahead = _run(board, pair, left, start=start, node=b)
        backward, behind = _run(board, pair, left, start=start, node=a)
        chain = (*reversed(backward), start, *forward)
        chains.append((chain, (*reversed(behind), a, b, *ahead)))
    return chains


def _run(
    board: Board, pair: _Pair, left: set[int], *, start: int, node: int
) -> tuple[list[int], list[int]]:
    """Edges and nodes that carry a run on beyond a node, straight enough."""
    chain: list[int] = []
    nodes: list[int] = []
    here = start
    while True:
        onward = [
            n
            for n in pair.at[node]
            if n in left and _straight(board, pair.ends[here], pair.ends[n])
        ]
        if len(pair.at[node]) != 2 or not onward:
            return chain, nodes
        here = onward[0]
        left.discard(here)
        a, b = pair.ends[here]
        node = b if a == node else a
        chain.append(here)
        nodes.append(node)


def _straight(board: Board, one: Edge, other: Edge) -> bool:
    directions = []
    for a, b in (one, other):
        dx, dy = board.nodes[b] - board.nodes[a]
        directions.append(direction_deg(float(dx), float(dy)))
    return angle_between(*directions) <= _TURN_DEG
