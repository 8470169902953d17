"""Pages from templates, with what every page needs."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path
from typing import cast

from jinja2 import Environment, FileSystemLoader, StrictUndefined, select_autoescape
from markupsafe import Markup, escape
from starlette.requests import Request
from starlette.responses import HTMLResponse

from seamwright import __version__
from seamwright.app.desk import Desk
from seamwright.design import Drawing
from seamwright.errors import Fault, SeamwrightError
from seamwright.lengths import Unit
from seamwright.pictures import Ruler
from seamwright.screens.terms import TERMS

HERE = Path(__file__).parent
THEMES = ("auto", "light", "dark")
_LENGTH = re.compile(r"\d+-\d+/\d+″?")

_pages = Environment(
    loader=FileSystemLoader(HERE / "templates"),
    autoescape=select_autoescape(default=True),
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)


def _day(moment: datetime) -> str:
    return f"{moment.astimezone():%d %b %Y, %H:%M}"


def _unbroken(text: str) -> Markup:
    """A text in which no length is broken over two lines.

    >>> str(_unbroken("2-1/8″ wide"))
    '<span class="length">2-1/8″</span> wide'
    """
    return Markup(_LENGTH.sub(r'<span class="length">\g<0></span>', str(escape(text))))


_pages.filters["day"] = _day
_pages.filters["unbroken"] = _unbroken


def desk_of(request: Request) -> Desk:
    """The desk this server stands on."""
    return cast(Desk, request.app.state.desk)


def unit_of(request: Request, drawing: Drawing) -> Unit:
    """The unit the user wants to read; the drawing's own unless they chose one."""
    chosen = request.cookies.get("unit", "")
    return Unit(chosen) if chosen in {"in", "mm"} else drawing.unit


def ruler_of(request: Request, drawing: Drawing) -> Ruler:
    """The same, as a ruler."""
    return Ruler(unit=unit_of(request, drawing))


def page(
    request: Request,
    template: str,
    *,
    status: int = 200,
    faults: tuple[Fault, ...] = (),
    **shown: object,
) -> HTMLResponse:
    """A page."""
    theme = request.cookies.get("theme", "auto")
    text = _pages.get_template(template).render(
        theme=theme if theme in THEMES else "auto",
        unit=request.cookies.get("unit", ""),
        here=request.url.path,
        version=__version__,
        terms=TERMS,
        faults=faults,
        **shown,
    )
    return HTMLResponse(text, status_code=status)


def faults_of(error: SeamwrightError) -> list[dict[str, object]]:
    """Faults for the page's own scripts."""
    return [{**fault.as_dict(), "text": str(fault)} for fault in error.faults]
