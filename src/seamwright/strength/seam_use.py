"""How much of what a seam can bear is asked of it: on the whole, and in its worst 10 mm."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from seamwright.strength.arrays import Floats
from seamwright.strength.grain import SeamGrain
from seamwright.strength.tractions import SeamLines

WINDOW_MM = 10.0
"""Stress at corners has no end value, so no peak is ever judged: the worst mean over 10 mm is (the
line method of the theory of critical distances, Taylor 2007)."""
_FRICTION = 0.3

_Split = Callable[[Floats], tuple[Floats, Floats]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """Use of a seam in k cases; 1 is all it can bear.

    Attributes:
        whole, window: (k,) with the lower strength bracket, on the whole and in the worst 10 mm.
        normal_mpa, shear_mpa: (k,) mean stress across (pull positive) and along the seam.
    """

    whole: Floats
    window: Floats
    normal_mpa: Floats
    shear_mpa: Floats


def plane_use(lines: SeamLines, forces: Floats, grains: tuple[SeamGrain, ...]) -> tuple[Use, ...]:
    """Use of every seam under forces per thickness (``segment_forces`` of a plane answer)."""
    n = lines.normals
    normal = np.einsum("sck,sc->sk", forces, n)
    along = np.einsum("sck,sc->sk", forces, np.column_stack((-n[:, 1], n[:, 0])))
    local = np.stack((normal, along), axis=1)
    return tuple(
        _use(local[run], lines.lengths_mm[run], grain, _in_plane)
        for run, grain in zip(lines.runs, grains, strict=True)
    )


def plate_use(
    lines: SeamLines, forces: Floats, grains: tuple[SeamGrain, ...], *, thickness_mm: float
) -> tuple[Use, ...]:
    """Use of every seam under shear force and moments (``segment_forces`` of a plate answer)."""
    n = lines.normals
    across = np.einsum("sck,sc->sk", forces[:, 1:], n)
    twist = np.einsum("sck,sc->sk", forces[:, 1:], np.column_stack((-n[:, 1], n[:, 0])))
    fibre = 6.0 / thickness_mm**2
    # one face is pulled whatever the sign of the moment, so its size counts
    local = np.stack((fibre * across, fibre * twist, forces[:, 0] * (1.5 / thickness_mm)), axis=1)
    return tuple(
        _use(local[run], lines.lengths_mm[run], grain, _bent)
        for run, grain in zip(lines.runs, grains, strict=True)
    )


def _in_plane(stress: Floats) -> tuple[Floats, Floats]:
    return stress[:, 0], np.abs(stress[:, 1])


def _bent(stress: Floats) -> tuple[Floats, Floats]:
    """Pull and shear at the outer face; the shear force acts in the middle, so the worse counts."""
    return np.abs(stress[:, 0]), np.maximum(np.abs(stress[:, 1]), np.abs(stress[:, 2]))


def _use(forces: Floats, lengths: Floats, grain: SeamGrain, split: _Split) -> Use:
    total = float(lengths.sum())
    mean = forces.sum(axis=0, keepdims=True) / total
    normal, shear = split(mean)
    places = np.concatenate(([0.0], np.cumsum(lengths)))
    sums = np.concatenate((np.zeros((1, *forces.shape[1:])), np.cumsum(forces, axis=0)))
    if total <= WINDOW_MM:
        windows = mean
    else:
        starts = np.concatenate((places, places - WINDOW_MM))
        starts = starts[(starts >= 0.0) & (starts <= total - WINDOW_MM + 1e-9)]
        windows = (_at(starts + WINDOW_MM, places, sums) - _at(starts, places, sums)) / WINDOW_MM
    return Use(
        whole=_combined(normal, shear, grain=grain)[0],
        window=_combined(*split(windows), grain=grain).max(axis=0),
        normal_mpa=normal[0],
        shear_mpa=shear[0],
    )


def _at(where: Floats, places: Floats, sums: Floats) -> Floats:
    """Sums read between the ends of segments."""
    index = np.clip(np.searchsorted(places, where, side="right") - 1, 0, len(places) - 2)
    share = (where - places[index]) / (places[index + 1] - places[index])
    read: Floats = sums[index] + share[:, None, None] * (sums[index + 1] - sums[index])
    return read


def _combined(normal: Floats, shear: Floats, *, grain: SeamGrain) -> Floats:
    """Pull and shear together by an ellipse; under pressure friction helps the shear."""
    f_n, f_s = grain.tension_mpa[0], grain.shear_mpa[0]
    pulled = np.hypot(normal / f_n, shear / f_s)
    pressed = shear / (f_s + _FRICTION * np.abs(normal))
    return np.where(normal >= 0.0, pulled, pressed)
