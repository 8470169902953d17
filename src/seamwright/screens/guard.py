"""Only pages of this machine, or of devices let in, are answered; they load nothing else."""

from __future__ import annotations

from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import HTTPConnection
from starlette.responses import PlainTextResponse, RedirectResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from seamwright.screens.pairing import COOKIE, Gate

MOST_BYTES = 64_000_000
_HOSTS = frozenset({"127.0.0.1", "localhost", "::1"})
_SAFE = {"GET", "HEAD"}
_RULES = (
    "default-src 'self'; img-src 'self' data:; object-src 'none'; base-uri 'none'; "
    "form-action 'self'; frame-ancestors 'none'"
)
_HEADERS = {
    "content-security-policy": _RULES,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}


class Guard:
    """Refuses foreign hosts (DNS rebinding), foreign origins (forged posts) and endless bodies."""

    def __init__(self, app: ASGIApp, gate: Gate | None = None) -> None:
        self._app = app
        self._gate = gate

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or answer it with a plain sentence."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        why = _refusal(scope, self._hosts(scope))
        if why:
            await PlainTextResponse(why, status_code=403)(scope, receive, send)
            return
        if self._stranger(scope):
            await RedirectResponse("/pair", status_code=303)(scope, receive, send)
            return
        length = Headers(scope=scope).get("content-length", "0")
        if not length.isdigit() or int(length) > MOST_BYTES:
            answer = PlainTextResponse("The file is too large.", status_code=413)
            await answer(scope, receive, send)
            return

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in _HEADERS.items():
                    headers[name] = value
                headers.setdefault("cache-control", "no-cache")
            await send(message)

        await self._app(scope, receive, send_guarded)

    def _hosts(self, scope: Scope) -> frozenset[str]:
        """Names this server answers to; from elsewhere, only its addresses in the network."""
        if self._gate is None:
            return _HOSTS
        return _HOSTS | self._gate.addresses if _is_here(scope) else self._gate.addresses

    def _stranger(self, scope: Scope) -> bool:
        """Whether a request comes from another device that was not let in."""
        if self._gate is None or _is_here(scope):
            return False
        token = HTTPConnection(scope).cookies.get(COOKIE, "")
        return not (self._gate.knows(token) or self._gate.is_open(scope["path"]))


def _is_here(scope: Scope) -> bool:
    client = scope.get("client")
    return client is not None and client[0] in {"127.0.0.1", "::1"}


def _refusal(scope: Scope, hosts: frozenset[str]) -> str:
    headers = Headers(scope=scope)
    host = headers.get("host", "")
    if _name(f"//{host}") not in hosts:
        return "This server answers only to the browser on its own machine (127.0.0.1)."
    if scope["method"] in _SAFE:
        return ""
    origin = headers.get("origin")
    if origin is not None and origin != f"{scope.get('scheme', 'http')}://{host}":
        return "This came from another site's page and was not carried out."
    if headers.get("sec-fetch-site", "same-origin") not in {"same-origin", "none"}:
        return "This came from another site's page and was not carried out."
    if "chunked" in headers.get("transfer-encoding", ""):
        return "A file must be sent with its length."
    return ""


def _name(address: str) -> str:
    try:
        return urlsplit(address).hostname or ""
    except ValueError:
        return ""
