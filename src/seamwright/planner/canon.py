"""When are two sub-assemblies the same part?

Parts are the same when a rigid motion lays one on the other: moved, turned on the bench, or turned
over (the pattern runs through, so it shows mirrored), woods and grain carried along. The canonical
form lays each longest edge of the hull on the x axis in turn, both ways round, and takes the
smallest description.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from seamwright.geometry import Motion, Point, Polygon, convex_hull, distance
from seamwright.planner.cells import Cell

Key = bytes

# An odd number of steps per millimetre and an odd start keep the sizes that occur in drawings
# (fractions of an inch, whole millimetres, their halves and diagonals) off the rounding borders. A
# step is half of what makes two points one: sizes taken for one must not add up to another board.
STEPS_PER_MM = 21713.917
_START = 0.3771
_GRAIN_STEPS_PER_DEG = 1000
_NO_CORNER = np.iinfo(np.int64).max


def canonical(
    cells: Sequence[Cell], woods: Mapping[str, int], hull: Polygon | None = None
) -> tuple[Key, Motion]:
    """Canonical description of a convex region and the motion that brings it there.

    Args:
        cells: convex cells that tile a convex region [mm].
        woods: a number for each wood letter.
        hull: the region's outline, when known.
    Returns:
        (key, motion): equal keys mean the same part; the motion carries the region as given to
        its canonical place (corner at the origin, longest edge along x, region above it).
    """
    frames = _frames(hull or convex_hull([p for cell in cells for p in cell.polygon]))
    rows = _corner_codes(cells, frames)
    sorts: dict[tuple[str, float], int] = {}
    sort_of = [sorts.setdefault((cell.wood, cell.grain_deg), len(sorts)) for cell in cells]
    best = -1
    best_key = b""
    for i, motion in enumerate(frames):
        tags = _tags(sorts, woods, motion)[sort_of]
        table = np.concatenate((rows[i], tags[:, None]), axis=1)
        if len(cells) > 1:
            table = table[np.lexsort(table.T[::-1])]
        key = table.tobytes()
        if best < 0 or key < best_key:
            best, best_key = i, key
    return best_key, frames[best]


def _corner_codes(cells: Sequence[Cell], frames: Sequence[Motion]) -> NDArray[np.int64]:
    """Corners of every cell in every frame as sorted integers: (frames, cells, corners)."""
    sizes = np.array([len(cell.polygon) for cell in cells])
    most = int(sizes.max())
    missing = np.arange(most)[None, :] >= sizes[:, None]
    corners = np.zeros((len(cells), most, 2))
    corners[~missing] = [point for cell in cells for point in cell.polygon]
    turns = np.array([motion.matrix for motion in frames])
    x, y = corners[..., 0], corners[..., 1]
    a, b, c, d, dx, dy = (turns[:, k, None, None] for k in range(6))
    codes: NDArray[np.int64] = (
        np.floor((a * x + b * y + dx) * STEPS_PER_MM + _START).astype(np.int64) << 32
    )
    codes += np.floor((c * x + d * y + dy) * STEPS_PER_MM + _START).astype(np.int64)
    codes[:, missing] = _NO_CORNER
    codes.sort(axis=2)
    return codes


def _tags(
    sorts: Iterable[tuple[str, float]], woods: Mapping[str, int], motion: Motion
) -> NDArray[np.int64]:
    """Wood and grain of every sort of wood as one integer each."""
    tags = []
    for wood, grain_deg in sorts:
        grain = round(motion.undirected_deg(grain_deg) * _GRAIN_STEPS_PER_DEG)
        tags.append(woods[wood] * 1_000_000 + grain % (180 * _GRAIN_STEPS_PER_DEG))
    return np.array(tags, dtype=np.int64)


def _frames(ring: Polygon) -> list[Motion]:
    edges = list(zip(ring, ring[1:] + ring[:1], strict=True))
    lengths = [distance(a, b) for a, b in edges]
    longest = max(lengths)
    frames = []
    for (a, b), length in zip(edges, lengths, strict=True):
        if length >= longest - 1e-4:
            to: tuple[Point, Point] = ((0.0, 0.0), (length, 0.0))
            frames.append(Motion.carrying(a, b, to_a=to[0], to_b=to[1]))
            frames.append(Motion.carrying(a, b, to_a=to[1], to_b=to[0], over=True))
    return frames
