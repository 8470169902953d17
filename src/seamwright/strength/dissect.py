"""The order in which a mesh is taken apart: in halves, again and again.

Halving the triangles leaves a seam of shared nodes; both halves are solved down to that seam, then
the seam itself.

Reference:
    George (1973), "Nested dissection of a regular finite element mesh".
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from seamwright.strength.arrays import Flags, Floats, Ints

LEAF = 40
"""Triangles in the smallest part; 25 to 50 measured best, fewer slower."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One step of the solution.

    Attributes:
        own: nodes that are solved for in this step.
        rim: nodes of the part that stay for later steps.
        triangles: triangles summed here; empty but in the smallest parts.
        local: (t, 6) where their nodes stand in own and rim, one after the other.
        children: earlier steps whose rests are summed here.
        seats: for each child, where its rim stands in own and rim.
    """

    own: Ints
    rim: Ints
    triangles: Ints
    local: Ints
    children: tuple[int, ...]
    seats: tuple[Ints, ...]


_Cut = tuple[Ints, Ints, tuple[int, ...]]


def dissected(nodes: Ints, places: Floats) -> tuple[Part, ...]:
    """The parts in the order they are solved: children before the seam between them.

    Args:
        nodes: (m, 6) nodes of each triangle.
        places: (n, 2) nodes [mm].
    """
    seat = np.zeros(len(places), dtype=np.int64)
    mark = np.zeros(len(places), dtype=bool)
    parts: list[Part] = []
    for own, triangles, children in _cuts(nodes, places):
        for child in children:
            mark[parts[child].rim] = True
        mark[nodes[triangles]] = True
        mark[own] = False
        rim = _taken(mark)
        seat[own] = np.arange(len(own))
        seat[rim] = len(own) + np.arange(len(rim))
        parts.append(
            Part(
                own=own,
                rim=rim,
                triangles=triangles,
                local=seat[nodes[triangles]],
                children=children,
                seats=tuple(seat[parts[child].rim] for child in children),
            )
        )
    return tuple(parts)


def _taken(mark: Flags) -> Ints:
    """The numbers that are marked, in order; their marks are taken away."""
    numbers = np.flatnonzero(mark)
    mark[numbers] = False
    return numbers


def _cuts(nodes: Ints, places: Floats) -> list[_Cut]:
    middles = places[nodes[:, :3]].mean(axis=1)
    taken = np.zeros(len(places), dtype=bool)
    mark = np.zeros(len(places), dtype=bool)
    cuts: list[_Cut] = []
    none = np.zeros(0, dtype=np.int64)

    def cut(triangles: Ints) -> int:
        if len(triangles) <= LEAF:
            mark[nodes[triangles]] = True
            mine = _taken(mark)
            own = mine[~taken[mine]]
            taken[own] = True
            cuts.append((own, triangles, ()))
            return len(cuts) - 1
        at = middles[triangles]
        spread = at.max(axis=0) - at.min(axis=0)
        half = len(at) // 2
        order = np.argpartition(at[:, int(spread[1] > spread[0])], half)
        left, right = triangles[order[:half]], triangles[order[half:]]
        mark[nodes[left]] = True
        shared = nodes[right].ravel()
        shared = shared[mark[shared]]
        mark[nodes[left]] = False
        mark[shared[~taken[shared]]] = True
        own = _taken(mark)
        taken[own] = True
        children = (cut(left), cut(right))
        cuts.append((own, none, children))
        return len(cuts) - 1

    cut(np.arange(len(nodes)))
    return cuts
