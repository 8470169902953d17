"""The verb "plan": a plan, carried out on virtual wood before anybody sees it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from seamwright.app.checking import NewSeam, named_seams
from seamwright.bench import Finding, Proof, Severity, Shelf, Workbook, execute, prove_shelf
from seamwright.design import Drawing
from seamwright.errors import BenchError, Fault
from seamwright.plan import Gluing, Plan, Shop, Totals, default_shop, read_gluing, totals
from seamwright.planner import Best, Planned, Prefer, Progress, prefer_plan
from seamwright.woods import Species

SECONDS = 20.0
"""Time for the exact choice, unless told otherwise [s]."""


class UnprovenError(BenchError):
    """A plan was made that does not make the drawing: never to be built from.

    Attributes:
        plan: the plan that failed.
        proof: what is wrong with it.
    """

    def __init__(self, plan: Plan, proof: Proof) -> None:
        self.plan = plan
        self.proof = proof
        super().__init__(*_broken(proof))


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanReport:
    """A plan that holds on the virtual bench, with all that is known of it.

    Attributes:
        drawing: the board it makes.
        planned: the plan, what is proven of its cost, and what had to change in the drawing.
        shelf: the plan, carried out.
        proof: the comparison with the drawing; it holds.
        totals: sums over the plan.
        own: the user's own woods.
        gluing: the shop's cauls, clamps and glue.
    """

    drawing: Drawing
    planned: Planned
    shelf: Shelf
    proof: Proof
    totals: Totals
    own: tuple[Species, ...] = ()
    gluing: Gluing = field(default_factory=read_gluing)

    @property
    def plan(self) -> Plan:
        """The steps."""
        return self.planned.plan

    @property
    def best(self) -> Best:
        """What is proven of its cost."""
        return self.planned.best

    @property
    def added(self) -> tuple[NewSeam, ...]:
        """Seams that were added because the drawing locks."""
        return named_seams(self.planned.added, self.drawing)

    @property
    def warnings(self) -> tuple[Finding, ...]:
        """What to look at before building; none of it breaks the proof."""
        return self.proof.findings


def plan(
    drawing: Drawing,
    shop: Shop | None = None,
    *,
    prefer: Prefer = Prefer.CHEAPEST,
    seconds: float = SECONDS,
    own: tuple[Species, ...] = (),
    gluing: Gluing | None = None,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> PlanReport:
    """The cheapest plan for a drawing, proven on virtual wood.

    Args:
        drawing: what is wanted.
        shop: whose machines, limits and minutes count; the default shop if left out.
        prefer: what matters most; the shop's minutes unless told otherwise.
        seconds: time limit for the exact choice, more than 0 [s].
        own: the user's own woods, for the colours of its pictures and its cautions.
        gluing: the shop's cauls, clamps and glue; the defaults if left out.
        progress: told how far the work is, 0 to 1, and what is being done.
        cancelled: asked now and then; a true answer stops the work.
    Raises:
        PlanError: no plan is possible in this shop; every reason is named.
        UnprovenError: the plan found does not make the drawing.
        Cancelled: the user stopped it.
    """
    if not seconds > 0.0:
        raise ValueError(f"seconds must be more than 0, not {seconds}")
    say = progress or (lambda _share, _doing: None)
    planned = prefer_plan(
        drawing,
        shop or default_shop(),
        prefer,
        seconds=seconds,
        progress=lambda share, doing: say(0.9 * share, doing),
        cancelled=cancelled,
    )
    say(0.9, "carrying the plan out on virtual wood")
    report = replace(proven(drawing, planned), own=own, gluing=gluing or read_gluing())
    say(1.0, "done")
    return report


def proven(drawing: Drawing, planned: Planned, *, workbook: Workbook | None = None) -> PlanReport:
    """A plan carried out and compared with its drawing.

    Args:
        drawing, planned: what is wanted, and how it is to be made.
        workbook: what was carried out before on the virtual bench.
    Raises:
        UnprovenError: it does not make the drawing.
    """
    shelf = execute(planned.plan, workbook=workbook)
    proof = prove_shelf(shelf, planned.plan, drawing)
    if not proof.holds:
        raise UnprovenError(planned.plan, proof)
    return PlanReport(
        drawing=drawing,
        planned=planned,
        shelf=shelf,
        proof=proof,
        totals=totals(planned.plan),
    )


def _broken(proof: Proof) -> tuple[Fault, ...]:
    """What breaks a proof, as faults; the last one says whose mistake it is."""
    faults = [
        Fault(
            finding.code,
            f"step {finding.step}, {finding.subject}" if finding.step else finding.subject,
            finding.message,
        )
        for finding in proof.findings
        if finding.severity is not Severity.WARNING
    ] or [Fault("B299", "the plan", "does not make the drawing")]
    mistake = "the plan was thrown away; this is our mistake, not your drawing's: please report it"
    return (*faults[:-1], replace(faults[-1], remedy=mistake))
