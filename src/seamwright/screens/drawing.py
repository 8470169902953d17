"""The drawing screen: the board under the pen, and beside it what its plan comes to."""

from __future__ import annotations

import json
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from seamwright.app.background import Stage, Work
from seamwright.app.board_view import board_view, sums
from seamwright.app.desk import Desk
from seamwright.app.drawings import drawing_of
from seamwright.app.own_blocks import block_key, cut_out
from seamwright.app.plan_words import best_words, look_first, proof_words
from seamwright.app.wood_words import find_woods
from seamwright.design import Kind
from seamwright.errors import DesignError, Fault
from seamwright.screens.changes import change_of
from seamwright.screens.rendering import desk_of, page, ruler_of
from seamwright.store import Job, keep_block


def drawing_page(request: Request) -> Response:
    """The page itself; the board comes with it, so the pen can start at once."""
    desk = desk_of(request)
    job = desk.store.job(request.path_params["id"])
    desk.start_plan(job)
    return page(
        request, "drawing.html", job=job, tab="drawing", view=_view(request, job),
        known_woods=[wood.name for wood in find_woods(own=desk.soundings.own_woods())],
    )  # fmt: skip


async def change(request: Request) -> Response:
    """One edit, kept at once; the plan is begun when the page asks for it, after this answer."""
    asked = await _json(request)
    return await run_in_threadpool(_changed, request, asked)


async def keep_as_block(request: Request) -> Response:
    """Keep some patches as a block of the user's own; the drawing stays as it is."""
    asked = await _json(request)
    desk = desk_of(request)
    job = await run_in_threadpool(desk.store.job, request.path_params["id"])
    key = block_key(str(asked.get("name", "")))
    patches = asked.get("patches")
    names = [str(name) for name in patches] if isinstance(patches, list) else []
    text = await run_in_threadpool(cut_out, drawing_of(job.design), names, key)
    await run_in_threadpool(keep_block, desk.store, key, text)
    return JSONResponse({"name": key})


def plan_state(request: Request) -> Response:
    """How far the plan is, and what it comes to; one that nobody asked for yet is begun."""
    desk = desk_of(request)
    job = desk.store.job(request.path_params["id"])
    return JSONResponse(plan_words(job, desk.plan_work(job) or desk.start_plan(job)))


async def plan_again(request: Request) -> Response:
    """Start planning, or stop it."""
    desk = desk_of(request)
    job = await run_in_threadpool(desk.store.job, request.path_params["id"])
    if request.path_params["deed"] == "stop":
        desk.stop_plan(job)
    else:
        desk.start_plan(job)
    return JSONResponse(plan_words(job, desk.plan_work(job)))


def design_file(request: Request) -> Response:
    """The design as a file for the command line or another program."""
    job = desk_of(request).store.job(request.path_params["id"])
    return Response(
        job.design,
        media_type="text/plain; charset=utf-8",
        headers={"content-disposition": 'attachment; filename="board.toml"'},
    )


def plan_words(job: Job, work: Work | None) -> dict[str, Any]:
    """A plan's state for the page's script."""
    if work is None:
        return {"stage": "none", "at_edit": job.at_edit}
    said: dict[str, Any] = {
        "stage": work.stage.value,
        "at_edit": job.at_edit,
        "share": work.share,
        "doing": work.doing,
        "faults": [str(fault) for fault in work.faults],
    }
    if work.result is not None:
        report = work.result
        first = "A first plan, proven to make the board; a cheaper one is being looked for."
        said |= {
            "sums": [[figure.name, figure.value] for figure in sums(report)],
            "best": best_words(report) if work.stage is Stage.DONE else first,
            "proof": proof_words(report),
            "look_first": list(look_first(report)),
        }
    return said


def _changed(request: Request, asked: dict[str, Any]) -> Response:
    """All of an edit in one go: handed from thread to thread it would wait for each."""
    desk = desk_of(request)
    job = _edited(desk, request.path_params["id"], asked)
    return JSONResponse(_view(request, job, held=str(asked.get("held"))))


def _edited(desk: Desk, id: str, asked: dict[str, Any]) -> Job:
    what, after = asked.get("what"), asked.get("after")
    if what == "undo":
        return desk.store.undo(id)
    if what == "redo":
        return desk.store.redo(id)
    if type(after) is not int:
        raise DesignError(Fault("A901", "the change", "was not understood"))
    if what == "apart":
        job = desk.store.job(id)
        desk.choose(job, str(asked.get("prefer")))
        return job
    if what == "file":
        return desk.replace_text(id, str(asked.get("text", "")), after=after)
    made, said = change_of(asked)
    return desk.edit(id, made, said=said, after=after)


def _view(request: Request, job: Job, *, held: str = "") -> dict[str, object]:
    desk, drawing = desk_of(request), drawing_of(job.design)
    said = desk.store.said(job.id, (job.at_edit, job.at_edit + 1))
    ruler, own = ruler_of(request, drawing), desk.soundings.own_woods()
    unsaid = drawing.kind is Kind.OVERLAY and drawing.backing is None
    panel_mm = desk.shop().overlays.panel_mm if unsaid else 0.0
    return {
        **board_view(job, drawing, ruler, own, prefer=desk.way(job), panel_mm=panel_mm, held=held),
        "undoes": said[job.at_edit] if job.can_undo else "",
        "redoes": said[job.at_edit + 1] if job.can_redo else "",
    }


async def _json(request: Request) -> dict[str, Any]:
    try:
        asked = json.loads(await request.body())
    except (ValueError, RecursionError):
        asked = None
    if not isinstance(asked, dict):
        raise DesignError(Fault("A901", "the change", "was not understood"))
    return asked


ROUTES = [
    Route("/jobs/{id}/drawing", drawing_page),
    Route("/jobs/{id}/change", change, methods=["POST"]),
    Route("/jobs/{id}/block", keep_as_block, methods=["POST"]),
    Route("/jobs/{id}/plan", plan_state),
    Route("/jobs/{id}/plan/{deed:str}", plan_again, methods=["POST"]),
    Route("/jobs/{id}/board.toml", design_file),
]
