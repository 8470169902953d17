"""Columns and rows for HiGHS, which solves them exactly and without a word on standard output."""

from __future__ import annotations

import highspy
import numpy as np
from numpy.typing import NDArray

INF = highspy.kHighsInf


class _QuietHighs(highspy.Highs):
    """HiGHS that is silent from its first call on.

    Its constructor turns callbacks on, and the first call of all prints a banner unless silence
    was asked for before: so it is asked for there.
    """

    def enableCallbacks(self) -> None:  # noqa: N802 - the library's name
        """Callbacks on, after silence."""
        self.silent()
        super().enableCallbacks()  # type: ignore[no-untyped-call]


def _exact_highs() -> highspy.Highs:
    """A solver that leaves no gap, on one thread, so that the same input gives the same answer."""
    solver = _QuietHighs()  # type: ignore[no-untyped-call]
    solver.setOptionValue("mip_rel_gap", 0.0)
    solver.setOptionValue("mip_abs_gap", 1e-6)
    solver.setOptionValue("threads", 1)
    return solver


class Model:
    """Columns and rows, gathered and handed over at once."""

    def __init__(self) -> None:
        self.cost: list[float] = []
        self.low: list[float] = []
        self.high: list[float] = []
        self.whole: list[int] = []
        self.row_low: list[float] = []
        self.row_high: list[float] = []
        self.starts: list[int] = [0]
        self.index: list[int] = []
        self.value: list[float] = []

    def column(self, cost: float, high: float, *, whole: bool = True) -> int:
        """A new variable from 0 up to ``high``; its number."""
        self.cost.append(cost)
        self.low.append(0.0)
        self.high.append(high)
        if whole:
            self.whole.append(len(self.cost) - 1)
        return len(self.cost) - 1

    def row(
        self, terms: list[tuple[int, float]], low: float, high: float = INF
    ) -> tuple[NDArray[np.int32], NDArray[np.float64]]:
        """A new row, low ≤ Σ value · column ≤ high; its columns and values, each column once."""
        merged: dict[int, float] = {}
        for column, value in terms:
            merged[column] = merged.get(column, 0.0) + value
        self.index.extend(merged)
        self.value.extend(merged.values())
        self.starts.append(len(self.index))
        self.row_low.append(low)
        self.row_high.append(high)
        return np.array(list(merged), dtype=np.int32), np.array(list(merged.values()))

    def highs(self, *, whole: bool) -> highspy.Highs:
        """A solver that has been given the model; with ``whole`` false, its relaxation."""
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(self.cost), len(self.row_low)
        lp.col_cost_ = np.array(self.cost)
        lp.col_lower_, lp.col_upper_ = np.array(self.low), np.array(self.high)
        lp.row_lower_, lp.row_upper_ = np.array(self.row_low), np.array(self.row_high)
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        lp.a_matrix_.start_ = np.array(self.starts, dtype=np.int32)
        lp.a_matrix_.index_ = np.array(self.index, dtype=np.int32)
        lp.a_matrix_.value_ = np.array(self.value)
        kinds = [highspy.HighsVarType.kContinuous] * len(self.cost)
        if whole:
            for column in self.whole:
                kinds[column] = highspy.HighsVarType.kInteger
            lp.integrality_ = kinds
        solver = _exact_highs()
        solver.passModel(lp)
        return solver
