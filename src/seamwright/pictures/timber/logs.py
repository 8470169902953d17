"""Where in its log a stick was: chosen by the stick's id alone, never by the run."""

from __future__ import annotations

import math
import zlib
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from seamwright.pictures.timber.noise import Floats

_NUMBERS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Logs:
    """For each stick of a picture, as arrays of one value per stick.

    Attributes:
        pith_mm: distance of the stick's corner from the pith.
        c, s: cosine and sine of the turn of its face against the rings; turn 0 is quarter sawn,
            90° flat sawn.
        run, run2: how much the fibres run out of the stick's axis.
        taper: how much the log widens along the stick; makes the arches of flat-sawn faces.
        start_mm: where along the log it begins.
        drift: offset into the noise, three columns.
        phase, phase2: of the uneven ring widths.
        shade: lighter or darker than its wood, about ±0.05.
    """

    pith_mm: Floats
    c: Floats
    s: Floats
    run: Floats
    run2: Floats
    taper: Floats
    start_mm: Floats
    drift: Floats
    phase: Floats
    phase2: Floats
    shade: Floats


def logs(sticks: Sequence[str]) -> Logs:
    """The logs of some sticks, by their ids."""
    draws = np.array([_draws(stick) for stick in sticks], dtype=np.float64).reshape(-1, _NUMBERS)
    turn = np.radians(90.0 * (1.0 - draws[:, 1] ** 1.5) + 8.0 * (draws[:, 2] - 0.5))
    lean = np.where(draws[:, 5] < 0.5, -1.0, 1.0) * (0.018 + 0.037 * draws[:, 6])

    def single(values: object) -> Floats:
        return np.asarray(values, dtype=np.float32)

    return Logs(
        pith_mm=single(45.0 + 65.0 * draws[:, 0]),
        c=single(np.cos(turn)),
        s=single(np.sin(turn)),
        run=single(0.024 * (draws[:, 3] - 0.5)),
        run2=single(0.012 * (draws[:, 4] - 0.5)),
        taper=single(lean),
        start_mm=single(4000.0 * draws[:, 7]),
        drift=single(50.0 * draws[:, 8:11]),
        phase=single(2.0 * math.pi * draws[:, 8]),
        phase2=single(2.0 * math.pi * draws[:, 9]),
        shade=single(0.09 * (draws[:, 11] - 0.5)),
    )


def _draws(stick: str) -> list[float]:
    """Twelve numbers from 0 to 1 that depend on the id and nothing else."""
    return [zlib.crc32(f"{stick}/{number}".encode()) / 0xFFFFFFFF for number in range(_NUMBERS)]
