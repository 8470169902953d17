"""How this browser shows things (kept in cookies, not in the store), and what words mean."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from seamwright.screens.rendering import page

_CHOICES = {"theme": {"auto", "light", "dark"}, "unit": {"own", "in", "mm"}, "tour": {"done", "on"}}
_YEAR_S = 365 * 86400


async def change(request: Request) -> Response:
    """Keep one choice and go back to where the user was."""
    form = await request.form()
    back = str(form.get("back", "/"))
    local = back.startswith("/") and not back.startswith(("//", "/\\"))
    answer = RedirectResponse(back if local else "/", status_code=303)
    for name, allowed in _CHOICES.items():
        value = form.get(name)
        if isinstance(value, str) and value in allowed:
            answer.set_cookie(name, value, max_age=_YEAR_S, samesite="strict", httponly=True)
    return answer


def words(request: Request) -> Response:
    """Every word of the trade that is explained anywhere, in one place."""
    return page(request, "words.html")


ROUTES = [
    Route("/words", words),
    Route("/settings", change, methods=["POST"]),
]
