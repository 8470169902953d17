"""The shop's profile: every value, what it is, and where its default comes from."""

from __future__ import annotations

from itertools import groupby

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from seamwright.app.desk import Desk
from seamwright.errors import Fault, SeamwrightError
from seamwright.plan import MARGINS, shop_sources
from seamwright.screens.rendering import desk_of, page

MOST_LETTERS = 60_000
_TITLES = {
    "saws": "Saws", "allowances": "Wood left on purpose", "limits": "What can be made",
    "minutes": "Minutes of work", "money": "Money",
    "accuracy": "How true you work", "losses": "What is spoilt",
    "gluing": "Clamps and glue", "small_parts": "Parts too small for the sled",
    "overlays": "Overlays: a thin face on a backing",
}  # fmt: skip
MAKER = {"maker.name": "", "maker.currency": "", "maker.margin": MARGINS[0]}


def shop_page(request: Request) -> Response:
    """Every value of the profile."""
    return _shown(request, desk_of(request).shop_typed(), saved="saved" in request.query_params)


async def save(request: Request) -> Response:
    """Keep the values typed; plans made before no longer count."""
    form = await request.form()
    typed = {source.name: str(form.get(source.name, "")) for source in shop_sources()}
    if "defaults" in form:
        typed = {source.name: f"{source.value:g}" for source in shop_sources()}
    typed |= {name: str(form.get(name, usual)) for name, usual in MAKER.items()}
    woods = str(form.get("woods", ""))[:MOST_LETTERS]
    try:
        await run_in_threadpool(_keep, desk_of(request), typed, woods)
    except SeamwrightError as error:
        return _shown(request, typed, woods=woods, faults=error.faults, status=400)
    return RedirectResponse("/shop?saved=1", status_code=303)


def _keep(desk: Desk, typed: dict[str, str], woods: str) -> None:
    desk.set_shop(typed, woods=woods)


def _shown(
    request: Request,
    typed: dict[str, str],
    *,
    woods: str | None = None,
    faults: tuple[Fault, ...] = (),
    status: int = 200,
    saved: bool = False,
) -> Response:
    wrong = {fault.subject: str(fault) for fault in faults}
    sections = [
        (_TITLES[name], list(sources))
        for name, sources in groupby(shop_sources(), key=lambda source: source.section)
    ]
    return page(
        request, "shop.html", status=status, faults=faults, gate=request.app.state.gate,
        typed=typed, sections=sections, wrong=wrong, saved=saved, margins=MARGINS,
        woods=desk_of(request).woods_text() if woods is None else woods,
        known=desk_of(request).soundings.own_woods(),
    )  # fmt: skip


ROUTES = [Route("/shop", shop_page, methods=["GET"]), Route("/shop", save, methods=["POST"])]
