"""The verb "fit": how a plan will come out in this shop, before and after measuring."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from seamwright.app.measuring import Record
from seamwright.design import Drawing
from seamwright.errors import Cancelled
from seamwright.fit import GAP_MM, TRIALS, StackUp, Study, stack_up, study
from seamwright.plan import Accuracy, Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class FitReport:
    """The fit of a plan.

    Attributes:
        drawing: the board.
        study: which sizes follow which.
        stack: what to expect as planned.
        record: what was measured so far; None where nothing was.
    """

    drawing: Drawing
    study: Study
    stack: StackUp
    record: Record | None

    @property
    def plan(self) -> Plan:
        """The plan as it was made."""
        return self.study.plan


def fit(
    drawing: Drawing,
    plan: Plan,
    accuracy: Accuracy,
    *,
    record: Record | None = None,
    gap_mm: float = GAP_MM,
    trials: int = TRIALS,
    progress: Callable[[float, str], None] = lambda _share, _doing: None,
    cancelled: Callable[[], bool] = lambda: False,
) -> FitReport:
    """Look at the fit of a plan.

    Args:
        drawing: the board.
        plan: a plan for it that holds.
        accuracy: of the shop.
        record: what was measured on this plan.
        gap_mm: miss that still counts as met [mm].
        trials: boards tried.
        progress: told how far it is.
        cancelled: asked now and then whether to stop.
    Raises:
        Cancelled: the user stopped it.
    """
    progress(0.0, "which sizes follow which")
    looked = study(plan)
    if cancelled():
        raise Cancelled
    progress(0.2, "trying boards")
    stack = stack_up(looked, accuracy, gap_mm=gap_mm, trials=trials)
    progress(1.0, "done")
    return FitReport(drawing=drawing, study=looked, stack=stack, record=record)
