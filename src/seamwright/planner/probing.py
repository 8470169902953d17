"""Modes that no choice cheaper than a known one can hold, told by trying each in the relaxation.

Reduced costs tell little here: much of what a mode brings with it is free in the relaxation's
optimum, because something else pays for it there. So each mode that the optimum does not take in
full is asked for once, parents before children. Where the relaxation then costs too much, the mode
is out, and with it all that comes only with it; the next ones are tried without it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import highspy
import numpy as np

from seamwright.planner.columns import Columns
from seamwright.planner.exclusive import Exclusions
from seamwright.planner.model import INF

_DEAR = (highspy.HighsModelStatus.kObjectiveBound, highspy.HighsModelStatus.kInfeasible)


_ENOUGH = 0.3
"""When so many modes are out that this share is gone, the rest is tried in a smaller model."""


@dataclass(slots=True)
class Probe:
    """Which modes are still to be tried.

    Attributes:
        beat: without what no choice changes: what is dearer is out [min].
        stop: asked before each trial; a true answer ends the trials.
        stood: node and mode, in the whole problem's numbers, of those that may be part of a
            cheaper choice for all that is known.
    """

    beat: float
    stop: Callable[[], bool]
    stood: set[tuple[int, int]] = field(default_factory=set)

    def keep(
        self,
        solver: highspy.Highs,
        columns: Columns,
        exclusions: Exclusions,
        kept: Sequence[Sequence[int]],
    ) -> tuple[list[list[bool]], bool]:
        """Try modes until enough of them are out.

        Args:
            solver: has solved the relaxation; rows and bounds are changed.
            columns: the model.
            exclusions: what comes with what.
            kept: for each node the numbers of its modes in the whole problem.
        Returns:
            For each node and mode whether it stays; and whether there is more to try.
        """
        value = solver.getSolution().col_value
        tried = [
            (number, columns.picked[n, k], (n, kept[n][k]))
            for number, (n, k) in enumerate(exclusions.modes)
            if (n, kept[n][k]) not in self.stood
            and sum(value[column] for column, _ in columns.picked[n, k]) < 1.0 - 1e-6
        ]
        first = solver.getNumRow()
        for _, terms, _ in tried:
            index = np.array([column for column, _ in terms], dtype=np.int32)
            solver.addRow(0.0, INF, len(index), index, np.ones(len(index)))
        solver.setOptionValue("objective_bound", self.beat)
        out, more = 0, False
        for row, (number, _, name) in enumerate(tried, first):
            if exclusions.dominators[number] & out:
                continue
            if self.stop():
                break
            solver.changeRowBounds(row, 1.0, INF)
            solver.run()
            if not _too_dear(solver, self.beat):
                solver.changeRowBounds(row, 0.0, INF)
                self.stood.add(name)
                continue
            out |= 1 << number
            solver.changeRowBounds(row, 0.0, 0.0)
            gone = sum(1 for own in exclusions.dominators if own & out)
            if gone > _ENOUGH * len(exclusions.modes):
                more = True
                break
        left: list[list[bool]] = [[] for _ in columns.problem.nodes]
        for (node, _), own in zip(exclusions.modes, exclusions.dominators, strict=True):
            left[node].append(not own & out)
        return left, more


def _too_dear(solver: highspy.Highs, beat: float) -> bool:
    status = solver.getModelStatus()
    if status == highspy.HighsModelStatus.kOptimal:
        return bool(solver.getInfo().objective_function_value >= beat)
    return status in _DEAR
