"""The finished board laid over the drawing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from seamwright.bench.model import Piece
from seamwright.bench.tolerance import GRAIN_DEG, TOUCH_MM
from seamwright.bench.touching import Indices, common_area, near_boxes
from seamwright.design import Patch
from seamwright.geometry import Polygon, area, bounds

_Floats = NDArray[np.float64]
_Marks = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """How a board agrees with its drawing, patch by patch.

    Indices are into the patches and pieces compared.

    Attributes:
        drawn_mm2: area of all patches [mm²].
        area_error_mm2: symmetric difference over all patches [mm²].
        wood, grain: (patch, piece) where a piece of another wood or grain lies in a patch.
        off: (patch, mm²) patches not covered as drawn, worst first.
        stray: (piece, mm²) pieces reaching where they should not, worst first.
        missing, doubled: patches more than half uncovered, or covered half again.
        pieces_in: for each patch how many pieces make it.
        joined: patches that share a piece with another patch.
    """

    drawn_mm2: float
    area_error_mm2: float
    wood: tuple[tuple[int, int], ...]
    grain: tuple[tuple[int, int], ...]
    off: tuple[tuple[int, float], ...]
    stray: tuple[tuple[int, float], ...]
    missing: tuple[int, ...]
    doubled: tuple[int, ...]
    pieces_in: tuple[int, ...]
    joined: tuple[int, ...]


def compare(patches: Sequence[Patch], pieces: Sequence[Piece]) -> Match:
    """Lay made pieces over drawn patches.

    A piece belongs to a patch where wood and grain agree, and where more than half of either lies
    in the other. The symmetric difference is what patches lack of pieces that belong to them, plus
    what pieces have outside patches they belong to, plus what two pieces claim at once.

    What thinner than a tenth of a touch is shared is not looked for, and so counts as an error.

    Args:
        patches: as drawn; one or more.
        pieces: as made, convex, in the frame of the drawing; may be none.
    """
    drawn = [_outline(patch.points) for patch in patches]
    made = [_outline(piece.points) for piece in pieces]
    drawn_area = np.array([outline.area_mm2 for outline in drawn])
    made_area = np.array([outline.area_mm2 for outline in made])
    around = np.array([outline.box for outline in made]).reshape(-1, 4)
    within = np.array([outline.box for outline in drawn]).reshape(-1, 4)
    patch, piece = near_boxes(within, around, reach_mm=-TOUCH_MM / 20.0)
    common = _common(drawn, made, patch, piece)
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
    one, other = near_boxes(around, around, reach_mm=-TOUCH_MM / 20.0)
    once = one < other
    twice = _common(made, made, one[once], other[once])
    return Match(
        drawn_mm2=sum([outline.area_mm2 for outline in drawn]),
        area_error_mm2=float(off.sum() + stray.sum() + twice.sum()),
        wood=_marked(patch, piece, most & ~woods),
        grain=_marked(patch, piece, most & ~grains),
        off=_worst(off),
        stray=_worst(stray),
        missing=tuple(np.flatnonzero(covered < 0.5 * drawn_area).tolist()),
        doubled=tuple(np.flatnonzero(covered > 1.5 * drawn_area).tolist()),
        pieces_in=tuple(np.bincount(patch[real], minlength=len(patches)).tolist()),
        joined=tuple(np.unique(patch[real & (shares[piece] > 1)]).tolist()),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Outline:
    """An outline, measured; the same one whenever it is met again."""

    points: Polygon
    area_mm2: float
    box: tuple[float, float, float, float]


# an edit leaves most outlines and most pairs as they were
@lru_cache(maxsize=1 << 13)
def _outline(points: Polygon) -> _Outline:
    return _Outline(points, area(points), bounds(points))


@lru_cache(maxsize=1 << 14)
def _area(drawn: _Outline, made: _Outline) -> float:
    return common_area(drawn.points, made.points)


def _common(
    drawn: Sequence[_Outline], made: Sequence[_Outline], first: Indices, second: Indices
) -> _Floats:
    pairs = zip(first.tolist(), second.tolist(), strict=True)
    return np.array([_area(drawn[i], made[j]) for i, j in pairs], dtype=float)


def _woods_agree(
    patches: Sequence[Patch], pieces: Sequence[Piece], patch: Indices, piece: Indices
) -> _Marks:
    drawn = np.array([p.wood for p in patches], dtype=object)
    made = np.array([p.wood for p in pieces], dtype=object)
    return np.asarray(drawn[patch] == made[piece], dtype=bool)


def _grains_agree(
    patches: Sequence[Patch], pieces: Sequence[Piece], patch: Indices, piece: Indices
) -> _Marks:
    drawn = np.array([p.grain_deg for p in patches], dtype=float)
    made = np.array([p.grain_deg for p in pieces], dtype=float)
    between = np.mod(drawn[patch] - made[piece], 180.0)
    return np.asarray(np.minimum(between, 180.0 - between) <= GRAIN_DEG, dtype=bool)


def _marked(patch: Indices, piece: Indices, marks: _Marks) -> tuple[tuple[int, int], ...]:
    return tuple(zip(patch[marks].tolist(), piece[marks].tolist(), strict=True))


def _worst(errors: _Floats) -> tuple[tuple[int, float], ...]:
    order = np.argsort(-errors, kind="stable")
    return tuple((int(i), float(errors[i])) for i in order if errors[i] > 0.0)
