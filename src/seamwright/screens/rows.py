"""Blocks in rows: which block stands where, how it is turned, sashing, cornerstones and borders."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from urllib.parse import urlencode

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from seamwright.app.drawings import drawing_of
from seamwright.app.own_blocks import sized
from seamwright.app.plan_words import board_words
from seamwright.app.redrawing import refused
from seamwright.app.rows import (
    Edging,
    Setting,
    alone,
    counted,
    in_rows,
    known_table,
    one_block,
    placed,
    setting_of,
    turned,
    with_block,
)
from seamwright.app.step_pictures import board_svg
from seamwright.design import known_blocks
from seamwright.errors import DesignError, Fault, SeamwrightError
from seamwright.screens.rendering import desk_of, page
from seamwright.store import Job, own_blocks

PENS = {"90": "Turn a quarter", "m": "Mirror"}
SIDES = {
    "": "all round",
    "left right": "left and right",
    "top bottom": "top and bottom",
    "top bottom left right": "all round, sides last",
}


def rows_page(request: Request) -> Response:
    """How the board is set."""
    return _shown(request, desk_of(request).store.job(request.path_params["id"]))


async def change(request: Request) -> Response:
    """One change, kept at once."""
    form = await request.form()
    store = desk_of(request).store
    job = await run_in_threadpool(store.job, request.path_params["id"])
    deed = request.path_params["deed"]
    try:
        if deed in {"undo", "redo"}:
            await run_in_threadpool(store.undo if deed == "undo" else store.redo, job.id)
        else:
            text, said = await run_in_threadpool(_changed, request, job, deed, form)
            drawing = drawing_of(text)
            after = int(_number(form, "after"))
            await run_in_threadpool(
                lambda: store.save(job.id, title=drawing.title, design=text, said=said, after=after)
            )
    except SeamwrightError as error:
        return _shown(request, job, faults=error.faults, status=400)
    query = urlencode({"pen": str(form.get("pen", "90"))})
    place = str(form.get("cell", ""))
    spot = f"#cell-{place}" if re.fullmatch(r"\d{1,2}-\d{1,2}", place) else ""
    return RedirectResponse(f"/jobs/{job.id}/rows?{query}{spot}", status_code=303)


def _changed(request: Request, job: Job, deed: str, form: FormData) -> tuple[str, str]:
    """The new design file, and how the history tells it."""
    if deed == "one-block":
        return one_block(drawing_of(job.design), "whole"), "Made the board one block"
    setting = setting_of(job.design)
    if setting is None:
        raise refused("D913", "the board", "is drawn patch by patch", "make it a block first")
    if deed == "add":
        return _with_block(request, job, form), "Added a block"
    deeds: dict[str, tuple[Callable[[Setting, FormData], Setting], str]] = {
        "place": (_placed, "Set a block"),
        "count": (_counted, "Changed the rows"),
        "edges": (_edged, "Changed sashing or borders"),
    }
    if deed not in deeds:
        raise refused("A901", "the change", "was not understood")
    made, said = deeds[deed]
    return in_rows(job.design, made(setting, form)), said


def _placed(setting: Setting, form: FormData) -> Setting:
    row, _, column = str(form.get("cell", "")).partition("-")
    if not (row.isdigit() and column.isdigit()):
        raise refused("D912", "the place", "is not on this board", "look at it afresh")
    r, c = int(row), int(column)
    pen = str(form.get("pen", "90"))
    now = setting.rows[r][c] if r < len(setting.rows) and c < len(setting.rows[r]) else ""
    if pen in PENS:
        return placed(setting, r, c, turned(now, pen))
    return placed(setting, r, c, pen.removeprefix("block:"))


def _counted(setting: Setting, form: FormData) -> Setting:
    return counted(setting, _number(form, "across"), _number(form, "down"))


def _edged(setting: Setting, form: FormData) -> Setting:
    def typed(name: str) -> str:
        return str(form.get(name, ""))

    sashing = replace(
        setting.sashing,
        wood=typed("sash-wood"),
        width=typed("sash-width"),
        stones=typed("stones"),
        runs=typed("runs") or "across",
    )
    borders = []
    for number in range(len(setting.borders) + 1):
        old = setting.borders[number : number + 1]
        start = old[0] if old else Edging(wood="A", width="")
        border = replace(
            start,
            wood=typed(f"border-wood-{number}"),
            width=typed(f"border-width-{number}"),
            sides=typed(f"border-sides-{number}"),
        )
        borders.append(border)
    return replace(setting, sashing=sashing, borders=tuple(borders))


def _with_block(request: Request, job: Job, form: FormData) -> str:
    name, size = str(form.get("name", "")), str(form.get("size", ""))
    own = own_blocks(desk_of(request).store)
    if name in own:
        table = sized(own[name], size, drawing_of(job.design).unit)
    else:
        table = known_table(name, size)
    return with_block(job.design, re.sub(r"\s+", "-", name), table)


def _small(design: str, word: str) -> str:
    """A placed block as a picture beside its name, which says all there is to hear."""
    try:
        svg = re.sub(r"<title>.*?</title>", "", board_svg(alone(design, word)))
    except DesignError:  # a block no place uses may ask for a wood the file does not name
        return ""
    return svg.replace('role="img"', 'aria-hidden="true"')


def _number(form: FormData, name: str) -> int:
    text = str(form.get(name, ""))
    if not re.fullmatch(r"\s*[0-9]{1,6}\s*", text):
        raise SeamwrightError(Fault("A911", name, f"is {text[:20]!r}", "type a whole number"))
    return int(text)


def _shown(
    request: Request, job: Job, *, faults: tuple[Fault, ...] = (), status: int = 200
) -> Response:
    setting = setting_of(job.design)
    words = dict.fromkeys(word for row in setting.rows for word in row) if setting else {}
    shown = [*words, *(setting.blocks if setting else ())]
    drawing = drawing_of(job.design)
    own = own_blocks(desk_of(request).store)
    return page(
        request, "rows.html", status=status, faults=faults, job=job, tab="rows",
        setting=setting, pictures={word: _small(job.design, word) for word in shown},
        whole=board_svg(job.design), words=board_words(drawing), sides=SIDES, pens=PENS,
        pen=request.query_params.get("pen", "90"), known=known_blocks(), own=tuple(own),
        borders=(*(setting.borders if setting else ()), Edging(wood="A", width="")),
    )  # fmt: skip


ROUTES = [
    Route("/jobs/{id}/rows", rows_page),
    Route("/jobs/{id}/rows/{deed:str}", change, methods=["POST"]),
]
