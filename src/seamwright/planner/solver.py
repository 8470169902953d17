"""The exact choice: a mixed-integer programme solved by HiGHS.

Variables: how often each mode is used and whether at all, clampings, bars and their length,
settings. Two families of rows make the relaxation tight: a node that a chosen mode needs must have
a mode of its own, and whatever a chosen mode needs once (a setting, a bar) is paid in full. The
solver's numbers are never trusted: the chosen modes are recounted from the board down.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import highspy
import numpy as np

from seamwright.errors import Cancelled
from seamwright.planner.bounds import possible_counts
from seamwright.planner.exclusive import Exclusions
from seamwright.planner.model import INF, Model
from seamwright.planner.must import shared_needs
from seamwright.planner.problem import Choice, Mode, Problem, recount

_FEASIBLE = 2
_NOTHING_CHEAPER = (
    highspy.HighsModelStatus.kInfeasible,
    highspy.HighsModelStatus.kObjectiveBound,
)
_SAME_MINUTES = 1e-6
_ROUNDS = 12

# The gap is small and a good plan is known: few cuts, no restarts and no search for better plans
# by guessing bring the proof about five times sooner than the solver's own choice.
_BRANCHING: dict[str, float | bool] = {
    "mip_heuristic_effort": 0.0,
    "mip_allow_restart": False,
    "mip_pool_soft_limit": 30,
    "mip_lp_age_limit": 1,
    "mip_pscost_minreliable": 2,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """Best choice found and what is proven about it.

    Attributes:
        choice: the best choice, recounted; None where none was found in time.
        bound: no choice of the problem costs less [min].
        stopped: why the solver stopped ("proven", "time", "beaten").
    """

    choice: Choice | None
    bound: float
    stopped: str


class Relaxed:
    """A problem with its model and what its linear relaxation proves.

    Attributes:
        bound: no choice costs less [min].
    """

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self._columns = _build(problem)
        solver = self._columns.model.highs(whole=False)
        solver.run()
        self._tighten(solver)
        solution = solver.getSolution()
        self._value = np.array(solution.col_value)
        self._reduced = np.array(solution.col_dual)
        self.bound = problem.fixed + solver.getInfo().objective_function_value

    def _tighten(self, solver: highspy.Highs) -> None:
        """Add the rows of exclusive modes that the relaxation breaks, until few are left."""
        exclusions = Exclusions(self.problem)
        columns = self._columns
        count = len(columns.problem.nodes) + len(columns.pools) + len(columns.settings)
        for _ in range(_ROUNDS):
            values = solver.getSolution().col_value

            def worth(terms: Terms, values: Sequence[float] = values) -> float:
                return sum(values[column] for column, _ in terms)

            rows = exclusions.violated(
                [worth(columns.picked[mode]) for mode in exclusions.modes],
                [worth(columns.thing(thing)) for thing in range(count)],
                by=1e-3,
            )
            if not rows:
                return
            for row in rows:
                terms = columns.thing(row.thing)
                for mode in row.modes:
                    terms = terms + _less(columns.picked[exclusions.modes[mode]])
                index, value = columns.model.row(terms, 0.0)
                solver.addRow(0.0, INF, len(index), index, value)
            solver.run()

    def solve(
        self, *, seconds: float, beat: float, cancelled: Callable[[], bool] | None = None
    ) -> Solved:
        """Choose the cheapest modes, if they cost less than what is known already.

        Args:
            seconds: time limit; the best choice so far is returned with its bound.
            beat: only choices cheaper than this are wanted [min].
            cancelled: asked while solving.
        Raises:
            Cancelled: the user stopped it.
        """
        if self.bound >= beat - _SAME_MINUTES:
            return Solved(choice=None, bound=beat, stopped="beaten")
        self._fix(beat)
        solver = self._columns.model.highs(whole=True)
        solver.setOptionValue("time_limit", max(seconds, 0.05))
        solver.setOptionValue("objective_bound", beat - self.problem.fixed - _SAME_MINUTES)
        for option, value in _BRANCHING.items():
            solver.setOptionValue(option, value)
        stopped = _interruptible(solver, cancelled)
        solver.run()
        if stopped():
            raise Cancelled
        if solver.getModelStatus() in _NOTHING_CHEAPER:
            return Solved(choice=None, bound=beat, stopped="beaten")
        return self._answer(solver, beat)

    def _answer(self, solver: highspy.Highs, beat: float) -> Solved:
        info = solver.getInfo()
        proven = solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
        bound = min(max(info.mip_dual_bound + self.problem.fixed, self.bound), beat)
        values = solver.getSolution().col_value
        choice = None
        if values and info.primal_solution_status == _FEASIBLE:
            choice = recount(self.problem, self._picked(values))
            if choice.minutes >= beat - _SAME_MINUTES:
                choice = None
            else:
                bound = min(bound, choice.minutes)
        return Solved(choice=choice, bound=bound, stopped="proven" if proven else "time")

    def _picked(self, values: Sequence[float]) -> dict[int, int]:
        return {
            node: mode
            for (node, mode), terms in self._columns.picked.items()
            if sum(values[column] for column, _ in terms) > 0.5
        }

    def _fix(self, beat: float) -> None:
        """Fix what no choice cheaper than ``beat`` can have otherwise (reduced costs)."""
        model = self._columns.model
        room = beat - self.bound + _SAME_MINUTES
        for column in model.whole:
            value, reduced = self._value[column], self._reduced[column]
            if value < 1e-9 and reduced > room:
                model.high[column] = 0.0
            elif model.high[column] == 1.0 and value > 1.0 - 1e-9 and reduced < -room:
                model.low[column] = 1.0


def _interruptible(
    solver: highspy.Highs, cancelled: Callable[[], bool] | None
) -> Callable[[], bool]:
    """Let the solver ask now and then whether to go on."""
    if cancelled is None:
        return lambda: False
    asked = cancelled
    state = {"stop": False, "next": 0.0}

    def ask(event: highspy.HighsCallbackEvent) -> None:
        now = time.monotonic()
        if now >= state["next"]:
            state["next"] = now + 0.05
            state["stop"] = state["stop"] or asked()
        if state["stop"]:
            event.interrupt()

    solver.cbMipInterrupt += ask
    return lambda: bool(state["stop"])


Terms = list[tuple[int, float]]


class _Columns:
    """The model of a problem: what each mode's use, its being picked and its needs are made of."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.model = Model()
        self.settings = [self.model.column(c, 1.0) for c in problem.setting_minutes]
        self.pools = [self.model.column(0.0, 1.0) for _ in problem.pools]
        self.picked: dict[tuple[int, int], Terms] = {}
        self.used: dict[tuple[int, int], Terms] = {}
        self.counts = possible_counts(problem)
        for n, node in enumerate(problem.nodes):
            for k, mode in enumerate(node.modes):
                if self.counts[n]:
                    self._by_count(n, k, mode)
                else:
                    self._by_use(n, k, mode)

    def _by_count(self, n: int, k: int, mode: Mode) -> None:
        """Few counts are possible: one column for each, with its exact cost."""
        self.picked[n, k], self.used[n, k] = [], []
        for count in self.counts[n]:
            uses = -(-count // mode.yields)
            cost = mode.once + mode.each * uses
            if mode.batch:
                cost += mode.clamping * -(-uses // mode.batch)
            column = self.model.column(cost, 1.0)
            self.picked[n, k].append((column, 1.0))
            self.used[n, k].append((column, float(uses)))

    def _by_use(self, n: int, k: int, mode: Mode) -> None:
        """Many counts are possible: a column for the number of uses."""
        model = self.model
        most = -(-self.problem.nodes[n].most // mode.yields)
        pick = model.column(mode.once, 1.0)
        uses = model.column(mode.each, most, whole=mode.yields > 1)
        self.picked[n, k], self.used[n, k] = [(pick, 1.0)], [(uses, 1.0)]
        model.row([(uses, 1.0), (pick, -float(most))], -INF, 0.0)
        model.row([(uses, 1.0), (pick, -1.0)], 0.0)
        if mode.batch:
            loads = model.column(mode.clamping, -(-most // mode.batch))
            model.row([(loads, float(mode.batch)), (uses, -1.0)], 0.0)
            model.row([(loads, 1.0), (pick, -1.0)], 0.0)

    def any_pick(self, n: int) -> Terms:
        """Whether a node is made at all."""
        modes = range(len(self.problem.nodes[n].modes))
        return [term for k in modes for term in self.picked[n, k]]

    def thing(self, number: int) -> Terms:
        """Column of a node, a pool or a setting, numbered as in ``must``."""
        nodes = len(self.problem.nodes)
        if number < nodes:
            return self.any_pick(number)
        return [((self.pools + self.settings)[number - nodes], 1.0)]


def _build(problem: Problem) -> _Columns:
    columns = _Columns(problem)
    _needs_rows(columns)
    _balance_rows(columns)
    _draw_rows(columns)
    return columns


def _less(terms: Terms) -> Terms:
    return [(column, -value) for column, value in terms]


def _needs_rows(columns: _Columns) -> None:
    """A picked mode has everything it needs, and is the only one of its node."""
    model, problem = columns.model, columns.problem
    for pool, column in zip(problem.pools, columns.pools, strict=True):
        for setting in pool.settings:
            model.row([(columns.settings[setting], 1.0), (column, -1.0)], 0.0)
    for n, node in enumerate(problem.nodes):
        model.row(columns.any_pick(n), 1.0 if n == 0 else 0.0, 1.0)
        for k, mode in enumerate(node.modes):
            less = _less(columns.picked[n, k])
            for setting in mode.settings:
                model.row([(columns.settings[setting], 1.0), *less], 0.0)
            if mode.pool >= 0:
                model.row([(columns.pools[mode.pool], 1.0), *less], 0.0)
            for child, _ in mode.children:
                model.row([*columns.any_pick(child), *less], 0.0)
    for n, users, thing in shared_needs(problem):
        less = [term for k in users for term in _less(columns.picked[n, k])]
        model.row([*columns.thing(thing), *less], 0.0)


def _balance_rows(columns: _Columns) -> None:
    """What is made covers what is needed."""
    model, problem = columns.model, columns.problem
    needs: list[Terms] = [[] for _ in problem.nodes]
    for n, node in enumerate(problem.nodes):
        for k, mode in enumerate(node.modes):
            for child, times in mode.children:
                needs[child].extend((c, -times * v) for c, v in columns.used[n, k])
                _at_least_rows(columns, n, k, child, times)
    for n, node in enumerate(problem.nodes):
        wanted = float(problem.copies) if n == 0 else 0.0
        supply: Terms = []
        for k, mode in enumerate(node.modes):
            if columns.counts[n]:
                supply += [
                    (column, float(count))
                    for (column, _), count in zip(
                        columns.picked[n, k], columns.counts[n], strict=True
                    )
                ]
            else:
                supply += [(column, value * mode.yields) for column, value in columns.used[n, k]]
        model.row([*supply, *needs[n]], wanted, wanted if columns.counts[n] else INF)


def _at_least_rows(columns: _Columns, n: int, k: int, child: int, times: int) -> None:
    """A parent picked for so many needs a child picked for at least as many times that."""
    counts, mode = columns.counts, columns.problem.nodes[n].modes[k]
    if not counts[n] or not counts[child]:
        return
    modes = range(len(columns.problem.nodes[child].modes))
    for i, count in enumerate(counts[n]):
        needed = times * -(-count // mode.yields)
        if needed <= counts[child][0]:
            continue
        enough = [
            columns.picked[child, j][at]
            for j in modes
            for at, value in enumerate(counts[child])
            if value >= needed
        ]
        columns.model.row([*enough, *_less(columns.picked[n, k][i:])], 0.0)


def _draw_rows(columns: _Columns) -> None:
    """Bars are long enough for what is sliced from them."""
    model, problem = columns.model, columns.problem
    draw: list[Terms] = [[] for _ in problem.pools]
    for n, node in enumerate(problem.nodes):
        for k, mode in enumerate(node.modes):
            if mode.pool >= 0:
                draw[mode.pool] += [(c, -v * mode.pitch_mm) for c, v in columns.used[n, k]]
    for pool, used, drawn in zip(problem.pools, columns.pools, draw, strict=True):
        if not drawn:
            continue
        bars = model.column(pool.per_bar, float(pool.most))
        length = model.column(pool.per_mm, INF, whole=False)
        model.row([(bars, 1.0), (used, -1.0)], 0.0)
        model.row([(length, 1.0), (bars, -pool.overhead_mm), *drawn], 0.0)
        model.row([(length, 1.0), (used, -pool.least_mm)], 0.0)
        if pool.most == 1:
            model.row([(bars, pool.room_mm), *drawn], 0.0)
            continue
        # one bar holds room_mm; several hold full_mm each
        single = model.column(0.0, 1.0)
        model.row([(bars, pool.full_mm), (single, pool.room_mm - pool.full_mm), *drawn], 0.0)
        model.row([(bars, 1.0), (single, float(pool.most))], -INF, pool.most + 1.0)
