"""The exact choice: a mixed-integer programme solved by HiGHS.

``columns`` makes the model. The solver's numbers are never trusted: the chosen modes are recounted
from the board down.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import highspy
import numpy as np

from seamwright.errors import Cancelled
from seamwright.planner.columns import Terms, build, less_of
from seamwright.planner.descent import descend_from
from seamwright.planner.exclusive import Exclusions
from seamwright.planner.laying import barred, rows_against
from seamwright.planner.model import INF
from seamwright.planner.narrowing import Narrowed, everything, narrowed
from seamwright.planner.probing import Probe
from seamwright.planner.problem import Choice, Problem, recount
from seamwright.planner.ruling_out import may_cost
from seamwright.planner.shares import add_shares

_FEASIBLE = 2
_NOTHING_CHEAPER = (
    highspy.HighsModelStatus.kInfeasible,
    highspy.HighsModelStatus.kObjectiveBound,
)
_SAME_MINUTES = 1e-6
_ROUNDS = 12
_NARROWINGS = 8
_FEWER = 0.9
"""Modes are taken out again while no larger share of them is left."""
_NEAR = 0.005
_LARGE = 1500
"""Within this share of the bound, or with more modes than this, branching is the quicker proof."""
FEW_MODES = 120
"""With more modes than this, trying each in the relaxation pays."""

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
        stood: modes that were tried, or need not be, and could not be ruled out by that.
    """

    def __init__(self, problem: Problem, *, few: int = FEW_MODES, resawn: bool = False) -> None:
        """Solve the relaxation.

        Args:
            problem: with at least one choice.
            resawn: whether choices in which nothing is resawn may be left out.
            few: of no more modes than this none is tried before the solver branches; with 0
                they are tried whatever is to gain by it.
        """
        self.problem = problem
        self._few = few
        self._resawn = resawn
        self.stood: set[tuple[int, int]] = set()
        self._choose_from(everything(problem))

    def _choose_from(self, left: Narrowed) -> None:
        self._left = left
        self._columns = build(left.problem)
        add_shares(self._columns)
        if self._resawn:
            self._columns.model.row(self._columns.resawn(), 1.0)
        solver = self._columns.model.highs(whole=False)
        solver.run()
        self._tighten(solver)
        self._relaxed = solver
        solution = solver.getSolution()
        self._value = np.array(solution.col_value)
        self._reduced = np.array(solution.col_dual)
        self.bound = self.problem.fixed + solver.getInfo().objective_function_value
        if solver.getModelStatus() == highspy.HighsModelStatus.kInfeasible:
            self.bound = INF

    def _tighten(self, solver: highspy.Highs) -> None:
        """Add the rows of exclusive modes that the relaxation breaks, until few are left."""
        exclusions = self._exclusions = Exclusions(self._left.problem)
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
                    terms = terms + less_of(columns.picked[exclusions.modes[mode]])
                index, value = columns.model.row(terms, 0.0)
                solver.addRow(0.0, INF, len(index), index, value)
            solver.run()

    def rounded(self, *, draws: int) -> Choice:
        """A good choice near the relaxation's optimum.

        Args:
            draws: how many choices are drawn from it besides its heaviest modes.
        """
        likely: list[list[float]] = [[0.0] * len(node.modes) for node in self.problem.nodes]
        for (n, k), terms in self._columns.picked.items():
            likely[n][self._left.kept[n][k]] = max(0.0, sum(self._value[c] for c, _ in terms))
        return descend_from(self.problem, likely, draws=draws)

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
        deadline = time.monotonic() + seconds
        beaten = Solved(choice=None, bound=beat, stopped="beaten")
        if not self._narrow(beat):
            return beaten
        stop = _until(deadline, cancelled)
        hard = beat - self.bound > _NEAR * beat and self._modes() <= _LARGE
        if (hard or not self._few) and not self._probe(beat, stop):
            return beaten
        self._fix(beat)
        solver = self._columns.model.highs(whole=True)
        solver.setOptionValue("time_limit", max(deadline - time.monotonic(), 0.05))
        solver.setOptionValue("objective_bound", beat - self.problem.fixed - _SAME_MINUTES)
        for option, value in _BRANCHING.items():
            solver.setOptionValue(option, value)
        stopped = _interruptible(solver, cancelled)
        seen: list[Choice] = []
        while True:
            solver.run()
            if stopped():
                raise Cancelled
            if solver.getModelStatus() in _NOTHING_CHEAPER:
                best = min(seen, key=_minutes, default=None)
                return beaten if best is None else _proven(best)
            answer = self._answer(solver, beat, seen)
            if answer is not None:
                return answer

    def _answer(self, solver: highspy.Highs, beat: float, seen: list[Choice]) -> Solved | None:
        """The answer; None where it counted too few bars, and the solver is to run once more.

        Args:
            solver: has run; rows are added where it is to run again.
            beat: only choices cheaper than this are wanted [min].
            seen: choices cheaper than that met so far; the solver's is added.
        """
        info = solver.getInfo()
        proven = solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
        bound = min(max(info.mip_dual_bound + self.problem.fixed, self.bound), beat)
        values = solver.getSolution().col_value
        if values and info.primal_solution_status == _FEASIBLE:
            own = recount(self._left.problem, self._picked(values))
            choice = recount(self.problem, self._left.whole(own.modes))
            if choice.minutes < beat - _SAME_MINUTES:
                seen.append(choice)
            told = info.objective_function_value + self.problem.fixed
            if proven and choice.minutes > told + _SAME_MINUTES:
                self._tell_bars(solver, own, values)
                known = min([beat, *map(_minutes, seen)]) - self.problem.fixed
                solver.setOptionValue("objective_bound", known - _SAME_MINUTES)
                return None
        best = min(seen, key=_minutes, default=None)
        if best is not None:
            bound = min(bound, best.minutes)
        return Solved(choice=best, bound=bound, stopped="proven" if proven else "time")

    def _tell_bars(self, solver: highspy.Highs, own: Choice, values: Sequence[float]) -> None:
        """Rows that cut off an answer which counts too few bars."""
        columns = self._columns
        rows = [(terms, 0.0, INF) for terms in rows_against(columns, own, values)]
        if not rows:
            terms, most = barred(columns, own.modes)
            rows = [(terms, -INF, most)]
        for terms, low, high in rows:
            index, value = columns.model.row(terms, low, high)
            solver.addRow(low, high, len(index), index, value)

    def _picked(self, values: Sequence[float]) -> dict[int, int]:
        return {
            node: mode
            for (node, mode), terms in self._columns.picked.items()
            if sum(values[column] for column, _ in terms) > 0.5
        }

    def _modes(self) -> int:
        return sum(map(len, self._left.kept))

    def _narrow(self, beat: float) -> bool:
        """Take out what no choice cheaper than ``beat`` can hold; whether anything is left.

        With fewer modes fewer counts are possible, and the relaxation becomes tighter.
        """
        for _ in range(_NARROWINGS):
            if self.bound >= beat - _SAME_MINUTES:
                return False
            room = beat - self.bound + _SAME_MINUTES
            keep = may_cost(self._columns, self._exclusions, self._value, self._reduced, room)
            left = narrowed(self._left, keep)
            if left is None:
                return False
            if sum(map(len, left.kept)) > _FEWER * self._modes():
                return True
            self._choose_from(left)
        return self.bound < beat - _SAME_MINUTES

    def _probe(self, beat: float, stop: Callable[[], bool]) -> bool:
        """Try each mode in the relaxation and take out what costs too much; as ``_narrow``."""
        probe = Probe(beat=beat - self.problem.fixed - _SAME_MINUTES, stop=stop, stood=self.stood)
        more = True
        while more and self._modes() > self._few:
            keep, more = probe.keep(self._relaxed, self._columns, self._exclusions, self._left.kept)
            left = narrowed(self._left, keep)
            if left is None:
                return False
            self._choose_from(left)
            if not self._narrow(beat):
                return False
        return True

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


def _minutes(choice: Choice) -> float:
    return choice.minutes


def _proven(choice: Choice) -> Solved:
    return Solved(choice=choice, bound=choice.minutes, stopped="proven")


def _until(deadline: float, cancelled: Callable[[], bool] | None) -> Callable[[], bool]:
    """Whether it is time to stop; a user's wish to stop is raised at once."""

    def stop() -> bool:
        if cancelled is not None and cancelled():
            raise Cancelled
        return time.monotonic() > deadline

    return stop


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
