"""The finished board laid over the drawing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from seamwright.bench.model import Piece
from seamwright.bench.shapes import as_shapes
from seamwright.bench.tolerance import GRAIN_DEG, TOUCH_MM
from seamwright.design import Patch
from seamwright.geometry import area

_Floats = NDArray[np.float64]
_Ints = NDArray[np.int64]
_Marks = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """How a board agrees with its drawing, patch by patch.

    Indices are into the patches and pieces compared.

    Attributes:
        area_error_mm2: symmetric difference over all patches [mm²].
        wood, grain: (patch, piece) where a piece of another wood or grain lies in a patch.
        off: (patch, mm²) patches not covered as drawn, worst first.
        stray: (piece, mm²) pieces reaching where they should not, worst first.
        missing, doubled: patches more than half uncovered, or covered half again.
        pieces_in: for each patch how many pieces make it.
        joined: patches that share a piece with another patch.
    """

    area_error_mm2: float
    wood: tuple[tuple[int, int], ...]
    grain: tuple[tuple[int, int], ...]
    off: tuple[tuple[int, float], ...]
    stray: tuple[tuple[int, float], ...]
    missing: tuple[int, ...]
    doubled: tuple[int, ...]
    pieces_in: tuple[int, ...]
    joined: tuple[int, ...]


def compare(patches: Sequence[Patch], pieces: Sequence[Piece], *, tolerance_mm2: float) -> Match:
    """Lay made pieces over drawn patches.

    A piece belongs to a patch where wood and grain agree, and where more than half of either lies
    in the other. The symmetric difference is what patches lack of pieces that belong to them, plus
    what pieces have outside patches they belong to, plus what two pieces claim at once.

    Args:
        patches: as drawn; one or more.
        pieces: as made, in the frame of the drawing; may be none.
        tolerance_mm2: differences below this are not worth a slower, steadier second look.
    """
    quick = _compare(patches, pieces, grid_mm=0.0)
    if quick.area_error_mm2 <= tolerance_mm2:
        return quick
    # overlay in plain floats can lose a whole polygon; on a fine grid it does not
    steady = _compare(patches, pieces, grid_mm=1e-6)
    return min(quick, steady, key=lambda match: match.area_error_mm2)


def _compare(patches: Sequence[Patch], pieces: Sequence[Piece], *, grid_mm: float) -> Match:
    drawn = as_shapes([patch.points for patch in patches])
    made = as_shapes([piece.points for piece in pieces])
    drawn_area = np.array([area(patch.points) for patch in patches])
    made_area = np.array([area(piece.points) for piece in pieces])
    patch, piece = _pairs(drawn, made)
    common = _overlap(drawn[patch], made[piece], grid_mm)
    woods = _woods_agree(patches, pieces, patch, piece)
    grains = _grains_agree(patches, pieces, patch, piece)
    most = (common > 0.5 * drawn_area[patch]) | (common > 0.5 * made_area[piece])
    belongs = (woods & grains) | most
    covered = np.bincount(patch[belongs], common[belongs], minlength=len(patches))
    lies_in = np.bincount(piece[belongs], common[belongs], minlength=len(pieces))
    off = np.abs(drawn_area - covered)
    stray = np.abs(made_area - lies_in)
    real = belongs & (common > TOUCH_MM * np.sqrt(np.minimum(drawn_area[patch], made_area[piece])))
    shares = np.bincount(piece[real], minlength=len(pieces))
    doubled_mm2 = _claimed_twice(made, grid_mm)
    return Match(
        area_error_mm2=float(off.sum() + stray.sum() + doubled_mm2),
        wood=_marked(patch, piece, most & ~woods),
        grain=_marked(patch, piece, most & ~grains),
        off=_worst(off),
        stray=_worst(stray),
        missing=tuple(np.flatnonzero(covered < 0.5 * drawn_area).tolist()),
        doubled=tuple(np.flatnonzero(covered > 1.5 * drawn_area).tolist()),
        pieces_in=tuple(np.bincount(patch[real], minlength=len(patches)).tolist()),
        joined=tuple(np.unique(patch[real & (shares[piece] > 1)]).tolist()),
    )


def _pairs(a: NDArray[np.object_], b: NDArray[np.object_]) -> tuple[_Ints, _Ints]:
    """Pairs whose upright boxes overlap by more than a touch."""
    if not len(a) or not len(b):
        return np.empty(0, dtype=np.int64), np.empty(0, dtype=np.int64)
    left, right = shapely.STRtree(b).query(a)
    boxes_a, boxes_b = shapely.bounds(a)[left], shapely.bounds(b)[right]
    reach = np.minimum(boxes_a[:, 2:], boxes_b[:, 2:]) - np.maximum(boxes_a[:, :2], boxes_b[:, :2])
    real = (reach > TOUCH_MM / 10.0).all(axis=1)
    return left[real], right[real]


def _overlap(a: NDArray[np.object_], b: NDArray[np.object_], grid_mm: float) -> _Floats:
    if grid_mm:
        a, b = shapely.make_valid(a), shapely.make_valid(b)
        shared = shapely.intersection(a, b, grid_size=grid_mm)
    else:
        try:
            shared = shapely.intersection(a, b)
        except shapely.errors.GEOSException:
            return _overlap(a, b, 1e-6)
    return np.asarray(shapely.area(shared), dtype=float)


def _claimed_twice(made: NDArray[np.object_], grid_mm: float) -> float:
    left, right = _pairs(made, made)
    once = left < right
    return float(_overlap(made[left[once]], made[right[once]], grid_mm).sum())


def _woods_agree(
    patches: Sequence[Patch], pieces: Sequence[Piece], patch: _Ints, piece: _Ints
) -> _Marks:
    drawn = np.array([p.wood for p in patches], dtype=object)
    made = np.array([p.wood for p in pieces], dtype=object)
    return np.asarray(drawn[patch] == made[piece], dtype=bool)


def _grains_agree(
    patches: Sequence[Patch], pieces: Sequence[Piece], patch: _Ints, piece: _Ints
) -> _Marks:
    drawn = np.array([p.grain_deg for p in patches], dtype=float)
    made = np.array([p.grain_deg for p in pieces], dtype=float)
    between = np.mod(drawn[patch] - made[piece], 180.0)
    return np.asarray(np.minimum(between, 180.0 - between) <= GRAIN_DEG, dtype=bool)


def _marked(patch: _Ints, piece: _Ints, marks: _Marks) -> tuple[tuple[int, int], ...]:
    return tuple(zip(patch[marks].tolist(), piece[marks].tolist(), strict=True))


def _worst(errors: _Floats) -> tuple[tuple[int, float], ...]:
    order = np.argsort(-errors, kind="stable")
    return tuple((int(i), float(errors[i])) for i in order if errors[i] > 0.0)
