"""How much of what a seam can bear is asked of it: on the whole, and in its worst 10 mm."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from seamwright.strength.arrays import Floats, Ints
from seamwright.strength.grain import SeamGrain
from seamwright.strength.tractions import SeamLines

WINDOW_MM = 10.0
"""Stress at corners has no end value, so no peak is ever judged: the worst mean over 10 mm is (the
line method of the theory of critical distances, Taylor 2007)."""
STRETCH_MM = 50.0
"""A long seam is judged by its worst stretch of this length, about a patch; our own judgement. Glue
opens where it is overloaded: pulls of opposite sign at the two ends of a seam across the grain do
not relieve each other, though their mean is zero."""
_FRICTION = 0.3

_Split = Callable[[Floats], tuple[Floats, Floats]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """Use of a seam in k cases; 1 is all it can bear.

    Attributes:
        whole, window: (k,) with the lower strength bracket: mean over the seam, or over its worst
            50 mm where it is longer, and that of the worst 10 mm.
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
    return _uses(lines, local, grains, _in_plane)


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
    return _uses(lines, local, grains, _bent)


def _in_plane(stress: Floats) -> tuple[Floats, Floats]:
    return stress[:, 0], np.abs(stress[:, 1])


def _bent(stress: Floats) -> tuple[Floats, Floats]:
    """Pull and shear at the outer face; the shear force acts in the middle, so the worse counts."""
    return np.abs(stress[:, 0]), np.maximum(np.abs(stress[:, 1]), np.abs(stress[:, 2]))


def _uses(
    lines: SeamLines, forces: Floats, grains: tuple[SeamGrain, ...], split: _Split
) -> tuple[Use, ...]:
    """All seams at once, laid end to end as one long line."""
    if not grains:
        return ()
    order = np.concatenate(lines.runs)
    counts = np.array([len(run) for run in lines.runs])
    last = np.cumsum(counts)
    first = last - counts
    places = np.concatenate(([0.0], np.cumsum(lines.lengths_mm[order])))
    sums = np.concatenate((np.zeros((1, *forces.shape[1:])), np.cumsum(forces[order], axis=0)))
    bears = np.array([(grain.tension_mpa[0], grain.shear_mpa[0]) for grain in grains])
    lengths = places[last] - places[first]
    normal, shear = split((sums[last] - sums[first]) / lengths[:, None, None])
    mean = _combined(normal, shear, bears)
    window = mean.copy()
    seam = np.repeat(np.arange(len(grains)), counts)
    line = _Line(places, places[first], places[last], seam)
    local = _local(line, sums, bears, split)
    whole = np.maximum(mean, _worst_stretch(line, local))
    # a window that is worst begins or ends at the end of a segment
    for starts in (places[:-1], places[1:] - WINDOW_MM):
        fits = (starts >= places[first][seam] - 1e-9) & (
            starts + WINDOW_MM <= places[last][seam] + 1e-9
        )
        at, mine = starts[fits], seam[fits]
        means = (_at(at + WINDOW_MM, places, sums) - _at(at, places, sums)) / WINDOW_MM
        np.maximum.at(window, mine, _combined(*split(means), bears[mine]))
    return tuple(
        Use(whole=whole[i], window=window[i], normal_mpa=normal[i], shear_mpa=shear[i])
        for i in range(len(grains))
    )


@dataclass(frozen=True, slots=True)
class _Line:
    """All seams end to end.

    Attributes:
        places: (n + 1,) ends of segments [mm].
        first, last: (seams,) where each begins and ends [mm].
        seam: (n,) whose each segment is.
    """

    places: Floats
    first: Floats
    last: Floats
    seam: Ints


def _local(line: _Line, sums: Floats, bears: Floats, split: _Split) -> Floats:
    """(n, k) use of the 10 mm round the middle of every segment, or of the seam if shorter."""
    first, last = line.first[line.seam], line.last[line.seam]
    middle = (line.places[:-1] + line.places[1:]) / 2.0
    reach = np.minimum(WINDOW_MM, last - first)
    start = np.clip(middle - reach / 2.0, first, last - reach)
    forces = _at(start + reach, line.places, sums) - _at(start, line.places, sums)
    return _combined(*split(forces / reach[:, None, None]), bears[line.seam])


def _worst_stretch(line: _Line, local: Floats) -> Floats:
    """(seams, k) the worst mean over 50 mm, or over the seam if shorter."""
    lengths = np.diff(line.places)
    sums = np.concatenate((np.zeros((1, local.shape[1])), np.cumsum(local * lengths[:, None], 0)))
    sums = sums[:, None, :]
    first, last = line.first[line.seam], line.last[line.seam]
    reach = np.minimum(STRETCH_MM, last - first)
    worst = np.zeros((len(line.first), local.shape[1]))
    for wanted in (line.places[:-1], line.places[1:] - reach):
        start = np.clip(wanted, first, last - reach)
        total = _at(start + reach, line.places, sums) - _at(start, line.places, sums)
        np.maximum.at(worst, line.seam, total[:, 0, :] / reach[:, None])
    return worst


def _at(where: Floats, places: Floats, sums: Floats) -> Floats:
    """Sums read between the ends of segments."""
    index = np.clip(np.searchsorted(places, where, side="right") - 1, 0, len(places) - 2)
    share = (where - places[index]) / (places[index + 1] - places[index])
    read: Floats = sums[index] + share[:, None, None] * (sums[index + 1] - sums[index])
    return read


def _combined(normal: Floats, shear: Floats, bears: Floats) -> Floats:
    """Pull and shear together by an ellipse; under pressure friction helps the shear."""
    f_n, f_s = bears[:, 0, None], bears[:, 1, None]
    pulled = np.hypot(normal / f_n, shear / f_s)
    pressed = shear / (f_s + _FRICTION * np.abs(normal))
    return np.where(normal >= 0.0, pulled, pressed)
