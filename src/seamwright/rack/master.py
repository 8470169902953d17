"""The master problem in HiGHS: which pattern for which board, linear or in whole numbers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Generic, Protocol, TypeVar

import highspy
import numpy as np

from seamwright.rack.grid import Floats
from seamwright.rack.problem import Choice, Column, Node, Problem

_INF = highspy.kHighsInf
_WHOLE = 1e-6


class _QuietHighs(highspy.Highs):
    """Says nothing: its first construction prints a banner unless silence is asked for before."""

    def enableCallbacks(self) -> None:  # noqa: N802 - the library's name
        """Callbacks on, after silence."""
        self.silent()
        super().enableCallbacks()  # type: ignore[no-untyped-call]


class Offered(Protocol):
    """What the master needs to know of a column."""

    @property
    def place(self) -> int:
        """Which board."""

    @property
    def gives(self) -> tuple[int, ...]:
        """What it gives each row."""

    @property
    def cost(self) -> float:
        """What it costs."""


C = TypeVar("C", bound=Offered)


class Master(Generic[C]):
    """Rows: demand, then places, then the number bought; grown column by column."""

    def __init__(self, problem: Problem, needs: tuple[int, ...], node: Node) -> None:
        self.problem, self.node = problem, node
        self.columns: list[C] = []
        self.lp = _QuietHighs()  # type: ignore[no-untyped-call]
        self.lp.setOptionValue("threads", 1)
        self._bought_row = len(needs) + len(problem.limits)
        lows = [*map(float, needs)]
        highs = [_INF] * len(needs)
        for place, limit in enumerate(problem.limits):
            lows.append(1.0 if place in node.forced else -_INF)
            highs.append(0.0 if place in node.banned else float(limit))
        lows.append(float(node.least_bought))
        highs.append(_INF if node.most_bought is None else float(node.most_bought))
        none_i, none_f = np.array([], dtype=np.int32), np.array([], dtype=float)
        for low, high in zip(lows, highs, strict=True):
            self.lp.addRow(low, high, 0, none_i, none_f)
        for row, cost in enumerate(problem.missing):
            self._add(cost, [row], [1.0])
        # limits from below could make the start infeasible: a dear way out for each
        self._dear = [r for r, low in enumerate(lows[len(needs) :], len(needs)) if low > 0]
        for row in self._dear:
            self._add(1e3 * (1 + max(problem.costs, default=0.0)), [row], [1.0])
        self.fixed = len(problem.missing) + len(self._dear)

    def extend(self, columns: Sequence[C]) -> None:
        """More columns."""
        if not columns:
            return
        starts, rows, values = [], list[int](), list[float]()
        for column in columns:
            starts.append(len(rows))
            for row, count in enumerate(column.gives):
                if count:
                    rows.append(row)
                    values.append(float(count))
            rows.append(len(column.gives) + column.place)
            values.append(1.0)
            if self.problem.bought[column.place]:
                rows.append(self._bought_row)
                values.append(1.0)
        number = len(columns)
        self.lp.addCols(
            number,
            np.array([column.cost for column in columns]),
            np.zeros(number),
            np.full(number, _INF),
            len(rows),
            np.array(starts, dtype=np.int32),
            np.array(rows, dtype=np.int32),
            np.array(values),
        )
        self.columns.extend(columns)

    def _add(self, cost: float, rows: list[int], values: list[float]) -> None:
        self.lp.addCol(cost, 0.0, _INF, len(rows), np.array(rows, dtype=np.int32), np.array(values))

    def solve(self) -> tuple[float, Floats, Floats]:
        """Value, row duals and column values of the linear program."""
        run(self.lp)
        solution = self.lp.getSolution()
        value = float(self.lp.getInfo().objective_function_value)
        return value, np.array(solution.row_dual), np.array(solution.col_value)

    def weights(self, values: Floats) -> tuple[tuple[C, float], ...]:
        """Columns in use and how much of each."""
        used = values[self.fixed :]
        return tuple((self.columns[n], float(used[n])) for n in np.flatnonzero(used > 1e-9))

    def broken(self, values: Floats) -> bool:
        """Whether a limit from below is met by its dear way out only."""
        first = len(self.problem.missing)
        return bool((values[first : self.fixed] > _WHOLE).any())


def run(model: highspy.Highs) -> None:
    """Run HiGHS; all models of a process share one pool of threads, which may need a restart.

    A model run earlier with another number of threads makes the next one refuse to run.
    """
    if model.run() == highspy.HighsStatus.kError:
        model.resetGlobalScheduler(True)
        if model.run() == highspy.HighsStatus.kError:
            raise RuntimeError("HiGHS could not run the model")


def choose(
    problem: Problem,
    columns: Sequence[Column],
    *,
    needs: tuple[int, ...],
    seconds: float,
    start: Choice | None = None,
) -> Choice | None:
    """Best whole-number choice among columns, or None where none is found in time."""
    return chosen(problem, columns, needs=needs, seconds=seconds, start=start)[0]


def chosen(
    problem: Problem,
    columns: Sequence[C],
    *,
    needs: tuple[int, ...],
    seconds: float,
    start: Sequence[tuple[Offered, int]] | None = None,
) -> tuple[list[tuple[C, int]] | None, float]:
    """Best whole-number choice among columns found in time, and what any of them costs at least.

    ``start`` is a choice to begin with; columns for what its patterns give are among these.
    """
    master: Master[C] = Master(problem, needs, Node())
    master.extend(columns)
    lp = master.lp
    number = lp.getNumCol()
    lp.changeColsIntegrality(
        number,
        np.arange(number, dtype=np.int32),
        np.array([highspy.HighsVarType.kInteger] * number),
    )
    lp.setOptionValue("time_limit", max(0.05, seconds))
    lp.setOptionValue("mip_rel_gap", 1e-6)
    if start:
        lp.setSolution(_solution(master, start, needs))
    run(lp)
    info = lp.getInfo()
    bound = float(info.mip_dual_bound)
    if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return None, bound
    # counted again from whole numbers; the solver's own objective is not believed
    values = list(lp.getSolution().col_value)[master.fixed :]
    choice = [
        (column, round(value))
        for column, value in zip(master.columns, values, strict=True)
        if round(value) > 0
    ]
    return choice, bound


def _solution(
    master: Master[C], start: Sequence[tuple[Offered, int]], needs: tuple[int, ...]
) -> highspy.HighsSolution:
    number = {(c.place, c.gives): n for n, c in enumerate(master.columns, master.fixed)}
    values = [0.0] * (master.fixed + len(master.columns))
    made = [0] * len(needs)
    for column, times in start:
        made = [m + times * g for m, g in zip(made, column.gives, strict=True)]
    for row, (need, have) in enumerate(zip(needs, made, strict=True)):
        values[row] = float(max(0, need - have))
    for column, times in start:
        values[number[column.place, column.gives]] += times
    solution = highspy.HighsSolution()
    solution.col_value = values
    return solution
