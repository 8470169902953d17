"""When are two sub-assemblies the same part?

Parts are the same when a rigid motion lays one on the other: moved, turned on the bench, or turned
over (the pattern runs through, so it shows mirrored), woods and grain carried along. The canonical
form lays each longest edge of the hull on the x axis in turn, both ways round, and takes the
smallest description.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

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


@dataclass(frozen=True, slots=True)
class Shape:
    """A convex region cut into cells, whatever their woods: all that its form needs of it.

    Attributes:
        hull: its outline.
        frames: the motions that bring it to a place it may be described in.
        tables: for each of them the corners of every cell in code, in order, and room for a tag.
        orders: for each of them the cells in that order; no two cells have the same corners.
    """

    hull: Polygon
    frames: tuple[Motion, ...]
    tables: NDArray[np.int64]
    orders: NDArray[np.int64]

    @property
    def size(self) -> int:
        """Memory it takes [bytes], roughly."""
        return self.tables.nbytes + self.orders.nbytes


def shape_of(polygons: Sequence[Polygon], hull: Polygon | None = None) -> Shape:
    """The shape of convex cells that tile a region [mm]; ``hull`` is its outline, if known."""
    hull = hull or convex_hull([p for polygon in polygons for p in polygon])
    frames = _frames(hull)
    codes = _corner_codes(polygons, frames)
    count, cells, corners = codes.shape
    tables = np.zeros((count, cells, corners + 1), dtype=np.int64)
    if cells == 1:
        tables[:, :, :-1] = codes
        return Shape(hull, tuple(frames), tables, np.zeros((count, 1), dtype=np.int64))
    rows = codes.reshape(count * cells, corners)
    # all frames at once: the frame comes before the corners
    order = np.lexsort((*rows.T[::-1], np.repeat(np.arange(count), cells)))
    tables[:, :, :-1] = rows[order].reshape(codes.shape)
    return Shape(hull, tuple(frames), tables, order.reshape(count, cells) % cells)


def canonical(
    cells: Sequence[Cell], woods: Mapping[str, int], shape: Shape | Polygon | None = None
) -> tuple[Key, Motion]:
    """Canonical description of a convex region and the motion that brings it there.

    Args:
        cells: convex cells that tile a convex region [mm].
        woods: a number for each wood letter.
        shape: of the cells, when known, or the region's outline.
    Returns:
        (key, motion): equal keys mean the same part; the motion carries the region as given to
        its canonical place (corner at the origin, longest edge along x, region above it).
    """
    if not isinstance(shape, Shape):
        shape = shape_of([cell.polygon for cell in cells], shape)
    sorts: dict[tuple[str, float], int] = {}
    sort_of = np.array([sorts.setdefault((c.wood, c.grain_deg), len(sorts)) for c in cells])
    best: Motion | None = None
    best_key = b""
    for motion, table, order in zip(shape.frames, shape.tables, shape.orders, strict=True):
        filled = table.copy()
        filled[:, -1] = _tags(sorts, woods, motion)[sort_of[order]]
        key = filled.tobytes()
        if best is None or key < best_key:
            best, best_key = motion, key
    return best_key, best or Motion()


def _corner_codes(polygons: Sequence[Polygon], frames: Sequence[Motion]) -> NDArray[np.int64]:
    """Corners of every cell in every frame as sorted integers: (frames, cells, corners)."""
    sizes = np.array([len(polygon) for polygon in polygons])
    most = int(sizes.max())
    missing = None
    if sizes.min() == most:
        corners = np.array(polygons)
    else:
        missing = np.arange(most)[None, :] >= sizes[:, None]
        corners = np.zeros((len(polygons), most, 2))
        corners[~missing] = [point for polygon in polygons for point in polygon]
    turns = np.array([motion.matrix for motion in frames])
    x, y = corners[..., 0], corners[..., 1]
    a, b, c, d, dx, dy = (turns[:, k, None, None] for k in range(6))
    codes: NDArray[np.int64] = (
        np.floor((a * x + b * y + dx) * STEPS_PER_MM + _START).astype(np.int64) << 32
    )
    codes += np.floor((c * x + d * y + dy) * STEPS_PER_MM + _START).astype(np.int64)
    if missing is not None:
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
