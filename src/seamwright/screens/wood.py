"""Wood for a board: the cut plan to step through, what is set aside, what to buy, the quote."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from seamwright.app.cut_words import (
    cut_pages,
    purchase_words,
    stick_title,
    sure_of_cuts,
    way_lines,
)
from seamwright.app.cutting import CutReport, wishes_typed
from seamwright.app.handing_out import cut_files, quote_pdf
from seamwright.app.quote_words import amount
from seamwright.app.quoting import Basis, QuoteReport, quote_board
from seamwright.app.yard import Asked
from seamwright.errors import Fault, SeamwrightError
from seamwright.papers import Page
from seamwright.pictures import Ruler
from seamwright.plan import read_money
from seamwright.screens.rendering import desk_of, page, unit_of
from seamwright.store import Job

_FRESH = {
    "order": "either", "save": "wood", "ring": "", "match": "", "bars": "fixed", "allowance": "",
    "grade": "",
}  # fmt: skip


def wood_page(request: Request) -> Response:
    """The cut plan of a job: asked for, under way, or there to step through."""
    desk, job = desk_of(request), _job(request)
    desk.start_plan(job)
    typed = _typed(request)
    try:
        asked = _asked(request, job, typed)
    except SeamwrightError as error:
        return _shown(request, job, typed, None, faults=error.faults, status=400)
    if asked is None:
        return page(request, "waiting.html", job=job, tab="wood")
    if "go" in request.query_params and desk.yard.holds(job) is None:
        desk.yard.start(asked)
    return _shown(request, job, typed, asked)


async def wood_deed(request: Request) -> Response:
    """Stop, set aside, give back, or use up."""
    desk, job = desk_of(request), _job(request)
    deed = request.path_params["deed"]
    asked = _asked(request, job, _typed(request))
    query = request.url.query
    if asked is not None and deed == "stop":
        desk.yard.stop(asked)
    elif deed == "reserve" and asked is not None:
        try:
            await run_in_threadpool(desk.yard.reserve, asked)
        except LookupError:
            raise HTTPException(404) from None
    elif deed == "release":
        await run_in_threadpool(desk.store.boards.release, job=job.id)
    elif deed == "confirm":
        await run_in_threadpool(desk.store.boards.confirm, job=job.id)
        return RedirectResponse(f"/jobs/{job.id}/wood?used=1", status_code=303)
    return RedirectResponse(f"/jobs/{job.id}/wood?{query}", status_code=303)


def wood_state(request: Request) -> Response:
    """How far the cut plan is."""
    asked = _asked(request, _job(request), _typed(request))
    work = desk_of(request).yard.work(asked) if asked else None
    if work is None:
        return JSONResponse({"stage": "none"})
    return JSONResponse({"stage": work.stage.value, "share": work.share, "doing": work.doing})


def wood_file(request: Request) -> Response:
    """Drawings of the boards, or the shopping list, to keep."""
    report = _ready(request)
    wanted = request.path_params["name"]
    for name, data in cut_files(report, page=Page.LETTER):
        if name == wanted:
            kind = "application/pdf" if name.endswith(".pdf") else "text/csv; charset=utf-8"
            how = "inline" if name.endswith(".pdf") else "attachment"
            head = {"content-disposition": f'{how}; filename="{name}"'}
            return Response(data, media_type=kind, headers=head)
    raise HTTPException(404)


def quote_page(request: Request) -> Response:
    """The quote with its breakdown."""
    desk, job = desk_of(request), _job(request)
    desk.start_plan(job)
    asked = _asked(request, job, _typed(request))
    if asked is None:
        return page(request, "waiting.html", job=job, tab="quote")
    report = desk.yard.cut_report(asked)
    work = desk.yard.work(asked)
    if report is None and (work is None or work.stage.value != "running"):
        work = desk.yard.start(asked)
    shown, faults = None, work.faults if work and report is None else ()
    if report is not None:
        try:
            shown = _priced(request, report)
        except SeamwrightError as error:
            faults = error.faults
    return page(
        request, "quote.html", job=job, tab="quote", work=work if report is None else None,
        faults=faults, quote=shown, amount=amount, bases=list(Basis), query=request.url.query,
        basis=request.query_params.get("at", Basis.REPLACEMENT.value),
        label=request.query_params.get("label", ""), extra=request.query_params.get("extra", ""),
    )  # fmt: skip


def quote_file(request: Request) -> Response:
    """The customer's page."""
    data = quote_pdf(_priced(request, _ready(request)), page=Page.LETTER)
    head = {"content-disposition": 'inline; filename="quote.pdf"'}
    return Response(data, media_type="application/pdf", headers=head)


