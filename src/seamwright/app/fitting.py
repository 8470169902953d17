"""The verb "fit": how a plan will come out in this shop, before and after measuring."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from seamwright.app.learning import History
from seamwright.app.making_again import Found, sticks_again, wood_for
from seamwright.app.measuring import Record, thick_readings_of
from seamwright.app.mending import Mended, mend
from seamwright.design import Drawing
from seamwright.errors import Cancelled
from seamwright.fit import (
    GAP_MM,
    TRIALS,
    Spare,
    StackUp,
    Study,
    Thickness,
    chance_now,
    measured_from,
    spares,
    stack_up,
    study,
    thickness,
    thickness_from,
)
from seamwright.fit.compiling import program
from seamwright.plan import Accuracy, Losses, Plan, read_losses
from seamwright.rack import Rack


@dataclass(frozen=True, slots=True, kw_only=True)
class FitReport:
    """The fit of a plan.

    Attributes:
        drawing: the board.
        study: which sizes follow which.
        stack: what to expect as planned.
        record: what was measured so far; None where nothing was.
        mended: what that changes; None where nothing was measured.
        chance: of all points meeting now; None where nothing was measured.
        spares: what to make more of beforehand.
        thick: whether all faces come clean when they are planed, as planned.
        thick_now: the same with what was measured; None where nothing was, or no plan is left.
        wood: for what has to be made again, from the rack or to buy.
        history: what the shop's accuracy was learned from; None where that was left out.
    """

    drawing: Drawing
    study: Study
    stack: StackUp
    record: Record | None
    mended: Mended | None
    chance: float | None
    spares: tuple[Spare, ...]
    thick: Thickness
    thick_now: Thickness | None
    wood: tuple[Found, ...]
    history: History | None

    @property
    def plan(self) -> Plan:
        """The plan as it was made."""
        return self.study.plan


def fit(
    drawing: Drawing,
    plan: Plan,
    accuracy: Accuracy,
    *,
    losses: Losses | None = None,
    history: History | None = None,
    rack: Rack | None = None,
    job: str = "",
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
        accuracy: of the shop, what was learned included.
        history: what it was learned from.
        rack: boards on hand, for what has to be made again.
        job: whose boards set aside may be used.
        losses: what it spoils; the default where left out.
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
    thick = thickness(plan, looked.program, accuracy)
    mended, chance, thick_now = None, None, None
    wood: tuple[Found, ...] = ()
    if record is not None and record.readings:
        progress(0.8, "choosing the rest again")
        mended = mend(drawing, looked, record, gap_mm=gap_mm, needs=thick.needs_mm())
        sticks = sticks_again(plan, mended)
        wood = wood_for(sticks, rack or Rack(), drawing, plan.shop, job=job)
        thick_now = _thick_now(looked, mended, record, accuracy)
        if mended.resolved is not None:
            made = measured_from(looked, {r.step: r.sizes_mm for r in record.readings}).parts
            chance = chance_now(looked, accuracy, mended.resolved.sizes, made, gap_mm=gap_mm)
    progress(1.0, "done")
    return FitReport(
        drawing=drawing,
        study=looked,
        stack=stack,
        record=record,
        mended=mended,
        chance=chance,
        spares=spares(plan, losses or read_losses()),
        thick=thick,
        thick_now=thick_now,
        wood=wood,
        history=history,
    )


def _thick_now(
    looked: Study, mended: Mended, record: Record, accuracy: Accuracy
) -> Thickness | None:
    if mended.rewritten is None:
        return None
    plan, readings = mended.rewritten.plan, {r.step: r.sizes_mm for r in record.readings}
    known = thickness_from(looked.plan, readings, dict(thick_readings_of(record)))
    return thickness(plan, program(plan), accuracy, known=frozenset(known))
