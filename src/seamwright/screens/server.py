"""The server: which address shows what."""

from __future__ import annotations

import io
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from functools import lru_cache
from importlib.resources import files

from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont
from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from seamwright.app.desk import Desk
from seamwright.errors import Fault, SeamwrightError
from seamwright.screens import (
    boards,
    drawing,
    fit,
    looks,
    order,
    pairing,
    papers,
    rows,
    settings,
    shelf,
    shop,
    sound,
    ways,
    wood,
)
from seamwright.screens.guard import Guard
from seamwright.screens.pairing import Gate
from seamwright.screens.rendering import HERE, faults_of, page
from seamwright.store import Store

_FONTS = {
    "sans.ttf": ("fontpkg_lato", "Lato-Regular.ttf"),
    "sans-bold.ttf": ("fontpkg_lato", "Lato-Bold.ttf"),
    "serif.ttf": ("fontpkg_source_serif_4", "SourceSerif4[opsz,wght].ttf"),
}
_SIGNS = (
    (0x20, 0x17F), (0x2C6, 0x2DD), (0x2010, 0x2044), (0x20AC, 0x20AC), (0x2150, 0x215E),
    (0x2190, 0x2193), (0x2212, 0x2212), (0x2713, 0x2713), (0x270E, 0x270E),
)  # fmt: skip


def make_server(address: str, *, gate: Gate | None = None) -> Starlette:
    """The server on a store.

    Args:
        address: of the store, such as ``sqlite:///FILE``.
        gate: who may come in from the shop's network; None for nobody.
    Raises:
        StoreError: the store cannot be opened.
    """
    desk = Desk(Store.open(address))
    desk.welcome()

    @asynccontextmanager
    async def lifespan(_server: Starlette) -> AsyncIterator[None]:
        yield
        desk.close()

    server = Starlette(
        routes=[
            *shelf.ROUTES,
            *drawing.ROUTES,
            *rows.ROUTES,
            *looks.ROUTES,
            *sound.ROUTES,
            *ways.ROUTES,
            *order.ROUTES,
            *fit.ROUTES,
            *papers.ROUTES,
            *boards.ROUTES,
            *wood.ROUTES,
            *shop.ROUTES,
            *settings.ROUTES,
            *pairing.ROUTES,
            Route("/type/{name}", _font),
            Mount("/static", StaticFiles(directory=HERE / "static")),
        ],
        middleware=[
            Middleware(GZipMiddleware, minimum_size=1000, compresslevel=1),
            Middleware(Guard, gate=gate),
        ],
        exception_handlers={SeamwrightError: _refused, HTTPException: _not_there},
        lifespan=lifespan,
    )
    server.state.desk = desk
    server.state.gate = gate
    return server


def _font(request: Request) -> Response:
    package, file = _FONTS.get(request.path_params["name"], ("", ""))
    if not package:
        raise HTTPException(404)
    kept = {"cache-control": "max-age=86400"}
    return Response(_slim(package, file), media_type="font/ttf", headers=kept)


@lru_cache(maxsize=4)
def _slim(package: str, file: str) -> bytes:
    """A font with the signs that European languages and shops use: an eighth of the whole.

    Without its table of kerning, which alone would take seconds to cut.
    """
    options = Options(layout_features=["tnum", "lnum"], hinting=False)
    options.drop_tables += ["GPOS"]
    whole = files(package).joinpath("files", file)
    with whole.open("rb") as opened:
        font = TTFont(opened, lazy=True)
        cutter = Subsetter(options)
        cutter.populate(
            unicodes=[code for first, last in _SIGNS for code in range(first, last + 1)]
        )
        cutter.subset(font)
        out = io.BytesIO()
        font.save(out)
    return out.getvalue()


def _refused(request: Request, error: Exception) -> Response:
    assert isinstance(error, SeamwrightError)
    status = 404 if any(fault.code == "K103" for fault in error.faults) else 400
    if "application/json" in request.headers.get("content-type", ""):
        return JSONResponse({"faults": faults_of(error)}, status_code=status)
    return page(request, "refused.html", status=status, faults=error.faults)


def _not_there(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    fault = Fault("A404", "this page", "is not here", "go back to the shelf")
    if error.status_code != 404:
        fault = Fault("A400", "this", f"was not understood ({error.detail})")
    return page(request, "refused.html", status=error.status_code, faults=(fault,))
