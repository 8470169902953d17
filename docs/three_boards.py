"""Draw three boards with the mouse, each to its papers, and write down what was done and how long.

A scripted hand in a real Chromium: it moves the mouse, clicks and types at plausible pauses, and
only where a person could. It is no person: it never hesitates over what to draw.

    python docs/three_boards.py
"""

from __future__ import annotations

import io
import shutil
import sys
import tempfile
import time
import zipfile
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT / name) for name in ("src", "tests", "bench")]

from PIL import Image
from playwright.sync_api import Page, expect, sync_playwright
from screens_bench import served

from browser.conftest import FLAGS

PAUSE_S = 0.8
"""Between one deed of the hand and the next."""
LETTER_MS = 90
PATIENCE_MS = 240_000
FOLDER = ROOT / "docs" / "pictures" / "screens"


@dataclass
class Hand:
    """A hand on the mouse, and what it did."""

    page: Page
    deeds: int = 0
    told: list[str] = field(default_factory=list)

    def rest(self) -> None:
        self.deeds += 1
        time.sleep(PAUSE_S)

    def note(self, words: str) -> None:
        self.told.append(words)

    def press(self, name: str, *, role: str = "button") -> None:
        self.page.get_by_role(role, name=name, exact=True).first.click()  # type: ignore[arg-type]
        self.rest()

    def type(self, field_name: str, text: str) -> None:
        box = self.page.locator(f"[name='{field_name}']").first
        box.click()
        self.page.keyboard.press("Control+a")
        self.page.keyboard.type(text, delay=LETTER_MS)
        self.rest()

    def choose(self, field_name: str, value: str) -> None:
        self.page.locator(f"select[name='{field_name}']").first.select_option(value)
        self.rest()

    def tick(self, selector: str) -> None:
        self.page.locator(selector).first.click()
        self.rest()

    def at(self, x: float, y: float) -> tuple[float, float]:
        """A place of the board, in shares of it from the lower left, on the screen."""
        edge = self.page.locator("#board .edge").bounding_box()
        assert edge is not None
        return edge["x"] + x * edge["width"], edge["y"] + (1 - y) * edge["height"]

    def click(self, x: float, y: float) -> None:
        self.page.mouse.move(*self.at(x, y), steps=12)
        self.page.mouse.click(*self.at(x, y))
        self.rest()

    def drag(self, start: tuple[float, float], end: tuple[float, float]) -> None:
        self.page.mouse.move(*self.at(*start), steps=8)
        self.page.mouse.down()
        self.page.mouse.move(*self.at(*end), steps=24)
        self.page.mouse.up()
        self.rest()

    def pen(self, name: str) -> None:
        self.tick(f"input[name=pen][value={name}]")

    def wood(self, letter: str) -> None:
        self.tick(f"input[name=wood][value={letter}]")

    def begin(self, title: str, way: str) -> None:
        self.page.goto("/begin")
        self.rest()
        self.type("title", title)
        self.tick(f"input[name=way][value={way}]")


def tray(hand: Hand) -> None:
    """A grid with slanted seams drawn into it."""
    hand.begin("Tea tray", "grid")
    for name, value in (("width", "15"), ("height", "9"), ("columns", "5"), ("rows", "3")):
        hand.type(name, value)
    hand.press("Begin")
    hand.note("An empty grid, 15 × 9 in, five columns and three rows.")
    for column in range(5):
        low, high = (0, 1 / 3) if column % 2 else (1 / 3, 0)
        hand.click(column / 5, low)
        hand.click((column + 1) / 5, high)
        hand.click(column / 5, 1 - low)
        hand.click((column + 1) / 5, 1 - high)
    hand.note("Ten slanted seams by two clicks each, a zigzag along both long sides.")
    hand.wood("B")
    for column in range(5):
        x, near = (column + 0.5) / 5, 0.06
        hand.click(x + (0.05 if column % 2 else -0.05), near)
        hand.click(x + (0.05 if column % 2 else -0.05), 1 - near)
    hand.wood("C")
    hand.click(0.5, 0.5)
    hand.note("Walnut below the zigzag, cherry in the middle.")


def runner(hand: Hand) -> None:
    """Two blocks in rows, turned, with sashing, cornerstones and a border."""
    hand.begin("Sideboard top", "blocks")
    hand.choose("first", "log cabin")
    hand.choose("second", "pinwheel")
    for name, value in (("size", "5"), ("across", "4"), ("down", "2"), ("sashing", "1/2")):
        hand.type(name, value)
    hand.choose("stones", "C")
    hand.type("border", "1 1/4")
    hand.press("Begin")
    hand.note("Log cabin and pinwheel in turn, four by two, sashing with cornerstones, a border.")
    hand.press("Blocks in rows", role="link")
    for place in ("0-2", "0-2", "1-1", "1-3"):
        hand.tick(f"#cell-{place}")
        hand.page.wait_for_load_state("load")
    hand.note("Three blocks turned by clicks on their places.")
    hand.press("Drawing", role="link")


