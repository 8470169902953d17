"""The verb "ways": plans that differ in kind, each proven, each with what it trades."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass

from seamwright.app.planning import SECONDS, PlanReport, proven
from seamwright.design import Drawing
from seamwright.plan import Shop, default_shop
from seamwright.planner import Alternative, Measures, Prefer, Progress, alternatives

_LITRE_MM3 = 1e6


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way of making a board.

    Attributes:
        prefer: what it was looked for.
        trade: one sentence: what it gives for what, against the cheapest.
        measures: what it comes to.
        report: the plan with its proof.
    """

    prefer: Prefer
    trade: str
    measures: Measures
    report: PlanReport


def ways(
    drawing: Drawing,
    shop: Shop | None = None,
    *,
    seconds: float = SECONDS,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> tuple[Way, ...]:
    """Plans that no other one beats in everything, the cheapest first, every one proven.

    Args:
        drawing: what is wanted.
        shop: whose machines, limits and minutes count; the default shop if left out.
        seconds: time limit for the exact choice of each [s].
        progress: told how far the work is, 0 to 1, and what is being done.
        cancelled: asked now and then; a true answer stops the work.
    Raises:
        PlanError: no plan is possible in this shop; every reason is named.
        UnprovenError: a plan found does not make the drawing.
        Cancelled: the user stopped it.
    """
    found = alternatives(
        drawing, shop or default_shop(), seconds=seconds, progress=progress, cancelled=cancelled
    )
    return tuple(_way(drawing, alternative) for alternative in found)


def ways_document(found: tuple[Way, ...]) -> dict[str, object]:
    """What ``seamwright ways --json`` prints."""
    return {
        "schema": 1,
        "ways": [
            {
                "prefer": way.prefer.value,
                "trade": way.trade,
                "measures": asdict(way.measures),
                "proven": way.report.best.proven,
                "gap": way.report.best.gap,
                "steps": len(way.report.plan.steps),
            }
            for way in found
        ],
    }


def ways_lines(found: tuple[Way, ...]) -> Iterator[str]:
    """Ways side by side in words."""
    for way in found:
        m = way.measures
        yield f"{way.prefer.value}: {way.trade}"
        yield (
            f"  {m.hands_on:.0f} min of work, {m.glue_ups} glue-ups ({m.stages} in a row), "
            f"{m.set_ups} set-ups, {m.wood_mm3 / _LITRE_MM3:.1f} l of wood, smallest size at the "
            f"saw {m.smallest_mm:.1f} mm"
        )
    yield ""
    yield "Each is carried out on virtual wood and makes the drawing."
    yield "Take one with: seamwright plan FILE --prefer NAME (papers takes --prefer too)."


def _way(drawing: Drawing, alternative: Alternative) -> Way:
    return Way(
        prefer=alternative.prefer,
        trade=alternative.trade,
        measures=alternative.measures,
        report=proven(drawing, alternative.planned),
    )
