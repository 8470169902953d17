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
from threadpoolctl import threadpool_limits

from seamwright.fit.joints import Floats
from seamwright.fit.meeting import Meetings, combined_sd, main_direction
from seamwright.fit.program import Program
from seamwright.fit.pruning import pruned
from seamwright.fit.sources import Sources

REAL = 4000
"""Trials that go through the real geometry, unless told otherwise."""
_FACES = 20_000
"""Trials that also look at every face; the others look at the points only."""
_LINEAR_CHUNK, _REAL_CHUNK = 2000, 1000
_ALIKE = 1e-7


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """What many trials gave.

    Attributes:
        trials, real: how many to first order, and how many of them through the real geometry.
        chance, chance_error: share of trials in which all points met, and its standard error.
        chance_closed: share in which all faces closed, of the first 20,000 trials.
        worst_mm: in each trial the widest miss of any meeting point, to first order [mm].
        within: for each pair the share of trials in which it met.
        sd_mm: for each pair the standard deviation of its miss along its main direction, through
            the real geometry [mm].
        linear_sd_mm: the same worked out from the first-order slopes alone, without trials [mm].
        along: main direction of each pair.
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
    apart_mm: float


@dataclass(frozen=True, slots=True)
class _Part:
    """Some trials: the widest miss, whether faces closed where they were looked at, pairs that met,
    sums of squares.
    """

    worst: NDArray[np.float32]
    closed: NDArray[np.bool_]
    met: Floats
    squares: Floats
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
    # products this small go quicker on one thread than on several that wait for one another
    with threadpool_limits(1, user_api="blas"):
        many, pairs, drift, along = _carried_out(
            program, meetings, sources, gap_mm, trials, seed, real, offset
        )
    return _tally(many, pairs, gap_mm, drift, along)


def _carried_out(
    program: Program,
    meetings: Meetings,
    sources: Sources,
    gap_mm: float,
    trials: int,
    seed: int,
    real: int,
    offset: Floats | None,
) -> tuple[list[_Part], list[tuple[_Part, _Part]], NDArray[np.complex128], NDArray[np.complex128]]:
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
    while done < real:
        count = min(_REAL_CHUNK, real - done)
        drawn = _drawn(len(sources.sd), count, seed, done)
        many.append(linear.judge(drawn, with_faces=True))
        errors = slopes @ drawn + start.astype(np.float32)[:, None]
        pairs.append((geometry.judge(np.ascontiguousarray(errors)), many[-1]))
        done += count
    errors_alike = _alike(meetings, sources)
    linear.fold(errors_alike)
    while done < trials:
        count = min(_LINEAR_CHUNK, trials - done)
        drawn = _drawn(int(errors_alike.max(initial=-1)) + 1, count, seed, done)
        many.append(linear.judge(drawn, with_faces=done < _FACES))
        done += count
    return many, pairs, drift, along


def _drawn(count: int, trials: int, seed: int, done: int) -> NDArray[np.float32]:
    random = np.random.Generator(np.random.SFC64([seed, done]))
    return random.standard_normal((count, trials), dtype=np.float32)


def _alike(meetings: Meetings, sources: Sources) -> NDArray[np.int64]:
    """For each error the number of its group: errors of a group do the same to all that is asked.

    They are told apart by what one millimetre or degree of them does, whatever their size, so that
    the groups stay the same where only the sizes differ. −1 where an error does nothing.
    """
    rows = np.concatenate([meetings.drift.real, meetings.drift.imag, meetings.gap_rows])
    columns = (rows @ sources.matrix.toarray()).T
    if not columns.size:
        return np.full(len(columns), -1)
    at = np.arange(len(columns))
    most = columns[at, np.abs(columns).argmax(axis=1)]
    still = np.abs(most) < _ALIKE
    unit = np.round(columns / np.where(still, 1.0, most)[:, None], 5) + 0.0
    _, groups = np.unique(unit[~still], axis=0, return_inverse=True)
    found = np.full(len(columns), -1)
    found[~still] = groups.reshape(-1)
    return found


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
        apart_mm=max(
            float(np.abs(fine.miss - coarse.miss).max(initial=0.0)) for fine, coarse in pairs
        ),
    )


class _Linear:
    """Trials to first order.

    Most pairs drift as others do in x or in y: each such row is worked out once.
    """

    def __init__(self, drift: NDArray[np.complex128], gaps: Floats, gap_mm: float) -> None:
        rows, places, signs = _once(np.concatenate([drift.real, drift.imag]))
        self.points = len(rows)
        self.x, self.y = np.split(places, 2)
        self.signs = np.split(signs.astype(np.float32)[:, None], 2)
        self.rows = np.concatenate([rows, gaps]).astype(np.float32)
        self.gap_mm = gap_mm
        self.offset = np.zeros((0, 1), dtype=np.float32)

    def start(self, drift: NDArray[np.complex128], gaps: Floats) -> None:
        """Where every trial starts from."""
        self.offset = np.concatenate([drift.real, drift.imag, gaps]).astype(np.float32)[:, None]

    def fold(self, alike: NDArray[np.int64]) -> None:
        """Draw one number for each group of errors from now on: their sum has the same spread."""
        folded = np.zeros((len(self.rows), int(alike.max(initial=-1)) + 1), dtype=np.float32)
        for group in range(folded.shape[1]):
            columns = self.rows[:, alike == group]
            size = np.linalg.norm(columns, axis=0)
            most = int(size.argmax())
            if size[most] > 0.0:
                folded[:, group] = columns[:, most] * (np.linalg.norm(size) / size[most])
        self.rows = folded

    def judge(self, drawn: NDArray[np.float32], *, with_faces: bool) -> _Part:
        """Some trials, from the errors in standard deviations."""
        moved = (self.rows if with_faces else self.rows[: self.points]) @ drawn
        pairs = len(self.x)
        x = moved[self.x]
        x *= self.signs[0]
        x += self.offset[:pairs]
        y = moved[self.y]
        y *= self.signs[1]
        y += self.offset[pairs : 2 * pairs]
        opened = moved[self.points :] + self.offset[2 * pairs :] if with_faces else None
        y *= y
        y += x * x
        return _judged(np.sqrt(y, out=y), x, opened, self.gap_mm)


def _once(rows: Floats) -> tuple[Floats, NDArray[np.int64], Floats]:
    """Rows that differ by more than a sign, and for each row which one it is with which sign."""
    big = np.abs(rows).argmax(axis=1)
    signs = np.where(rows[np.arange(len(rows)), big] < 0.0, -1.0, 1.0)
    known: dict[bytes, int] = {}
    kept: list[int] = []
    places = np.zeros(len(rows), dtype=np.int64)
    for i, row in enumerate(np.round(rows * signs[:, None] / _ALIKE).astype(np.int64)):
        place = known.setdefault(row.tobytes(), len(kept))
        if place == len(kept):
            kept.append(i)
        places[i] = place
    return rows[kept] * signs[kept, None], places, signs


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
    opened: NDArray[np.float32] | None,
    gap_mm: float,
) -> _Part:
    closed = np.zeros(0, dtype=bool)
    if opened is not None:
        closed = np.abs(opened).max(axis=0, initial=0.0) <= gap_mm
    return _Part(
        worst=miss.max(axis=0, initial=0.0),
        closed=closed,
        met=(miss <= gap_mm).sum(axis=1).astype(float),
        squares=np.einsum("ij,ij->i", drift, drift).astype(float),
        miss=miss if miss.shape[1] <= _REAL_CHUNK else miss[:, :0],
    )
