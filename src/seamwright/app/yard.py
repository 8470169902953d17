"""Cut plans of the shop's jobs, worked out in the background: what the screens of wood stand on."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, replace

from seamwright.app.background import Bench, Stage, Work
from seamwright.app.boards_in_papers import OnHand
from seamwright.app.cutting import CutReport, Wishes, cut, held_report
from seamwright.app.planning import PlanReport
from seamwright.rack import CutPlan, Rack
from seamwright.store import Job, Store

YARD_SECONDS = 8.0
"""Time for a cut plan while somebody waits for it [s]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A cut plan that is asked for: whose, for which plan, with which wishes."""

    job: Job
    report: PlanReport
    wishes: Wishes


class Yard:
    """Cut plans one at a time, and what is set aside for whom."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._bench = Bench()

    def close(self) -> None:
        """Stop all work."""
        self._bench.close()

    def start(self, asked: Asked) -> Work:
        """Begin a cut plan, unless it is done or under way."""
        rack = self._rack(asked.job)
        return self._bench.start(
            self._key(asked, rack), cut_for, asked.report, rack, asked.wishes, asked.job.id
        )

    def work(self, asked: Asked) -> Work | None:
        """How far a cut plan is; None where it was not asked for, or the rack has changed since."""
        return self._bench.state(self._key(asked, self._rack(asked.job)))

    def stop(self, asked: Asked) -> None:
        """Stop a cut plan."""
        self._bench.cancel(self._key(asked, self._rack(asked.job)))

    def cut_report(self, asked: Asked) -> CutReport | None:
        """The cut plan that is set aside for a job, else the one worked out, where it is ready."""
        held = self._store.boards.held_plan(job=asked.job.id)
        work = self.work(asked)
        made: CutReport | None = None
        if work is not None and work.stage is Stage.DONE:
            made = work.result
        if held is None or (made is not None and made.plan == held):
            return made
        return held_report(asked.report, held, self._store.boards.rack(), asked.wishes)

    def holds(self, job: Job) -> CutPlan | None:
        """The plan a job has set boards aside for."""
        return self._store.boards.held_plan(job=job.id)

    def on_hand(self, job: Job) -> OnHand:
        """What the shop has for a job."""
        return OnHand(rack=self._rack(job), job=job.id, held=self.holds(job))

    def reserve(self, asked: Asked) -> None:
        """Set aside the boards of the plan that is ready.

        Raises:
            RackError: a board is gone, changed, or set aside for another job.
            LookupError: no plan is ready.
        """
        report = self.cut_report(asked)
        if report is None:
            raise LookupError("no cut plan is ready")
        self._store.boards.reserve(report.plan, job=asked.job.id)

    def _rack(self, job: Job) -> Rack:
        """The rack as this job sees it: its own reservations do not make it another rack."""
        rack = self._store.boards.rack()
        others = tuple(r for r in rack.reservations if r.job != job.id)
        return replace(rack, reservations=others)

    def _key(self, asked: Asked, rack: Rack) -> str:
        seen = (asked.job.id, asked.job.design, asked.report.plan.shop, rack, asked.wishes)
        return hashlib.sha256(repr(seen).encode()).hexdigest()


def cut_for(
    report: PlanReport,
    rack: Rack,
    wishes: Wishes,
    job: str,
    *,
    progress: Callable[[float, str], None],
    cancelled: Callable[[], bool],
) -> CutReport:
    """Work a cut plan out; runs in a process of its own."""
    return cut(
        report,
        rack,
        wishes=wishes,
        job=job,
        seconds=YARD_SECONDS,
        progress=progress,
        cancelled=cancelled,
    )
