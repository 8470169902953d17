"""The fit: which sizes follow which, what to expect, what measured sizes change."""

from __future__ import annotations

from dataclasses import replace

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from seamwright.app.fit_desk import (
    FitShelf,
    ToMeasure,
    fit_svg,
    forget,
    forget_all,
    measure,
    to_measure,
)
from seamwright.app.fit_words import MODEL_WORDS, chain_lines, matter_lines, stack_lines
from seamwright.app.learning import history_words
from seamwright.app.mend_words import mended_lines, spare_lines
from seamwright.app.planning import PlanReport
from seamwright.app.step_words import step_words
from seamwright.app.thick_words import thick_lines
from seamwright.errors import Fault, SeamwrightError
from seamwright.pictures import Ruler
from seamwright.screens.rendering import desk_of, page, ruler_of
from seamwright.store import Job

_SHELF = FitShelf()


def fit_page(request: Request) -> Response:
    """What to expect of a board, and a place to write down what was measured."""
    job, report = _asked(request)
    if report is None:
        return page(request, "waiting.html", job=job, tab="fit")
    return _shown(request, job, report)


async def measured(request: Request) -> Response:
    """Keep what was measured after a step."""
    form = await request.form()
    job, report = await run_in_threadpool(_asked, request)
    if report is None:
        raise HTTPException(404)
    step = request.path_params["number"]
    typed, good = str(form.get("sizes", "")), str(form.get("good", ""))
    thick = str(form.get("thick", ""))
    try:
        if "forget" in form:
            await run_in_threadpool(forget, desk_of(request), job, report.plan, step)
        else:
            await run_in_threadpool(
                lambda: measure(
                    desk_of(request), job, report.plan, step, typed=typed, good=good, thick=thick
                )
            )
    except SeamwrightError as error:
        faults, fields = error.faults, (typed, good, thick)
        return await run_in_threadpool(
            lambda: _shown(request, job, report, faults=faults, typed={step: fields})
        )
    return RedirectResponse(f"/jobs/{job.id}/fit?step={step}#now", status_code=303)


async def afresh(request: Request) -> Response:
    """Take back everything measured."""
    job = await run_in_threadpool(desk_of(request).store.job, request.path_params["id"])
    await run_in_threadpool(forget_all, desk_of(request), job)
    return RedirectResponse(f"/jobs/{job.id}/fit", status_code=303)


def _asked(request: Request) -> tuple[Job, PlanReport | None]:
    desk = desk_of(request)
    job = desk.store.job(request.path_params["id"])
    desk.start_plan(job)
    return job, desk.report(job)


def _shown(
    request: Request,
    job: Job,
    report: PlanReport,
    *,
    faults: tuple[Fault, ...] = (),
    typed: dict[int, tuple[str, str, str]] | None = None,
) -> Response:
    ruler: Ruler = ruler_of(request, report.drawing)
    try:
        found = _SHELF.of(desk_of(request), job, report)
    except SeamwrightError as error:
        return page(request, "fit_other.html", status=409, job=job, tab="fit", faults=error.faults)
    steps = [
        (
            words.title,
            _as_typed(
                to_measure(report.plan, words.number, found.record, report.drawing.unit),
                (typed or {}).get(words.number),
            ),
        )
        for words in step_words(report.plan, report.drawing)
    ]
    at = request.query_params.get("step", "")
    first = int(at) if at.isascii() and at.isdigit() and len(at) < 5 else 0
    return page(
        request, "fit.html", status=400 if faults else 200, job=job, tab="fit", faults=faults,
        stack=[
            line
            for line in stack_lines(found.stack, ruler)
            if not line.startswith(("  ", "With all")) and not line.endswith(":")
        ],
        matters=[matter_lines(matter, ruler) for matter in found.stack.matters],
        picture=fit_svg(found), chains=chain_lines(found.study),
        advised=[line for line in stack_lines(found.stack, ruler) if line.startswith("With all")],
        thick=thick_lines(found.thick, found.plan, ruler),
        model=f"{MODEL_WORDS} {history_words(found.history)}",
        now=mended_lines(found, ruler), spares=spare_lines(found.spares), steps=steps, first=first,
    )  # fmt: skip


def _as_typed(asked: ToMeasure, typed: tuple[str, str, str] | None) -> ToMeasure:
    """What was refused stays in its fields."""
    if typed is None:
        return asked
    return replace(asked, sizes=typed[0], good=typed[1], thick=typed[2])


ROUTES = [
    Route("/jobs/{id}/fit", fit_page),
    Route("/jobs/{id}/fit/{number:int}", measured, methods=["POST"]),
    Route("/jobs/{id}/fit/afresh", afresh, methods=["POST"]),
]
