"""The shop's profile: every value, what it is, and where its default comes from."""

from __future__ import annotations

from itertools import groupby

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from seamwright.app.desk import Desk
from seamwright.errors import Fault, SeamwrightError
from seamwright.plan import shop_sources
from seamwright.screens.rendering import desk_of, page

_TITLES = {
    "saws": "Saws", "allowances": "Wood left on purpose", "limits": "What can be made",
    "minutes": "Minutes of work",
}  # fmt: skip


def shop_page(request: Request) -> Response:
    """Every value of the profile."""
    return _shown(request, _values(desk_of(request)), saved="saved" in request.query_params)


async def save(request: Request) -> Response:
    """Keep the values typed; plans made before no longer count."""
    form = await request.form()
    typed = {source.name: str(form.get(source.name, "")) for source in shop_sources()}
    if "defaults" in form:
        typed = {source.name: f"{source.value:g}" for source in shop_sources()}
    try:
        await run_in_threadpool(desk_of(request).set_shop, typed)
    except SeamwrightError as error:
        return _shown(request, typed, faults=error.faults, status=400)
    return RedirectResponse("/shop?saved=1", status_code=303)


def _values(desk: Desk) -> dict[str, str]:
    shop = desk.shop()
    return {
        source.name: f"{_value(getattr(shop, source.section), source.key):g}"
        for source in shop_sources()
    }


def _value(section: object, key: str) -> float:
    named = f"{key}_mm"
    value: float = getattr(section, named if hasattr(section, named) else key)
    return value


def _shown(
    request: Request,
    typed: dict[str, str],
    *,
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
        request, "shop.html", status=status, faults=faults,
        typed=typed, sections=sections, wrong=wrong, saved=saved,
    )  # fmt: skip


ROUTES = [Route("/shop", shop_page, methods=["GET"]), Route("/shop", save, methods=["POST"])]
