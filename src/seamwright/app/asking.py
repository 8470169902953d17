"""The verbs "why" and "near": what choices are worth, and what is worth changing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from seamwright.app.drawings import drawing_of
from seamwright.app.joining import Joined, joined
from seamwright.app.planning import PlanReport, proven
from seamwright.app.replanning import Drafts
from seamwright.app.restating import restated
from seamwright.design import Drawing, Resized, nearly_equal, write
from seamwright.errors import PlanError
from seamwright.plan import Shop, default_shop, read_shop
from seamwright.planner import Decided, Measures, Progress, forbid_each, measure

ASK_SECONDS = 5.0
"""Time for each exact choice, unless told otherwise: many plans are made [s]."""

WITHIN_MM = 2.0
"""Sizes that differ by no more than this are near misses, unless told otherwise [mm]."""

MOST_NEAR = 12
"""So many changes of sizes are planned, the smallest first."""

_WORTH_MINUTES = 0.5
"""Less than this is no gain."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """What one plan costs more than another; negative where it costs less.

    Attributes:
        minutes: the shop's minutes, wood at its worth.
        glue_ups, set_ups: as in ``Totals``.
        wood_mm3: rough wood [mm³].
        sure: whether both plans are proven best; otherwise each is the best found in its time.
    """

    minutes: float
    glue_ups: int
    set_ups: int
    wood_mm3: float
    sure: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Worth:
    """A choice of the plan and what it is worth.

    Attributes:
        decided: the choice.
        without: what the best plan without it costs more; None where nothing else would do.
    """

    decided: Decided
    without: Difference | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """A plan and what each of its choices is worth, the most first.

    Attributes:
        report: the plan, proven.
        worths: its choices; every plan they are measured by makes the drawing too.
    """

    report: PlanReport
    worths: tuple[Worth, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Near:
    """A small change of the drawing that makes it cheaper to build.

    Attributes:
        change: a size made another, or seams left out; with the changed drawing.
        text: the changed drawing as a design file; as the user wrote it, where that is possible.
        report: the plan of the changed drawing, proven.
        saved: what the drawing as it is costs more.
    """

    change: Resized | Joined
    text: str
    report: PlanReport
    saved: Difference


@dataclass(frozen=True, slots=True, kw_only=True)
class NearMisses:
    """Changes worth making, the largest gain first.

    Attributes:
        report: the plan of the drawing as it is, proven.
        tried: how many changes were planned.
        found: those that save something.
    """

    report: PlanReport
    tried: int
    found: tuple[Near, ...]


def why(
    drawing: Drawing,
    shop: Shop | None = None,
    *,
    seconds: float = ASK_SECONDS,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Why:
    """What each choice of the best plan is worth: it is forbidden and everything chosen again.

    Args:
        drawing: what is wanted.
        shop: whose machines, limits and minutes count; the default shop if left out.
        seconds: time limit for each exact choice, more than 0 [s].
        progress: told how far the work is, 0 to 1, and what is being done.
        cancelled: asked now and then; a true answer stops the work.
    Raises:
        PlanError: no plan is possible in this shop; every reason is named.
        UnprovenError: a plan found does not make the drawing.
        Cancelled: the user stopped it.
    """
    reasons = forbid_each(
        drawing,
        shop or default_shop(),
        seconds=seconds,
        progress=progress,
        cancelled=cancelled,
    )
    report = proven(drawing, reasons.planned)
    return Why(
        report=report,
        worths=tuple(
            Worth(
                decided=other.decided,
                without=None
                if other.planned is None
                else difference(proven(drawing, other.planned), than=report),
            )
            for other in reasons.without
        ),
    )


def near(
    drawing: Drawing,
    shop: Shop | None = None,
    *,
    text: str = "",
    within_mm: float = WITHIN_MM,
    seconds: float = ASK_SECONDS,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> NearMisses:
    """Sizes that nearly equal others, seams that divide nothing, and what is saved without them.

    Args:
        drawing: what is wanted.
        shop: whose machines, limits and minutes count; the default shop if left out.
        text: the design file the drawing came from, so that changes are written in it.
        within_mm: no size is changed by more than this, more than 0 [mm].
        seconds: time limit for each exact choice, more than 0 [s].
        progress: told how far the work is, 0 to 1, and what is being done.
        cancelled: asked now and then; a true answer stops the work.
    Raises:
        PlanError: no plan is possible for the drawing as it is.
        UnprovenError: a plan found does not make its drawing.
        Cancelled: the user stopped it.
    """
    say = progress or (lambda _share, _doing: None)
    shop = shop or default_shop()
    say(0.0, "planning the drawing as it is")
    # most parts are the same before and after a change: they are searched once
    drafts = Drafts()
    report = drafts.replan(drawing, shop, seconds=seconds, cancelled=cancelled)
    sizes = nearly_equal(drawing, within_mm=within_mm, most=MOST_NEAR)
    changes: tuple[Resized | Joined, ...] = (*joined(drawing), *sizes)
    found: list[Near] = []
    for done, change in enumerate(changes, start=1):
        say(done / (len(changes) + 1), f"planning change {done} of {len(changes)}")
        try:
            other = drafts.replan(change.drawing, shop, seconds=seconds, cancelled=cancelled)
        except PlanError:
            continue
        saved = difference(report, than=other)
        if saved.minutes >= _WORTH_MINUTES:
            told = _text(change, before=text)
            found.append(Near(change=change, text=told, report=other, saved=saved))
    found.sort(key=lambda one: -one.saved.minutes)
    return NearMisses(report=report, tried=len(changes), found=tuple(found))


def _text(change: Resized | Joined, *, before: str) -> str:
    return restated(before, change) if isinstance(change, Resized) else write(change.drawing)


def why_text(
    text: str,
    profile: str,
    *,
    progress: Progress,
    cancelled: Callable[[], bool],
) -> Why:
    """``why`` for a design file and a shop file ("" for the default shop), as background work."""
    shop = read_shop(profile) if profile else default_shop()
    drawing = drawing_of(text)
    return why(drawing, shop, progress=progress, cancelled=cancelled)


def near_text(
    text: str,
    profile: str,
    within_mm: float,
    *,
    progress: Progress,
    cancelled: Callable[[], bool],
) -> NearMisses:
    """``near`` for a design file and a shop file ("" for the default shop), as background work."""
    shop = read_shop(profile) if profile else default_shop()
    drawing = drawing_of(text)
    return near(
        drawing, shop, text=text, within_mm=within_mm, progress=progress, cancelled=cancelled
    )


def difference(report: PlanReport, *, than: PlanReport) -> Difference:
    """What a plan costs more than another."""
    mine, other = _measured(report), _measured(than)
    return Difference(
        minutes=mine.minutes - other.minutes,
        glue_ups=mine.glue_ups - other.glue_ups,
        set_ups=mine.set_ups - other.set_ups,
        wood_mm3=mine.wood_mm3 - other.wood_mm3,
        sure=report.best.proven and than.best.proven,
    )


def _measured(report: PlanReport) -> Measures:
    return measure(report.plan)
