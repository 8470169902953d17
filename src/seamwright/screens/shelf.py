"""The shelf: every job, and the ways to begin, copy, put away, hand over and bring back."""

from __future__ import annotations

import re

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from seamwright.app.beginning import Blocks, Sheet, from_blocks, from_file, from_grid
from seamwright.app.drawings import drawing_of
from seamwright.app.plan_words import board_words
from seamwright.app.step_pictures import board_svg
from seamwright.app.wood_words import find_woods
from seamwright.design import known_blocks
from seamwright.errors import Fault, SeamwrightError
from seamwright.lengths import Unit
from seamwright.plan import plan_to_json
from seamwright.screens.rendering import desk_of, page
from seamwright.store import (
    Job,
    StoreError,
    backup,
    export_job,
    import_job,
    own_blocks,
    restore,
)

_FRESH = {
    "way": "blocks", "title": "My board", "unit": "in", "thickness": "3/4",
    "wood_a": "sugar maple", "wood_b": "black walnut", "wood_c": "black cherry",
    "first": "sawtooth star", "second": "", "size": "4", "across": "3", "down": "2",
    "sashing": "1/2", "stones": "", "border": "1",
    "width": "12", "height": "8", "columns": "1", "rows": "1", "drawn_width": "",
}  # fmt: skip


def shelf(request: Request) -> Response:
    """Every job, newest first."""
    away = request.query_params.get("away") == "1"
    jobs = desk_of(request).store.jobs(archived=away)
    own = desk_of(request).soundings.own_woods()
    shown = [(job, board_svg(job.design, own), board_words(drawing_of(job.design))) for job in jobs]
    tour = request.cookies.get("tour") != "done"
    return page(request, "shelf.html", jobs=shown, away=away, tour=tour)


def begin_page(request: Request) -> Response:
    """The ways to begin a board."""
    return _begin(request, _FRESH)


async def begin(request: Request) -> Response:
    """Begin a board; where something typed cannot be, say so beside the form."""
    form = await request.form()
    typed = {key: str(form.get(key, fresh)) for key, fresh in _FRESH.items()}
    try:
        own = await run_in_threadpool(own_blocks, desk_of(request).store)
        text = await _text(form, typed, own)
        job = await run_in_threadpool(desk_of(request).begin, text, said="Began")
    except SeamwrightError as error:
        return _begin(request, typed, faults=error.faults, status=400)
    return RedirectResponse(f"/jobs/{job.id}/drawing", status_code=303)


async def act(request: Request) -> Response:
    """Copy a job, put it away, or take it out again."""
    id, deed = request.path_params["id"], request.path_params["deed"]
    desk = desk_of(request)
    if deed == "copy":
        await run_in_threadpool(desk.duplicate, id)
    else:
        await run_in_threadpool(desk.store.put_away, id, archived=deed == "away")
    return RedirectResponse("/?away=1" if deed == "back" else "/", status_code=303)


def job_file(request: Request) -> Response:
    """A job as one file: its whole history, and the plan of the state shown where it is ready."""
    desk = desk_of(request)
    job = desk.store.job(request.path_params["id"])
    report = desk.report(job)
    plan = plan_to_json(report.plan) if report is not None else None
    return _file(export_job(desk.store, job.id, plan=plan), f"{_file_name(job)}.seamwright.json")


def backup_file(request: Request) -> Response:
    """The whole shop as one file."""
    return _file(backup(desk_of(request).store), "seamwright-shop.json")


async def bring_back(request: Request) -> Response:
    """Take in a job file or a backup."""
    form = await request.form()
    _, raw = await _upload(form)
    store = desk_of(request).store
    try:
        await run_in_threadpool(import_job, store, raw)
    except StoreError as error:
        if error.faults[0].code != "K111":
            raise
        await run_in_threadpool(restore, store, raw)
    return RedirectResponse("/", status_code=303)


def _begin(
    request: Request,
    typed: dict[str, str],
    *,
    faults: tuple[Fault, ...] = (),
    status: int = 200,
) -> Response:
    own = desk_of(request).soundings.own_woods()
    woods = [wood.name for wood in find_woods(own=own)]
    return page(
        request, "begin.html", status=status, faults=faults,
        typed=typed, blocks=known_blocks(), known_woods=woods,
        own=tuple(own_blocks(desk_of(request).store)),
    )  # fmt: skip


async def _text(form: FormData, typed: dict[str, str], own: dict[str, str]) -> str:
    sheet = Sheet(
        title=typed["title"].strip() or "My board",
        unit=Unit.MM if typed["unit"] == "mm" else Unit.INCH,
        thickness=typed["thickness"],
        woods=(typed["wood_a"], typed["wood_b"], typed["wood_c"]),
    )
    if typed["way"] == "file":
        name, raw = await _upload(form)
        return await run_in_threadpool(from_file, sheet, name, raw, width=typed["drawn_width"])
    if typed["way"] == "grid":
        return from_grid(
            sheet,
            width=typed["width"],
            height=typed["height"],
            columns=_count(typed["columns"], "columns"),
            rows=_count(typed["rows"], "rows"),
        )
    blocks = Blocks(
        first=typed["first"],
        second=typed["second"],
        size=typed["size"],
        across=_count(typed["across"], "blocks in a row"),
        down=_count(typed["down"], "rows"),
        sashing=typed["sashing"],
        border=typed["border"],
        stones=typed["stones"] == "C",
    )
    return await run_in_threadpool(from_blocks, sheet, blocks, own)


async def _upload(form: FormData) -> tuple[str, bytes]:
    given = form.get("file")
    raw = await given.read() if isinstance(given, UploadFile) else b""
    if not isinstance(given, UploadFile) or not raw:
        raise StoreError(Fault("A910", "the file", "was not chosen", "choose one and send again"))
    return given.filename or "board.toml", raw


def _count(text: str, what: str) -> int:
    if not re.fullmatch(r"\s*[0-9]{1,4}\s*", text):
        raise StoreError(Fault("A911", what, f"are {text[:20]!r}", "type a whole number"))
    return int(text)


def _file(raw: bytes, name: str) -> Response:
    return Response(
        raw,
        media_type="application/json",
        headers={"content-disposition": f'attachment; filename="{name}"'},
    )


def _file_name(job: Job) -> str:
    return re.sub(r"[^a-z0-9]+", "-", job.title.lower()).strip("-")[:60] or "board"


ROUTES = [
    Route("/", shelf),
    Route("/begin", begin_page, methods=["GET"]),
    Route("/begin", begin, methods=["POST"]),
    Route("/jobs/{id}/do/{deed:str}", act, methods=["POST"]),
    Route("/jobs/{id}/file", job_file),
    Route("/backup", backup_file),
    Route("/bring-back", bring_back, methods=["POST"]),
]
