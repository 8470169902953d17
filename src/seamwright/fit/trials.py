"""Many trials of a plan with errors drawn at random, on two levels.

All trials are carried through to first order, which is one product of matrices. The first few
thousand go through the plan's real geometry as well, with the same errors; the mean difference
between the two is added to what the many give. The sum is as true as if all had gone through the
real geometry, and its own error hardly larger, because the two seldom disagree.

Reference:
    Giles 2008, "Multilevel Monte Carlo path simulation", Operations Research 56(3) (from memory);
    here with two levels, which is a control variate.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from seamwright.fit.joints import Floats
from seamwright.fit.meeting import Meetings, combined_sd, main_direction
from seamwright.fit.program import Program
from seamwright.fit.pruning import pruned
from seamwright.fit.sources import Sources

REAL = 4000
"""Trials that go through the real geometry, unless told otherwise."""
_LINEAR_CHUNK, _REAL_CHUNK = 4000, 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """What many trials gave.

    Attributes:
        trials, real: how many to first order, and how many of them through the real geometry.
        chance, chance_error: share of trials in which all points met, and its standard error.
        chance_closed: share in which all faces closed.
        worst_mm: in each trial the widest miss of any meeting point, to first order [mm].
        within: for each pair the share of trials in which it met.
        sd_mm: for each pair the standard deviation of its miss along its main direction, through
            the real geometry [mm].
        linear_sd_mm: the same worked out from the first-order slopes alone, without trials [mm].
        along: main direction of each pair.
        gap_sd_mm: for each face the standard deviation of how far it stands open [mm].
        apart_mm: largest difference between real and first-order miss in any real trial [mm].
    """

    trials: int
    real: int
    chance: float
    chance_error: float
    chance_closed: float
    worst_mm: NDArray[np.float32]
    within: Floats
    sd_mm: Floats
    linear_sd_mm: Floats
    along: NDArray[np.complex128]
    gap_sd_mm: Floats
    apart_mm: float


@dataclass(frozen=True, slots=True)
class _Part:
    """Some trials: the widest miss, whether faces closed, pairs that met, sums of squares."""

    worst: NDArray[np.float32]
    closed: NDArray[np.bool_]
    met: Floats
    squares: Floats
    gap_squares: Floats
    miss: NDArray[np.float32]


def run_trials(
    program: Program,
    meetings: Meetings,
    sources: Sources,
    *,
    gap_mm: float,
    trials: int,
    seed: int,
    real: int = REAL,
    offset: Floats | None = None,
) -> Tally:
    """Carry a plan out many times.

    The same seed draws the same errors, also where only standard deviations differ.

    Args:
        program, meetings: of the plan.
        sources: the errors.
        gap_mm: largest miss that counts as met.
        trials: how many; 1 or more.
        seed: of the random numbers.
        real: how many of them go through the real geometry; at least 1, at most all are taken.
        offset: what every error is off by in all trials; nothing if left out.
    """
    start = np.zeros(program.errors) if offset is None else offset
    weighed = sources.matrix.multiply(sources.sd[None, :]).toarray()
    drift = meetings.drift @ weighed
    along = main_direction(drift)
    linear = _Linear(drift, meetings.gap_rows @ weighed, gap_mm)
    linear.start(meetings.drift @ start, meetings.gap_rows @ start)
    geometry = _Geometry(program, meetings, along, gap_mm)
    slopes = weighed.astype(np.float32)
    real = max(1, min(real, trials))
    many: list[_Part] = []
    pairs: list[tuple[_Part, _Part]] = []
    done = 0
    while done < trials:
        size = _REAL_CHUNK if done < real else _LINEAR_CHUNK
        count = min(size, (real if done < real else trials) - done)
        random = np.random.Generator(np.random.SFC64([seed, done]))
        drawn = random.standard_normal((len(sources.sd), count), dtype=np.float32)
        many.append(linear.judge(drawn))
        if done < real:
            errors = slopes @ drawn + start.astype(np.float32)[:, None]
            pairs.append((geometry.judge(np.ascontiguousarray(errors)), many[-1]))
        done += count
    return _tally(many, pairs, gap_mm, drift, along)


def _tally(
    many: list[_Part],
    pairs: list[tuple[_Part, _Part]],
    gap_mm: float,
    drift: NDArray[np.complex128],
    along: NDArray[np.complex128],
) -> Tally:
    worst = np.concatenate([part.worst for part in many])
    closed = np.concatenate([part.closed for part in many])
    met = (worst <= gap_mm).astype(float)
    real = np.concatenate([fine.worst <= gap_mm for fine, _ in pairs]).astype(float)
    change = real - met[: len(real)]
    shut = np.concatenate([fine.closed for fine, _ in pairs]).astype(float) - closed[: len(real)]
    n, m = len(worst), len(real)
    within = sum(part.met for part in many) / n
    within = within + sum(fine.met - coarse.met for fine, coarse in pairs) / m
    return Tally(
        trials=n,
        real=m,
        chance=float(np.clip(met.mean() + change.mean(), 0.0, 1.0)),
        chance_error=float(np.sqrt(met.var() / n + change.var() / m)),
        chance_closed=float(np.clip(closed.mean() + shut.mean(), 0.0, 1.0)),
        worst_mm=worst,
        within=np.clip(within, 0.0, 1.0),
        sd_mm=np.sqrt(sum(fine.squares for fine, _ in pairs) / m),
        linear_sd_mm=combined_sd((drift * along.conj()[:, None]).real, np.ones(drift.shape[1])),
        along=along,
        gap_sd_mm=np.sqrt(sum(part.gap_squares for part in many) / n),
        apart_mm=max(
            float(np.abs(fine.miss - coarse.miss).max(initial=0.0)) for fine, coarse in pairs
        ),
    )


class _Linear:
    """Trials to first order."""

    def __init__(self, drift: NDArray[np.complex128], gaps: Floats, gap_mm: float) -> None:
        self.pairs = len(drift)
        self.rows = np.concatenate([drift.real, drift.imag, gaps]).astype(np.float32)
        self.gap_mm = gap_mm
        self.offset = np.zeros((len(self.rows), 1), dtype=np.float32)

    def start(self, drift: NDArray[np.complex128], gaps: Floats) -> None:
        """Where every trial starts from."""
        self.offset = np.concatenate([drift.real, drift.imag, gaps]).astype(np.float32)[:, None]

    def judge(self, drawn: NDArray[np.float32]) -> _Part:
        """Some trials, from the errors in standard deviations."""
        moved = self.rows @ drawn + self.offset
        x, y = moved[: self.pairs], moved[self.pairs : 2 * self.pairs]
        return _judged(np.sqrt(x * x + y * y), x, moved[2 * self.pairs :], self.gap_mm)


class _Geometry:
    """Trials through the real geometry."""

    def __init__(
        self,
        program: Program,
        meetings: Meetings,
        along: NDArray[np.complex128],
        gap_mm: float,
    ) -> None:
        used, places = np.unique(meetings.pairs, return_inverse=True)
        self.program, numbers, _ = pruned(program, used, meetings.gaps)
        self.first, self.second = numbers[places.reshape(meetings.pairs.shape)].T
        self.back = along.conj().astype(np.complex64)[:, None]
        self.gap_mm = gap_mm

    def judge(self, errors: NDArray[np.float32]) -> _Part:
        """Some trials, from the errors themselves."""
        run = self.program.run(errors)
        corners = self.program.corners(run)
        apart = corners[self.first] - corners[self.second]
        drift = (apart * self.back).real
        return _judged(np.abs(apart), drift, self.program.open_mm(run), self.gap_mm)


def _judged(
    miss: NDArray[np.float32],
    drift: NDArray[np.float32],
    opened: NDArray[np.float32],
    gap_mm: float,
) -> _Part:
    return _Part(
        worst=miss.max(axis=0, initial=0.0),
        closed=np.abs(opened).max(axis=0, initial=0.0) <= gap_mm,
        met=(miss <= gap_mm).sum(axis=1).astype(float),
        squares=np.einsum("ij,ij->i", drift, drift).astype(float),
        gap_squares=np.einsum("ij,ij->i", opened, opened).astype(float),
        miss=miss if miss.shape[1] <= _REAL_CHUNK else miss[:, :0],
    )
