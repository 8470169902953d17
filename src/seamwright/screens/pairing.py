"""Opening the shop to its own network: other devices are let in by a code shown on this machine."""

from __future__ import annotations

import ipaddress
import secrets
import socket
import time
from collections.abc import Callable
from contextlib import suppress
from threading import Lock

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from seamwright.errors import Fault
from seamwright.screens.rendering import page

COOKIE = "paired"
MOST_TRIES, PAUSE_S = 5, 60.0
"""So many wrong codes, from anywhere, and none is heard for so long [s]."""
_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ23456789"
_CODE_LETTERS = 8
_OPEN = ("/pair", "/static/", "/type/")
_NOWHERE = "192.0.2.1"
"""An address that belongs to nobody (RFC 5737): asking the way there sends nothing."""


class Gate:
    """Who may come in from the network; forgotten when the server ends."""

    def __init__(self, addresses: tuple[str, ...], clock: Callable[[], float] = time.monotonic):
        self.addresses = frozenset(addresses)
        self.code = "".join(secrets.choice(_LETTERS) for _ in range(_CODE_LETTERS))
        self._clock = clock
        self._tokens: set[str] = set()
        self._wrong: list[float] = []
        self._lock = Lock()

    @property
    def shown_code(self) -> str:
        """The code as it is read out."""
        return f"{self.code[:4]}-{self.code[4:]}"

    def pair(self, typed: str) -> str | None:
        """A token for the right code; None for a wrong one, or after too many wrong ones."""
        plain = "".join(letter for letter in typed.upper() if letter.isalnum())
        with self._lock:
            now = self._clock()
            self._wrong = [at for at in self._wrong if now - at < PAUSE_S]
            if len(self._wrong) >= MOST_TRIES:
                return None
            if not secrets.compare_digest(plain.encode(), self.code.encode()):
                self._wrong.append(now)
                return None
            token = secrets.token_urlsafe(32)
            self._tokens.add(token)
            return token

    def knows(self, token: str) -> bool:
        """Whether a device was let in."""
        with self._lock:
            return token in self._tokens

    def is_open(self, path: str) -> bool:
        """Whether a path may be seen by anybody: what the page with the code needs."""
        return path.startswith(_OPEN)


def own_addresses() -> tuple[str, ...]:
    """The addresses under which this machine is known in its own network; nothing is sent."""
    found: dict[str, None] = {}
    with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        probe.connect((_NOWHERE, 9))
        found[probe.getsockname()[0]] = None
    with suppress(OSError):
        for *_, place in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET):
            found[str(place[0])] = None
    return tuple(each for each in found if is_private(each))


def is_private(address: str) -> bool:
    """Whether an address belongs to a network of one's own (RFC 1918 and the like)."""
    try:
        known = ipaddress.ip_address(address)
    except ValueError:
        return False
    return known.is_private and not known.is_loopback and not known.is_unspecified


def pair_page(request: Request) -> Response:
    """Where a new device types the code."""
    return page(request, "pair.html")


async def pair(request: Request) -> Response:
    """Let a device in, or say that the code was wrong."""
    gate: Gate | None = request.app.state.gate
    form = await request.form()
    token = gate.pair(str(form.get("code", ""))[:40]) if gate is not None else None
    if token is None:
        remedy = f"read it again; after {MOST_TRIES} wrong ones wait a minute"
        fault = Fault("A920", "the code", "was not taken", remedy)
        return page(request, "pair.html", status=403, faults=(fault,))
    answer = RedirectResponse("/", status_code=303)
    answer.set_cookie(COOKIE, token, samesite="strict", httponly=True)
    return answer


ROUTES = [
    Route("/pair", pair_page, methods=["GET"]),
    Route("/pair", pair, methods=["POST"]),
]
