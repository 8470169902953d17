"""Devices of the shop's network come in by the code, once, and nobody else does."""

from __future__ import annotations

import asyncio
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest

from seamwright.screens.guard import Guard
from seamwright.screens.pairing import MOST_TRIES, PAUSE_S, Gate, is_private, own_addresses

LAN = "192.168.7.20"


async def shown(scope: Any, receive: Any, send: Any) -> None:
    await send({"type": "http.response.start", "status": 200, "headers": []})
    await send({"type": "http.response.body", "body": b"the shop"})


def asked(
    gate: Gate | None, *, client: str, host: str, path: str = "/", cookie: str = "", **more: str
) -> int:
    """The status a request from a device gets."""
    headers = {"host": host, "cookie": cookie, "content-length": "0", **more}
    sent: list[dict[str, Any]] = []

    async def send(message: Any) -> None:
        sent.append(message)

    async def receive() -> dict[str, Any]:
        return {"type": "http.request", "body": b""}

    scope = {
        "type": "http", "method": more.pop("method", "GET"), "path": path, "scheme": "http",
        "client": (client, 50000), "query_string": b"",
        "headers": [(k.encode(), v.encode()) for k, v in headers.items()],
    }  # fmt: skip
    # in a thread of its own: a browser test before this one may have left a loop running here
    with ThreadPoolExecutor(max_workers=1) as thread:
        thread.submit(asyncio.run, Guard(shown, gate)(scope, receive, send)).result()
    return int(sent[0]["status"])


def test_without_a_gate_no_other_device_is_answered() -> None:
    assert asked(None, client="192.168.7.9", host=f"{LAN}:8417") == 403


def test_a_device_sees_only_the_page_with_the_code_until_it_is_let_in() -> None:
    gate = Gate((LAN,))
    here = {"client": "192.168.7.9", "host": f"{LAN}:8417"}
    assert asked(gate, **here) == 303
    assert asked(gate, **here, path="/jobs/x/change", method="POST") == 303
    assert asked(gate, **here, path="/pair") == 200
    assert asked(gate, **here, cookie="paired=guessed") == 303
    token = gate.pair(gate.shown_code.lower())
    assert token is not None
    assert asked(gate, **here, cookie=f"paired={token}") == 200


def test_a_device_let_in_is_still_held_to_host_and_origin() -> None:
    gate = Gate((LAN,))
    cookie = f"paired={gate.pair(gate.code)}"
    there = "192.168.7.9"
    for host in ("evil.test", "127.0.0.1", "localhost", "192.168.7.21"):
        assert asked(gate, client=there, host=host, cookie=cookie) == 403
    evil = {"method": "POST", "origin": "http://evil.test"}
    assert asked(gate, client=there, host=LAN, cookie=cookie, **evil) == 403


def test_this_machine_needs_no_code() -> None:
    gate = Gate((LAN,))
    assert asked(gate, client="127.0.0.1", host="127.0.0.1:8417") == 200
    assert asked(gate, client="127.0.0.1", host="evil.test") == 403


def test_codes_cannot_be_guessed_one_after_another() -> None:
    now = [0.0]
    gate = Gate((LAN,), clock=lambda: now[0])
    for _ in range(MOST_TRIES):
        assert gate.pair("WRONGONE") is None
    assert gate.pair(gate.code) is None
    now[0] += PAUSE_S + 1
    assert gate.pair(gate.code) is not None


def test_codes_and_tokens_are_not_the_same_twice() -> None:
    gates = [Gate((LAN,)) for _ in range(20)]
    assert len({gate.code for gate in gates}) == 20
    assert gates[0].pair(gates[0].code) != gates[0].pair(gates[0].code)


@pytest.mark.parametrize(
    ("address", "private"),
    [("192.168.1.4", True), ("10.0.0.1", True), ("127.0.0.1", False), ("8.8.8.8", False),
     ("0.0.0.0", False), ("none", False)],
)  # fmt: skip
def test_only_a_network_of_ones_own(address: str, private: bool) -> None:
    assert is_private(address) is private


def test_own_addresses_are_private() -> None:
    assert all(is_private(each) for each in own_addresses())
