"""Boards on hand: the rack as drawings, a board with flaws dragged on, tables in and out."""

from __future__ import annotations

from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from seamwright.app.boards import (
    Typed,
    adding,
    dragged_flaw,
    flaw_typed,
    known_woods,
    taking_away,
    taking_in,
    typed_board,
    without_flaw,
    wood_colour,
)
from seamwright.app.rack_words import board_words, flaw_words, offer_words, rack_sum
from seamwright.app.wood_words import find_woods
from seamwright.design import decode
from seamwright.errors import Fault, SeamwrightError
from seamwright.lengths import Unit
from seamwright.pictures import Ruler
from seamwright.pictures.boards import board_svg, face_svg
from seamwright.rack import Board, FlawKind, Ring, demo_rack, rack_from_csv, rack_to_csv
from seamwright.screens.rendering import desk_of, faults_of, page

_FRESH = {
    "name": "", "wood": "", "thickness": "5/4", "width": "", "length": "", "finish": "rough",
    "ring": "unknown", "stock": "board", "moisture": "", "price": "", "place": "", "limit": "",
}  # fmt: skip


def boards_page(request: Request) -> Response:
    """Every board as a drawing, and the ways to add some."""
    return _boards(request, _FRESH)


async def add(request: Request) -> Response:
    """Put a board on the rack; where something typed cannot be, say so beside the form."""
    form = await request.form()
    typed = {key: str(form.get(key, fresh)) for key, fresh in _FRESH.items()}
    try:
        thing = typed_board(Typed(unit=_unit(request), **typed))  # type: ignore[arg-type]
        await run_in_threadpool(desk_of(request).store.boards.change, adding(thing))
    except SeamwrightError as error:
        return _boards(request, typed, faults=error.faults, status=400)
    if isinstance(thing, Board):
        return RedirectResponse(_address(thing.name), status_code=303)
    return RedirectResponse("/boards", status_code=303)


async def take_in(request: Request) -> Response:
    """Take in a table, or our demo boards."""
    form = await request.form()
    try:
        if "demo" in form:
            found = demo_rack()
        else:
            found = known_woods(rack_from_csv(decode((await _upload(form))[1])))
        await run_in_threadpool(desk_of(request).store.boards.change, taking_in(found))
    except SeamwrightError as error:
        return _boards(request, _FRESH, faults=error.faults, status=400)
    return RedirectResponse("/boards", status_code=303)


def table(request: Request) -> Response:
    """The rack as a table."""
    text = rack_to_csv(desk_of(request).store.boards.rack())
    head = {"content-disposition": 'attachment; filename="boards.csv"'}
    return Response(text, media_type="text/csv; charset=utf-8", headers=head)


async def take_away(request: Request) -> Response:
    """Take a board or an offer off."""
    form = await request.form()
    change = taking_away(str(form.get("name", "")))
    await run_in_threadpool(desk_of(request).store.boards.change, change)
    return RedirectResponse("/boards", status_code=303)


def board_page(request: Request) -> Response:
    """One board: its face to draw flaws on, and everything known of it."""
    return _board(request, request.query_params.get("name", ""))


async def mark(request: Request) -> Response:
    """Mark a flaw: dragged on the drawing, or typed."""
    boards = desk_of(request).store.boards
    if "application/json" in request.headers.get("content-type", ""):
        return await _drag(request)
    form = await request.form()
    name = str(form.get("name", ""))
    typed = {key: str(form.get(key, "")) for key in ("kind", "x", "y", "length", "width")}
    try:
        flaw = flaw_typed(**typed, unit=_unit(request))
        await run_in_threadpool(boards.change, lambda rack: rack.with_flaw(name, flaw))
    except SeamwrightError as error:
        return _board(request, name, faults=error.faults, status=400)
    return RedirectResponse(_address(name), status_code=303)


async def unmark(request: Request) -> Response:
    """Take a flaw off."""
    form = await request.form()
    name, number = str(form.get("name", "")), str(form.get("number", ""))
    change = without_flaw(name, int(number) if number.isdigit() else 0)
    await run_in_threadpool(desk_of(request).store.boards.change, change)
    return RedirectResponse(_address(name), status_code=303)