def shelf(hand: Hand) -> None:
    """A plain board cut by drags, one seam moved, patches chosen together."""
    hand.begin("Window shelf", "grid")
    for name, value in (("width", "24"), ("height", "8"), ("columns", "1"), ("rows", "1")):
        hand.type(name, value)
    hand.press("Begin")
    for x in (0.25, 0.5, 0.75):
        hand.drag((x, 0), (x, 1))
    for x in (0.0, 0.5):
        hand.drag((x, 0.25), (x + 0.25, 0.75))
        hand.drag((x + 0.25, 0.75), (x + 0.5, 0.25))
    hand.note("A plain board, 24 × 8 in: three upright seams and a wave of four, by drags.")
    hand.pen("move")
    hand.click(0.5, 0.9)
    hand.page.locator("#by").click()
    hand.page.keyboard.type("1", delay=LETTER_MS)
    hand.press("Move it")
    hand.note("The seam in the middle moved by an inch, typed.")
    hand.pen("choose")
    hand.drag((0.01, 0.01), (0.99, 0.6))
    hand.wood("B")
    hand.click(0.125, 0.1)
    hand.note("Everything below the wave chosen together and made walnut.")


def to_papers(hand: Hand) -> bytes:
    """From a drawing to the papers, all of them in one file."""
    page = hand.page
    page.wait_for_url("**/drawing")
    expect(page.locator("#doing")).to_have_text("Planned and proven", timeout=PATIENCE_MS)
    hand.press("Order of work", role="link")
    expect(page.locator(".proven")).to_be_visible(timeout=PATIENCE_MS)
    hand.press("Papers", role="link")
    hand.press("Make the papers")
    everything = page.get_by_role("link", name="Take all of them")
    expect(everything).to_be_visible(timeout=PATIENCE_MS)
    with page.expect_download() as taken:
        everything.click()
    return Path(taken.value.path()).read_bytes()


def small(picture: bytes, name: str, *, width: int = 960) -> None:
    """A picture for the docs, in 48 colours."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    image = Image.open(io.BytesIO(picture)).convert("RGB")
    high = round(image.height * width / image.width)
    image.resize((width, high)).quantize(48).save(FOLDER / f"{name}.png", optimize=True)


BOARDS: tuple[tuple[str, Callable[[Hand], None]], ...] = (
    ("tea-tray", tray),
    ("sideboard-top", runner),
    ("window-shelf", shelf),
)


def main() -> int:
    lines = [
        "# Three boards with the mouse",
        "",
        "Written by `docs/three_boards.py`: a scripted hand in a real Chromium, with the mouse and",
        f"typing only, {PAUSE_S} s of rest after each deed. It is no person: it never hesitates",
        "over what to draw. None of the boards had been planned before. The time runs from the",
        "empty form to the papers on the disk, waiting for plans included.",
    ]
    with (
        tempfile.TemporaryDirectory() as folder,
        sync_playwright() as play,
        served(f"sqlite:///{folder}/shop.db") as (address, _, _),
    ):
        browser = play.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        for name, draw in BOARDS:
            context = browser.new_context(base_url=address, viewport={"width": 1280, "height": 900})
            hand = Hand(context.new_page())
            hand.page.set_default_timeout(60_000)
            begun = time.perf_counter()
            draw(hand)
            hand.page.wait_for_url("**/drawing")
            drawn = time.perf_counter()
            words = hand.page.locator("#words")
            expect(words).to_contain_text("patches")
            said = words.inner_text()
            papers = to_papers(hand)
            took = time.perf_counter() - begun
            hand.page.go_back()
            names = zipfile.ZipFile(io.BytesIO(papers)).namelist()
            hand.page.get_by_role("link", name="Drawing", exact=True).click()
            expect(hand.page.locator("#board .wood").first).to_be_visible()
            small(hand.page.locator(".sheet").screenshot(), name)
            lines += ["", f"## {said.split(':')[0]}", ""]
            lines += [f"![The drawing](../pictures/screens/{name}.png)", ""]
            lines += [*(f"- {told}" for told in hand.told), ""]
            lines.append(
                f"{said}. Drawn in {drawn - begun:.0f} s with {hand.deeds} deeds of the hand; "
                f"papers in hand after {took / 60:.1f} minutes ({len(names)} files)."
            )
            print(lines[-1], flush=True)
            context.close()
        browser.close()
    (ROOT / "docs" / "tutorial" / "three-boards.md").write_text("\n".join(lines) + "\n", "utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