def _shown(
    request: Request,
    job: Job,
    typed: dict[str, str],
    asked: Asked | None,
    *,
    faults: tuple[Fault, ...] = (),
    status: int = 200,
) -> Response:
    desk = desk_of(request)
    report = desk.yard.cut_report(asked) if asked else None
    work = desk.yard.work(asked) if asked else None
    ruler = Ruler(unit=unit_of(request, asked.report.drawing)) if asked else Ruler()
    board, cut = _number(request, "board", 1), _number(request, "cut", -1)
    pages = cut_pages(report, ruler) if report else ()
    at = pages[min(max(board, 1), len(pages)) - 1] if pages else None
    step = len(at.cuts) if at and cut < 0 else min(max(cut, 0), len(at.cuts) if at else 0)
    return page(
        request, "wood.html", status=status, job=job, tab="wood", typed=typed,
        faults=faults or (work.faults if work and not report else ()),
        work=work, held=desk.yard.holds(job) is not None, report=report,
        sure=[line.strip() for line in sure_of_cuts(report)] if report else [],
        pages=pages, at=at, step=step, picture=at.picture(step) if at else "",
        sticks=[(stick_title(line, ruler), list(way_lines(report, line, ruler)))
                for line in report.plan.lines] if report else [],
        shopping=[purchase_words(line) for line in report.shopping] if report else [],
        query=_query(request), used="used" in request.query_params,
    )  # fmt: skip


def _job(request: Request) -> Job:
    return desk_of(request).store.job(request.path_params["id"])


def _typed(request: Request) -> dict[str, str]:
    return {key: request.query_params.get(key, fresh) for key, fresh in _FRESH.items()}


def _asked(request: Request, job: Job, typed: dict[str, str]) -> Asked | None:
    """What is asked for; None while the plan of the board itself is not ready."""
    desk = desk_of(request)
    wishes = wishes_typed(typed, read_money(desk.store.shop_profile()))
    report = desk.report(job)
    return None if report is None else Asked(job=job, report=report, wishes=wishes)


def _ready(request: Request) -> CutReport:
    asked = _asked(request, _job(request), _typed(request))
    report = desk_of(request).yard.cut_report(asked) if asked else None
    if report is None:
        raise HTTPException(404)
    return report


def _priced(request: Request, report: CutReport) -> QuoteReport:
    query = request.query_params
    basis = Basis.COST if query.get("at") == Basis.COST.value else Basis.REPLACEMENT
    label, extra = query.get("label", "").strip(), query.get("extra", "").strip()
    extras = ((label or "Extra", extra),) if extra else ()
    money = read_money(desk_of(request).store.shop_profile())
    return quote_board(report, money, basis=basis, extras=extras)


def _number(request: Request, key: str, usual: int) -> int:
    text = request.query_params.get(key, "")
    return int(text) if text.isdigit() and len(text) < 6 else usual


def _query(request: Request) -> str:
    """The wishes of the address, without the board and the cut that are looked at."""
    kept = [
        f"{key}={value}"
        for key, value in request.query_params.items()
        if key in _FRESH and value.replace(" ", "").isalnum()
    ]
    return "&".join(kept)


ROUTES = [
    Route("/jobs/{id}/wood", wood_page),
    Route("/jobs/{id}/wood/do/{deed:str}", wood_deed, methods=["POST"]),
    Route("/jobs/{id}/wood/state", wood_state),
    Route("/jobs/{id}/wood/file/{name:str}", wood_file),
    Route("/jobs/{id}/quote", quote_page),
    Route("/jobs/{id}/quote/page.pdf", quote_file),
]