async def put_photo(request: Request) -> Response:
    """Keep a photo to lie under the drawing, or take it away."""
    form = await request.form()
    name = str(form.get("name", ""))
    boards = desk_of(request).store.boards
    try:
        file, raw = ("", b"") if "away" in form else await _upload(form)
        await run_in_threadpool(boards.put_photo, name, raw, name=file)
    except SeamwrightError as error:
        return _board(request, name, faults=error.faults, status=400)
    return RedirectResponse(_address(name), status_code=303)


def photo(request: Request) -> Response:
    """A board's photo."""
    found = desk_of(request).store.boards.photo(request.query_params.get("name", ""))
    if found is None:
        raise HTTPException(404)
    return Response(found[1], media_type=found[0])


async def _drag(request: Request) -> Response:
    boards = desk_of(request).store.boards
    try:
        asked = await request.json()
        name, kind = str(asked["name"]), str(asked["kind"])
        corners = [float(asked[key]) for key in ("x0", "y0", "x1", "y1")]
    except (KeyError, TypeError, ValueError):
        fault = Fault("A901", "the change", "was not understood")
        return JSONResponse({"faults": [{"text": str(fault)}]}, status_code=400)
    try:
        after = await run_in_threadpool(
            boards.change, lambda rack: dragged_flaw(rack, name, kind, corners)
        )
    except SeamwrightError as error:
        return JSONResponse({"faults": faults_of(error)}, status_code=400)
    return JSONResponse({"flaws": list(flaw_words(after.board(name)))})


def _boards(
    request: Request,
    typed: dict[str, str],
    *,
    faults: tuple[Fault, ...] = (),
    status: int = 200,
) -> Response:
    desk = desk_of(request)
    rack = desk.store.boards.rack()
    ruler = Ruler(unit=_unit(request))
    titles = {job.id: job.title for job in desk.store.jobs(archived=None)}
    cards = []
    for board in rack.boards:
        holder = rack.holder(board.name)
        cards.append(
            {
                "name": board.name,
                "address": _address(board.name),
                "picture": board_svg(board, heading="", fill=wood_colour(board.wood)),
                "words": board_words(board, ruler),
                "flaws": len(board.flaws),
                "held_by": titles.get(holder, holder),
            }
        )
    return page(
        request, "boards.html", status=status, faults=faults, typed=typed, cards=cards,
        offers=[(offer.name, offer_words(offer, ruler)) for offer in rack.offers],
        said=rack_sum(rack), woods=[wood.name for wood in find_woods()],
        rings=[ring.value for ring in Ring],
    )  # fmt: skip


def _board(
    request: Request, name: str, *, faults: tuple[Fault, ...] = (), status: int = 200
) -> Response:
    desk = desk_of(request)
    rack = desk.store.boards.rack()
    board = rack.board(name)
    holder = rack.holder(name)
    titles = {job.id: job.title for job in desk.store.jobs(archived=None)}
    has_photo = bool(board.photo) and desk.store.boards.photo(name) is not None
    address = f"/board/photo?name={quote(name, safe='')}" if has_photo else ""
    return page(
        request, "board.html", status=status, faults=faults, board=board,
        words=board_words(board, Ruler(unit=_unit(request))),
        face=face_svg(board, photo=address, fill=wood_colour(board.wood)),
        flaws=flaw_words(board), kinds=[kind.value for kind in FlawKind],
        held_by=titles.get(holder, holder), has_photo=has_photo,
    )  # fmt: skip


def _address(name: str) -> str:
    return f"/board?name={quote(name, safe='')}"


def _unit(request: Request) -> Unit:
    return Unit.INCH if request.cookies.get("unit") == "in" else Unit.MM


async def _upload(form: FormData) -> tuple[str, bytes]:
    given = form.get("file")
    raw = await given.read() if isinstance(given, UploadFile) else b""
    if not isinstance(given, UploadFile) or not raw:
        raise SeamwrightError(
            Fault("A910", "the file", "was not chosen", "choose one and send again")
        )
    return given.filename or "board", raw


ROUTES = [
    Route("/boards", boards_page, methods=["GET"]),
    Route("/boards", add, methods=["POST"]),
    Route("/boards/take-in", take_in, methods=["POST"]),
    Route("/boards/take-away", take_away, methods=["POST"]),
    Route("/boards.csv", table),
    Route("/board", board_page),
    Route("/board/flaw", mark, methods=["POST"]),
    Route("/board/unflaw", unmark, methods=["POST"]),
    Route("/board/photo", photo, methods=["GET"]),
    Route("/board/photo", put_photo, methods=["POST"]),
]
