"""Which boards go into the papers of a job: those set aside for it, else what the rack gives."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from seamwright.app.cutting import CUT_SECONDS, CutReport, Wishes, cut, held_report, wood_names
from seamwright.app.planning import PlanReport
from seamwright.app.stores import default_store, opened_store
from seamwright.design import Drawing
from seamwright.papers import Progress, never, silent
from seamwright.rack import CutPlan, Rack


@dataclass(frozen=True, slots=True, kw_only=True)
class OnHand:
    """What a shop has for a job.

    Attributes:
        rack: boards and sizes that can be bought.
        job: the name boards are set aside under.
        held: the cut plan whose boards are set aside; None where none are.
    """

    rack: Rack
    job: str
    held: CutPlan | None = None

    def serves(self, drawing: Drawing) -> bool:
        """Whether a board is set aside for the job, or of one of its woods and free."""
        woods = set(wood_names(drawing).values())
        return self.held is not None or any(b.wood in woods for b in self.rack.free(job=self.job))


def kept_boards(address: str | None, *, job: str) -> OnHand:
    """What the shop that is kept has for a job; nothing where no shop was ever kept.

    Raises:
        StoreError: the shop cannot be opened.
    """
    if address is None and not Path(default_store().removeprefix("sqlite:///")).exists():
        return OnHand(rack=Rack(), job=job)
    with opened_store(address) as store:
        held = store.boards.held_plan(job=job)
        return OnHand(rack=store.boards.rack(), job=job, held=held)


def boards_in_papers(
    report: PlanReport,
    on_hand: OnHand,
    *,
    wishes: Wishes | None = None,
    seconds: float = CUT_SECONDS,
    progress: Progress = silent,
    cancelled: Callable[[], bool] = never,
) -> CutReport | None:
    """How the boards on hand are cut for a plan; None where no board on hand serves it.

    Raises:
        RackError: a stick cannot be cut from any board.
        Cancelled: the user stopped it.
    """
    if on_hand.held is not None:
        return held_report(report, on_hand.held, on_hand.rack, wishes or Wishes())
    if not on_hand.serves(report.drawing):
        return None
    return cut(
        report,
        on_hand.rack,
        wishes=wishes,
        job=on_hand.job,
        seconds=seconds,
        progress=progress,
        cancelled=cancelled,
    )
