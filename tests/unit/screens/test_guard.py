"""Only this machine's own pages are answered; asked over a real connection, as a stranger would."""

from __future__ import annotations

import http.client
import socket
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
import uvicorn

from seamwright.screens import make_server
from seamwright.screens.guard import MOST_BYTES


@pytest.fixture(scope="module")
def port(tmp_path_factory: pytest.TempPathFactory) -> Iterator[int]:
    home: Path = tmp_path_factory.mktemp("shop")
    listening = socket.socket()
    listening.bind(("127.0.0.1", 0))
    listening.listen()
    server = uvicorn.Server(
        uvicorn.Config(make_server(f"sqlite:///{home / 'shop.db'}"), log_level="error")
    )
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
    thread.start()
    while not server.started:
        time.sleep(0.02)
    yield listening.getsockname()[1]
    server.should_exit = True
    thread.join(timeout=20)
    listening.close()


def ask(
    port: int, method: str, path: str, *, body: str = "", **headers: str
) -> tuple[int, dict[str, str], str]:
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    connection.request(method, path, body=body or None, headers=named)
    answer = connection.getresponse()
    told = answer.read().decode("utf-8", "replace")
    connection.close()
    return answer.status, {name.lower(): value for name, value in answer.getheaders()}, told


def test_this_machine_is_answered_and_nothing_may_be_loaded_from_elsewhere(port: int) -> None:
    status, headers, text = ask(port, "GET", "/")
    assert status == 200
    assert "default-src 'self'" in headers["content-security-policy"]
    assert headers["x-content-type-options"] == "nosniff"
    assert "http://" not in text.replace("http://www.w3.org/2000/svg", "")
    assert "style=" not in text


@pytest.mark.parametrize(
    "host", ["evil.test", "evil.test:80", "192.168.1.5:8417", "127.0.0.1.evil.test", "", "[::"]
)
def test_other_hosts_are_refused_in_a_sentence(port: int, host: str) -> None:
    status, _, text = ask(port, "GET", "/", host=host)
    assert status in {400, 403}
    assert status == 400 or "only to the browser on its own machine" in text


@pytest.mark.parametrize(
    "origin", ["http://evil.test", "null", "https://127.0.0.1", "http://localhost:1"]
)
@pytest.mark.parametrize("path", ["/begin", "/shop", "/bring-back", "/settings"])
def test_posts_from_other_pages_are_refused(port: int, origin: str, path: str) -> None:
    before = ask(port, "GET", "/shop")[2]
    assert ask(port, "POST", path, origin=origin, body="defaults=1")[0] == 403
    assert ask(port, "GET", "/shop")[2] == before


def test_a_browser_that_says_cross_site_is_refused(port: int) -> None:
    assert ask(port, "POST", "/settings", body="a=1", sec_fetch_site="cross-site")[0] == 403


def test_endless_bodies_are_refused(port: int) -> None:
    assert ask(port, "POST", "/begin", content_length=str(MOST_BYTES + 1))[0] == 413
    assert ask(port, "POST", "/begin", transfer_encoding="chunked", body="0\r\n\r\n")[0] == 403


def test_settings_lead_nowhere_else(port: int) -> None:
    form = "application/x-www-form-urlencoded"
    for back in ("//evil.test", "https://evil.test", "/%5Cevil.test"):
        status, headers, _ = ask(
            port, "POST", "/settings", body=f"back={back}&theme=dark", content_type=form
        )
        assert (status, headers["location"]) == (303, "/")


@pytest.mark.parametrize(
    "path",
    ["/jobs/none/drawing", "/jobs/none/papers/file/x", "/type/x", "/static/../guard.py", "/no"],
)
def test_what_is_not_there_is_said_without_a_traceback(port: int, path: str) -> None:
    status, _, text = ask(port, "GET", path)
    assert status == 404
    assert "Traceback" not in text


@pytest.mark.parametrize(
    "body",
    [
        "", "[]", "{", '{"what": "seam"}', '{"what": "nonsense", "after": 1}',
        '{"what": "seam", "after": 1, "start": [0, 0], "end": ["x", 1]}',
        '{"what": "seam", "after": 1, "start": [0, 0], "end": [NaN, 1]}',
        '{"what": "fill", "after": 1, "patches": ["no such"], "wood": "M"}',
        '{"what": "size", "after": 1, "width": "0", "height": "1", "thickness": "1", "copies": 1}',
        '{"what": "size", "after": 1, "width": "1e9", "height": "x", "thickness": "", "copies": 1}',
        '{"what": "file", "after": 1, "text": "unit = 7"}',
        '{"what": "grain", "after": 1, "patches": [], "grain_deg": Infinity}',
        '{"what": "move", "after": 1, "patches": ["1"], "by": 1, "reach": "whole"}',
        '{"what": "move", "after": 1, "patches": ["1", "2"], "by": NaN, "reach": "whole"}',
        '{"what": "move", "after": 1, "patches": ["1", "2"], "by": "far", "reach": "whole"}',
        '{"what": "move", "after": 1, "patches": ["1", "2"], "by": 1, "reach": "all"}',
        '{"what": ["seam"], "after": 1}',
    ],
)  # fmt: skip
def test_changes_that_make_no_sense_are_refused_in_words(port: int, body: str) -> None:
    page = ask(port, "GET", "/")[2]
    job = page.split("/jobs/")[1].split("/")[0]
    status, _, text = ask(
        port, "POST", f"/jobs/{job}/change", body=body or " ", content_type="application/json"
    )
    assert (status, '"faults"' in text) == (400, True)
    assert "state 1" in page or "1 state kept" in page


@pytest.mark.parametrize(
    ("path", "body"),
    [
        ("rows/place", "after=1&cell=99-99&pen=90"), ("rows/place", "after=1&cell=x&pen=90"),
        ("rows/place", "after=1&cell=0-0&pen=block:none"), ("rows/place", "cell=0-0&pen=90"),
        ("rows/count", "after=1&across=0&down=1"), ("rows/count", "after=1&across=99999&down=1"),
        ("rows/edges", "after=1&sash-width=wide"), ("rows/add", "after=1&name=none&size=4"),
        ("rows/add", "after=1&name=pinwheel&size="), ("rows/nonsense", "after=1"),
        ("ways/take", "prefer=nonsense"),
    ],
)  # fmt: skip
def test_forms_that_make_no_sense_are_refused_in_words(port: int, path: str, body: str) -> None:
    job = ask(port, "GET", "/")[2].split("/jobs/")[1].split("/")[0]
    form = "application/x-www-form-urlencoded"
    status, _, text = ask(port, "POST", f"/jobs/{job}/{path}", body=body, content_type=form)
    assert (status, 'class="wrong"' in text) == (400, True)


@pytest.mark.parametrize(
    "body",
    ["{}", '{"name": "x", "patches": []}', '{"name": "", "patches": ["1"]}',
     '{"name": "x", "patches": "1"}', '{"name": "x", "patches": ["none"]}'],
)  # fmt: skip
def test_blocks_that_cannot_be_are_refused_in_words(port: int, body: str) -> None:
    job = ask(port, "GET", "/")[2].split("/jobs/")[1].split("/")[0]
    said = ask(port, "POST", f"/jobs/{job}/block", body=body, content_type="application/json")
    assert (said[0], '"faults"' in said[2]) == (400, True)
