"""The order of work: every step as a drawing, glue-ups pulled apart and turned."""

from __future__ import annotations

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from seamwright.app.board_view import sums
from seamwright.app.drawings import drawing_of
from seamwright.app.fit_desk import ToMeasure, record_of, to_measure
from seamwright.app.plan_words import best_words, look_first, proof_words, space_words
from seamwright.app.planning import PlanReport
from seamwright.app.press_words import told_steps
from seamwright.app.sound_words import hand_words
from seamwright.app.step_pictures import exploded_svg, glue_ups, step_svg
from seamwright.errors import FitError
from seamwright.screens.rendering import desk_of, page, unit_of
from seamwright.screens.ways import NAMES
from seamwright.store import Job

ROUND_DEG, RAISED_DEG = 24, 38


def order_page(request: Request) -> Response:
    """A step of the plan, or how far the plan is."""
    desk = desk_of(request)
    job = desk.store.job(request.path_params["id"])
    desk.start_plan(job)
    report = desk.report(job)
    if report is None:
        return page(request, "waiting.html", job=job, tab="order")
    steps = told_steps(report)
    number = request.path_params.get("number", 1)
    if not 1 <= number <= len(steps):
        return RedirectResponse(f"/jobs/{job.id}/order", status_code=303)
    pulled = number in glue_ups(report)
    return page(
        request, "order.html", job=job, tab="order", steps=steps, step=steps[number - 1],
        picture=step_svg(report, number, unit=unit_of(request, drawing_of(job.design))),
        apart=_apart(report, number) if pulled else "",
        round_deg=ROUND_DEG, raised_deg=RAISED_DEG, glue_ups=glue_ups(report),
        best=best_words(report), proof=proof_words(report), space=space_words(report),
        look_first=look_first(report), sums=sums(report),
        cautions=hand_words(report, number),
        way=NAMES[desk.way(job)], measured=_measured(request, job, report, number),
    )  # fmt: skip


def _measured(request: Request, job: Job, report: PlanReport, number: int) -> ToMeasure | None:
    """What can be written down of a step; None where what was measured is of another plan."""
    try:
        record = record_of(desk_of(request), job, report.plan)
    except FitError:
        return None
    return to_measure(report.plan, number, record, report.drawing.unit)


def apart(request: Request) -> Response:
    """A glue-up pulled apart, from another side."""
    report, number = _ready(request)
    try:
        turned = float(request.query_params.get("round", ROUND_DEG)) % 360.0
        raised = min(max(float(request.query_params.get("raised", RAISED_DEG)), 5.0), 85.0)
        return JSONResponse({"svg": _apart(report, number, turned, raised)})
    except (IndexError, ValueError):
        raise HTTPException(404) from None


def _ready(request: Request) -> tuple[PlanReport, int]:
    desk = desk_of(request)
    job: Job = desk.store.job(request.path_params["id"])
    report = desk.report(job)
    if report is None:
        raise HTTPException(404)
    return report, request.path_params["number"]


def _apart(
    report: PlanReport,
    number: int,
    round_deg: float = ROUND_DEG,
    raised_deg: float = RAISED_DEG,
) -> str:
    return exploded_svg(report, number, round_deg=round_deg, raised_deg=raised_deg)


ROUTES = [
    Route("/jobs/{id}/order", order_page),
    Route("/jobs/{id}/order/{number:int}", order_page),
    Route("/jobs/{id}/order/{number:int}/apart", apart),
]
