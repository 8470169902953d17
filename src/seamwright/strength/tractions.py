"""Forces that pass through the seams, from the balance of every piece.

The forces of a piece's elements on the nodes of its outline are what its neighbours exert on it.
A mid-side node belongs to one seam, so its force is that seam's. At a corner several seams share
what each piece needs for its balance; of all shares that balance, the one nearest to the averaged
stresses is taken. The mean of a seam is then as good as the balance itself, where averaged
stresses would be off by ten per cent and more (docs/concepts/mechanics.md).
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass

import numpy as np

from seamwright.strength.arrays import Floats, Ints
from seamwright.strength.elements import Elements
from seamwright.strength.seams import SeamRun


@dataclass(frozen=True, slots=True, kw_only=True)
class SeamLines:
    """The seams as runs of mesh segments.

    Attributes:
        segments: (s,) numbers of the mesh segments that lie on seams.
        pieces: (s, 2) the lower and the higher piece.
        triangles: (s, 2) their triangles.
        normals: (s, 2) unit normal out of the lower piece.
        lengths_mm: (s,)
        runs: for each seam its segments in order along it, numbers into the arrays above.
    """

    segments: Ints
    pieces: Ints
    triangles: Ints
    normals: Floats
    lengths_mm: Floats
    runs: tuple[Ints, ...]


def seam_lines(elements: Elements, seams: tuple[SeamRun, ...]) -> SeamLines:
    """Find the segments of every seam and the triangles beside them."""
    mesh = elements.mesh
    ends = mesh.points[mesh.segments]
    beside = _beside(elements)
    on_seam = np.flatnonzero(beside[:, 1] >= 0)
    beside = beside[on_seam]
    pieces = mesh.pieces[beside]
    swap = pieces[:, 0] > pieces[:, 1]
    beside[swap], pieces[swap] = beside[swap][:, ::-1], pieces[swap][:, ::-1]
    along = ends[on_seam, 1] - ends[on_seam, 0]
    lengths = np.linalg.norm(along, axis=1)
    normals = np.column_stack((along[:, 1], -along[:, 0])) / lengths[:, None]
    outward = ends[on_seam].mean(axis=1) - elements.places[elements.nodes[beside[:, 0], :3]].mean(1)
    normals[(normals * outward).sum(axis=1) < 0.0] *= -1.0
    by_edge: dict[int, list[int]] = defaultdict(list)
    for local, owner in enumerate(mesh.owners[on_seam].tolist()):
        by_edge[owner].append(local)
    middles = ends[on_seam].mean(axis=1).tolist()
    nodes = mesh.board.nodes.tolist()
    runs = tuple(_run(nodes, seam, by_edge, middles) for seam in seams)
    return SeamLines(
        segments=on_seam,
        pieces=pieces,
        triangles=beside,
        normals=normals,
        lengths_mm=lengths,
        runs=runs,
    )


def _beside(elements: Elements) -> Ints:
    """(k, 2) triangles beside each mesh segment, −1 where there is none."""
    count = len(elements.places)
    nodes = elements.nodes
    sides = np.concatenate((nodes[:, [0, 1]], nodes[:, [1, 2]], nodes[:, [0, 2]]))
    owner = np.tile(np.arange(len(nodes)), 3)
    keys = sides.min(axis=1) * count + sides.max(axis=1)
    order = np.argsort(keys, kind="stable")
    segments = elements.mesh.segments
    wanted = segments.min(axis=1) * count + segments.max(axis=1)
    first = np.searchsorted(keys[order], wanted)
    second = np.minimum(first + 1, len(keys) - 1)
    beside = np.column_stack((owner[order[first]], owner[order[second]]))
    beside[keys[order[second]] != wanted, 1] = -1
    beside[second == first, 1] = -1
    return beside


def _run(
    nodes: list[list[float]],
    seam: SeamRun,
    by_edge: dict[int, list[int]],
    middles: list[list[float]],
) -> Ints:
    run: list[int] = []
    for edge, node in zip(seam.edges, seam.nodes, strict=False):
        start = nodes[node]
        run += sorted(by_edge[edge], key=lambda each: math.dist(middles[each], start))
    return np.array(run, dtype=np.int64)


def segment_forces(lines: SeamLines, elements: Elements, forces: Floats, flux: Floats) -> Floats:
    """(s, c, k) what passes through each segment, as it acts on the lower piece.

    Args:
        forces: (m, 6, c, k) of the elements on their nodes (``PlaneAnswer.forces``).
        flux: (m, 3, c, 2, k) at the corners: flux times normal is the traction.
    """
    if not len(lines.segments):  # a board of one piece
        return np.zeros((0, *forces.shape[2:]))
    ends = elements.mesh.segments[lines.segments]
    low = lines.triangles[:, 0]
    middle = elements.middles[lines.segments]
    at_middle = np.argmax(elements.nodes[low] == middle[:, None], axis=1)
    total: Floats = forces[low, at_middle].copy()
    shares = _shares(lines, elements, ends, flux)
    corner, needs = _needs(elements, forces, ends)
    balanced = _balanced(lines, ends, shares, corner, needs)
    total += balanced.sum(axis=1)
    return total


def _shares(lines: SeamLines, elements: Elements, ends: Ints, flux: Floats) -> Floats:
    """(s, 2, c, k) force at the two ends of a segment by the averaged tractions: L/6 of them."""
    shares: Floats = np.zeros((len(ends), 2, flux.shape[2], flux.shape[4]))
    for end in range(2):
        for side in range(2):
            triangle = lines.triangles[:, side]
            corner = np.argmax(elements.nodes[triangle, :3] == ends[:, end, None], axis=1)
            at = flux[triangle, corner]
            shares[:, end] += np.einsum("scdk,sd->sck", at, lines.normals) / 2.0
    shares *= lines.lengths_mm[:, None, None, None] / 6.0
    return shares


def _needs(
    elements: Elements, forces: Floats, ends: Ints
) -> tuple[dict[tuple[int, int], int], Floats]:
    """What each piece needs at each seam corner: its elements' forces there, summed."""
    count = len(elements.places)
    marked = np.zeros(count, dtype=bool)
    marked[ends] = True
    triangle, corner = np.nonzero(marked[elements.nodes[:, :3]])
    node = elements.nodes[triangle, corner]
    keys, inverse = np.unique(elements.mesh.pieces[triangle] * count + node, return_inverse=True)
    flat = forces[triangle, corner].reshape(len(triangle), -1)
    sums: Floats = np.column_stack(
        [np.bincount(inverse, weights=column, minlength=len(keys)) for column in flat.T]
    )
    index = {(int(key) // count, int(key) % count): row for row, key in enumerate(keys.tolist())}
    return index, sums.reshape(len(keys), *forces.shape[2:])


def _balanced(
    lines: SeamLines,
    ends: Ints,
    shares: Floats,
    row_of: dict[tuple[int, int], int],
    needs: Floats,
) -> Floats:
    """Shares corrected so that every piece is in balance at every corner."""
    at: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for segment, (a, b) in enumerate(ends.tolist()):
        at[a].append((segment, 0))
        at[b].append((segment, 1))
    pairs = lines.pieces.tolist()
    groups: dict[tuple[tuple[int, int], ...], list[tuple[list[tuple[int, int]], list[int]]]]
    groups = defaultdict(list)
    for node, meeting in at.items():
        pieces = sorted({piece for segment, _ in meeting for piece in pairs[segment]})
        seat = {piece: i for i, piece in enumerate(pieces)}
        shape = tuple((seat[pairs[s][0]], seat[pairs[s][1]]) for s, _ in meeting)
        groups[shape].append((meeting, [row_of[piece, node] for piece in pieces]))
    out = shares.copy()
    for shape, members in groups.items():
        signs = np.zeros((1 + max(max(pair) for pair in shape), len(shape)))
        for column, (low, high) in enumerate(shape):
            signs[low, column], signs[high, column] = 1.0, -1.0
        back = np.linalg.pinv(signs)
        where = np.array([meeting for meeting, _ in members])
        which, end = where[:, :, 0], where[:, :, 1]
        first = shares[which, end]
        need = needs[np.array([rows for _, rows in members])]
        lacking = need - np.einsum("pe,geck->gpck", signs, first)
        out[which, end] = first + np.einsum("ep,gpck->geck", back, lacking)
    return out


def plane_flux(corner_stress: Floats) -> Floats:
    """(m, 3, 2, 2, k) from stresses (m, 3, 3, k) at the corners."""
    xx, yy, xy = (corner_stress[:, :, i] for i in range(3))
    return np.stack((np.stack((xx, xy), axis=2), np.stack((xy, yy), axis=2)), axis=2)


def plate_flux(corner_moment: Floats, corner_shear: Floats) -> Floats:
    """(m, 3, 3, 2, k): shear force, then the two rows of the moments."""
    return np.concatenate((corner_shear[:, :, None], plane_flux(corner_moment)), axis=2)
