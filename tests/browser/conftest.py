"""A real Chromium against a real server; any stray request, page error or console error fails."""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright

expect.set_options(timeout=20_000)

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


class Shop:
    """``seamwright serve`` in a process of its own, on a store that outlives it."""

    def __init__(self, home: Path) -> None:
        self.store = f"sqlite:///{home / 'shop.db'}"
        self.address = ""
        self.open()

    def open(self) -> None:
        source = Path(__file__).parents[2] / "src"
        words = ["serve", "--no-browser", "--port", "0", "--store", self.store]
        self._process = subprocess.Popen(
            [sys.executable, "-m", "seamwright", *words],
            stdout=subprocess.PIPE,
            text=True,
            env={**os.environ, "PYTHONPATH": str(source)},
        )
        assert self._process.stdout is not None
        line = self._process.stdout.readline()
        found = re.search(r"http://127\.0\.0\.1:\d+", line)
        assert found, line
        self.address = found[0]

    def close(self, how: signal.Signals = signal.SIGINT) -> None:
        self._process.send_signal(how)
        self._process.wait(timeout=20)
        assert self._process.stdout is not None
        self._process.stdout.close()


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    program = shutil.which("chromium")
    if program is None:
        pytest.fail("no chromium here: apt-get install chromium")
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=program, headless=True, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    running = Shop(tmp_path_factory.mktemp("shop"))
    yield running
    running.close()


@pytest.fixture
def open_page(chromium: Browser, shop: Shop):
    """Opens pages of any size and light; complains at the end about whatever went wrong on them."""
    wrong: list[str] = []
    contexts = []

    def opened(
        width: int = 1440, height: int = 900, light: str = "light", *, refusals: bool = False
    ) -> Page:
        # Chromium itself reports every answer of 400, which is what a refusal is
        expected = "status of 400" if refusals else "\0"
        context = chromium.new_context(
            viewport={"width": width, "height": height},
            color_scheme=light,
            base_url=shop.address,
            accept_downloads=True,
            reduced_motion="reduce",
        )
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(30_000)
        page.on("pageerror", lambda error: wrong.append(f"page error: {error}"))
        page.on(
            "console",
            lambda said: (
                wrong.append(said.text)
                if said.type in {"error", "warning"} and expected not in said.text
                else None
            ),
        )
        page.on(
            "request",
            lambda request: (
                None
                if request.url.startswith((shop.address, "data:"))
                else wrong.append(f"foreign request: {request.url}")
            ),
        )
        return page

    yield opened
    for context in contexts:
        context.close()
    assert wrong == []
