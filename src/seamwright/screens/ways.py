"""Other ways: plans side by side, why this plan, and sizes worth changing."""

from __future__ import annotations

from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from seamwright.app.asking import NearMisses, Why
from seamwright.app.asking_words import board_change, near_words, worth_words
from seamwright.app.background import Stage, Work
from seamwright.app.drawings import drawing_of
from seamwright.app.plan_words import hours
from seamwright.app.questions import Question
from seamwright.app.ways import Way
from seamwright.lengths import Unit
from seamwright.pictures import Ruler
from seamwright.planner import Prefer
from seamwright.screens.rendering import desk_of, page, ruler_of
from seamwright.store import Job

NAMES = {
    Prefer.CHEAPEST: "The cheapest",
    Prefer.QUICKEST: "Quickest at the bench",
    Prefer.LEAST_WOOD: "Least wood",
    Prefer.FEWEST_GLUE_UPS: "Fewest glue-ups",
    Prefer.FEWEST_SET_UPS: "Fewest set-ups",
    Prefer.SAFEST: "Largest parts at the saw",
    Prefer.AS_DRAWN: "As drawn, no added seams",
    Prefer.HALF_STARS: "Half-star seams",
}


def ways_page(request: Request) -> Response:
    """What has been asked so far, with its answers."""
    desk = desk_of(request)
    job = desk.store.job(request.path_params["id"])
    works = {each: desk.questions.work(job, each) for each in Question}
    ruler = ruler_of(request, drawing_of(job.design))
    chosen = desk.way(job)
    return page(
        request, "ways.html", job=job, tab="ways", chosen=chosen.value, works=works,
        running=next((q for q, w in works.items() if w and w.stage is Stage.RUNNING), None),
        ways=[_row(way, ruler) for way in _result(works[Question.WAYS]) or ()],
        why=_why_words(_result(works[Question.WHY])),
        near=_near_words(_result(works[Question.NEAR]), ruler), Question=Question,
        chosen_name=NAMES[chosen],
    )  # fmt: skip


async def ask(request: Request) -> Response:
    """Ask a question, or stop asking."""
    desk = desk_of(request)
    job = await run_in_threadpool(desk.store.job, request.path_params["id"])
    question = _question(request)
    if request.path_params["deed"] == "stop":
        desk.questions.stop(job, question)
    else:
        desk.questions.start(job, question)
    return _back(job, question)


def state(request: Request) -> Response:
    """How far a question is."""
    desk = desk_of(request)
    work = desk.questions.work(desk.store.job(request.path_params["id"]), _question(request))
    if work is None:
        return JSONResponse({"stage": "none"})
    return JSONResponse({"stage": work.stage.value, "share": work.share, "doing": work.doing})


async def take(request: Request) -> Response:
    """Follow one of the ways from now on."""
    form = await request.form()
    job = desk_of(request).store.job(request.path_params["id"])
    await run_in_threadpool(desk_of(request).choose, job, str(form.get("prefer", "")))
    return _back(job, Question.WAYS)


async def try_it(request: Request) -> Response:
    """Take over one of the changes that save something; Undo on the drawing takes it back."""
    desk = desk_of(request)
    job = await run_in_threadpool(desk.store.job, request.path_params["id"])
    misses: NearMisses | None = _result(desk.questions.work(job, Question.NEAR))
    number = request.path_params["number"]
    if misses is None or not 1 <= number <= len(misses.found):
        raise HTTPException(404)
    near = misses.found[number - 1]
    said = near_words(near, ruler_of(request, misses.report.drawing))
    await run_in_threadpool(
        lambda: desk.store.save(
            job.id,
            title=near.change.drawing.title,
            design=near.text,
            said=f"Tried: {said}",
            after=job.at_edit,
        )
    )
    return RedirectResponse(f"/jobs/{job.id}/drawing", status_code=303)


def _question(request: Request) -> Question:
    try:
        return Question(request.path_params["question"])
    except ValueError:
        raise HTTPException(404) from None


def _back(job: Job, question: Question) -> Response:
    return RedirectResponse(f"/jobs/{job.id}/ways#{question.value}", status_code=303)


def _result(work: Work | None) -> Any:
    return work.result if work is not None and work.stage is Stage.DONE else None


def _row(way: Way, ruler: Ruler) -> dict[str, object]:
    m, inches = way.measures, ruler.unit is Unit.INCH
    return {
        "prefer": way.prefer.value,
        "name": NAMES[way.prefer],
        "trade": way.trade,
        "figures": (
            hours(m.hands_on),
            str(m.glue_ups),
            str(m.stages),
            str(m.set_ups),
            f"{m.wood_mm3 / 25.4**3:.0f} in³" if inches else f"{m.wood_mm3 / 1e6:.1f} l",
            ruler.first(m.smallest_mm),
        ),
    }


def _why_words(why: Why | None) -> dict[str, object] | None:
    if why is None:
        return None
    firm = [worth for worth in why.worths if worth.without is not None]
    return {
        "words": [worth_words(worth, why.report) for worth in firm],
        "only": len(why.worths) - len(firm),
        "sure": all(worth.without.sure for worth in firm if worth.without is not None),
    }


def _near_words(misses: NearMisses | None, ruler: Ruler) -> dict[str, object] | None:
    if misses is None:
        return None
    return {
        "tried": misses.tried,
        "found": [
            (near_words(each, ruler), board_change(each, misses.report, ruler))
            for each in misses.found
        ],
    }


ROUTES = [
    Route("/jobs/{id}/ways", ways_page),
    Route("/jobs/{id}/ways/take", take, methods=["POST"]),
    Route("/jobs/{id}/ways/try/{number:int}", try_it, methods=["POST"]),
    Route("/jobs/{id}/ways/{question:str}/state", state),
    Route("/jobs/{id}/ways/{question:str}/{deed:str}", ask, methods=["POST"]),
]
