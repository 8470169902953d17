"""Rows that tell the exact choice how many bars its slices need.

The model knows that slices take length. That slices do not come apart, so that three of two thirds
of a bar need three bars, it is told where an answer overlooks it: each slice is given a weight, so
that no bar can hold more than 1 of it, and the bars are at least the weight of all slices. The
weights are the dual prices of cutting the slices from bars (Gilmore and Gomory 1961, from memory);
they hold for any other slices too, so the row cuts off no answer. Where no weight tells, the very
answer is barred, its true minutes being known.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from seamwright.planner.columns import Columns, Terms
from seamwright.planner.model import INF, Model
from seamwright.planner.packing import Sizes, sizes_of
from seamwright.planner.problem import Choice, bars_of

_NEAR = 1e-6
_MOST_LOADS = 60
_MOST_TRIALS = 2_000
_SAFE = 1.0 - 1e-7
"""Weights are taken a hair too small, so that rounding never asks for a bar that is not needed."""


def rows_against(columns: Columns, choice: Choice, values: Sequence[float]) -> list[Terms]:
    """Rows (sum of terms at least 0) that an answer breaks which counts too few bars.

    Args:
        columns: the model.
        choice: the answer, recounted, in the model's own numbers.
        values: what the model says of each column.
    """
    rows = []
    for number, drawn in drawn_from(columns, choice).items():
        pool, bars = columns.problem.pools[number], columns.bars[number]
        told = values[bars.column]
        if sum(count for _, count in bars_of(pool, drawn)) <= told + _NEAR:
            continue
        sizes = sizes_of(drawn)
        weight = dict(zip((pitch for pitch, _ in sizes), weights(pool.room_mm, sizes), strict=True))
        asked = sum(weight[pitch] * count for pitch, count in sizes)
        if asked > told + _NEAR:
            row: Terms = [(bars.column, 1.0)]
            for pitch, terms in bars.sliced:
                worth = weight.get(sizes_of({pitch: 1})[0][0], 0.0)
                row += [(column, -value * worth) for column, value in terms if worth]
            rows.append(row)
    return rows


def drawn_from(columns: Columns, choice: Choice) -> dict[int, dict[float, int]]:
    """What an answer draws from each pool."""
    drawn: dict[int, dict[float, int]] = {}
    for n, k in choice.modes.items():
        mode = columns.problem.nodes[n].modes[k]
        if mode.pool >= 0:
            own = drawn.setdefault(mode.pool, {})
            own[mode.pitch_mm] = own.get(mode.pitch_mm, 0) + choice.uses[n]
    return drawn


def barred(columns: Columns, modes: Mapping[int, int]) -> tuple[Terms, float]:
    """The row that bars one answer: the sum of its terms is at most so much."""
    terms = [term for mode in modes.items() for term in columns.picked[mode]]
    return terms, len(modes) - 1.0


def weights(room_mm: float, sizes: Sizes) -> tuple[float, ...]:
    """A weight for each size, so that no bar holds more than 1, heaviest for these counts."""
    loads = [
        tuple(int((room_mm + 1e-6) / pitch) if i == at else 0 for i in range(len(sizes)))
        for at, (pitch, _) in enumerate(sizes)
    ]
    for _ in range(_MOST_LOADS):
        model = Model()
        for _, count in sizes:
            model.column(-float(count), 1.0, whole=False)
        for load in loads:
            model.row([(i, float(n)) for i, n in enumerate(load) if n], -INF, 1.0)
        solver = model.highs(whole=False)
        solver.run()
        own = [max(0.0, value) for value in solver.getSolution().col_value]
        heaviest = _Heaviest(room_mm, sizes, own)
        if heaviest.most <= 1.0 + _NEAR or heaviest.load in loads:
            break
        loads.append(heaviest.load)
    return tuple(_SAFE * value / max(1.0, heaviest.most) for value in own)


class _Heaviest:
    """The load of one bar that weighs most.

    Attributes:
        load: how many of each size.
        most: no load weighs more; what ``load`` weighs, where the search came to its end.
    """

    def __init__(self, room_mm: float, sizes: Sizes, own: Sequence[float]) -> None:
        self._order = sorted(
            (i for i, value in enumerate(own) if value > 1e-12),
            key=lambda i: own[i] / sizes[i][0],
            reverse=True,
        )
        self._pitch = [pitch for pitch, _ in sizes]
        self._own = own
        self._count = [0] * len(sizes)
        self._trials = 0
        self.load = tuple(self._count)
        self._best = 0.0
        self._fill(0, room_mm, 0.0)
        self.most = self._best
        if self._trials > _MOST_TRIALS:
            first = self._order[0]
            self.most = own[first] * room_mm / self._pitch[first]

    def _fill(self, at: int, left_mm: float, weight: float) -> None:
        if weight > self._best + 1e-12:
            self._best, self.load = weight, tuple(self._count)
        if at == len(self._order):
            return
        size = self._order[at]
        hope = self._own[size] * left_mm / self._pitch[size]
        if weight + hope <= self._best + 1e-12 or self._trials > _MOST_TRIALS:
            return
        self._trials += 1
        for count in range(int((left_mm + 1e-6) / self._pitch[size]), -1, -1):
            if self._trials > _MOST_TRIALS:
                break
            self._count[size] = count
            more = count * self._own[size]
            self._fill(at + 1, left_mm - count * self._pitch[size], weight + more)
        self._count[size] = 0
