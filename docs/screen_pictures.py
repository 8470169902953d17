"""Take a picture of every screen, for docs/howto/screens.md.

    python docs/screen_pictures.py

Every room in the heading and every tab of the demo job is visited, so that a new screen is in the
page as soon as it is in the navigation.
"""

from __future__ import annotations

import re
import shutil
import sys
import tempfile

from three_boards import FLAGS, PATIENCE_MS, ROOT, small

sys.path[:0] = [str(ROOT / name) for name in ("src", "tests", "bench")]

from playwright.sync_api import Browser, Page, expect, sync_playwright
from screens_bench import served

SAID = {
    "Shelf": "Every board, kept as it was left, with what can be done to it as a whole.",
    "New board": "Three beginnings: blocks, an empty grid, a file (TOML, SVG or DXF).",
    "Shop": "What machines, hands and boards allow; each default with where it comes from.",
    "Drawing": "The board under the pen; beside it seams, size, woods and what the plan comes to.",
    "Blocks in rows": "Which block stands where and how it lies; sashing, cornerstones, borders.",
    "Looks": "As wood, in light and dark, and as people see it who mix up colours.",
    "Will it hold": "Verdicts worst first, each lights its place; seasons, loads and woods to try.",
    "Fit": "Where seams may miss, which settings matter; measured sizes change the rest.",
    "Boards": "The rack: every board drawn with its flaws and what is set aside.",
    "Boards to cut": "Which stick from which board, cut by cut; what has to be bought.",
    "Quote": "Wood, hours, glue, finish, overhead and margin, and a page for the customer.",
    "Order of work": "Step by step, each a drawing; glue-ups pulled apart and turned.",
    "Other ways": "Plans side by side with what each trades; why; near misses to try.",
    "Words": "Every word of the trade that the screens use, explained.",
    "Papers": "What to print, how far it is, each page looked at before it is taken.",
}


def rooms(page: Page, selector: str) -> list[tuple[str, str]]:
    """Names and addresses of the links in a navigation."""
    links = page.locator(f"{selector} a").all()
    return [(link.inner_text(), str(link.get_attribute("href"))) for link in links]


def prepared(page: Page, name: str) -> None:
    """Whatever a screen needs to be worth a picture."""
    if name == "Drawing":
        expect(page.locator("#doing")).to_have_text("Planned and proven", timeout=PATIENCE_MS)
    if name == "Will it hold":
        expect(page.locator("#doing")).to_have_text("Reckoned", timeout=PATIENCE_MS)
    if name == "Order of work":
        page.locator(".steps a", has_text="Glue up").first.click()
        expect(page.locator("#apart svg")).to_be_visible(timeout=PATIENCE_MS)
    if name == "Other ways":
        page.get_by_role("button", name="Work out other ways").click()
        expect(page.locator(".compare")).to_be_visible(timeout=PATIENCE_MS)
    if name == "Papers":
        page.get_by_role("button", name="Make the papers").click()
        look = page.get_by_role("link", name="Look at bench-sheets-letter.pdf")
        look.click(timeout=PATIENCE_MS)
        page.locator(".sheetview img").evaluate("picture => picture.decode()")


def taken(browser: Browser, address: str) -> list[str]:
    """All pictures; the lines of the page."""
    context = browser.new_context(base_url=address, viewport={"width": 1280, "height": 900})
    page = context.new_page()
    page.set_default_timeout(60_000)
    page.goto("/")
    board = str(page.locator(".card .look").last.get_attribute("href"))
    visits = [*rooms(page, ".top nav"), ("Words", "/words")]
    page.goto(board)
    visits += rooms(page, ".tabs")
    lines: list[str] = []
    for name, place in visits:
        page.goto(place)
        prepared(page, name)
        key = re.sub(r"[^a-z]+", "-", name.lower()).strip("-")
        small(page.screenshot(), key)
        lines += ["", f"## {name}", "", f"![{name}](../pictures/screens/{key}.png)"]
        lines += ["", SAID[name]] if name in SAID else []
    context.close()
    narrow = browser.new_context(
        base_url=address, viewport={"width": 390, "height": 844}, color_scheme="dark"
    )
    page = narrow.new_page()
    page.goto(board)
    expect(page.locator("#board .wood").first).to_be_visible(timeout=PATIENCE_MS)
    small(page.screenshot(), "drawing-narrow", width=390)
    lines += ["", "## By night, on a telephone", ""]
    lines.append("![The drawing on a narrow dark screen](../pictures/screens/drawing-narrow.png)")
    narrow.close()
    return lines


def main() -> int:
    lines = ["# The shop on screen", "", "`seamwright serve` opens it in the browser. Each edit is"]
    lines += ["kept at once. Pictures by `docs/screen_pictures.py`, of the demo board."]
    with (
        tempfile.TemporaryDirectory() as folder,
        sync_playwright() as play,
        served(f"sqlite:///{folder}/shop.db") as (address, _, _),
    ):
        browser = play.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        lines += taken(browser, address)
        browser.close()
    (ROOT / "docs" / "howto" / "screens.md").write_text("\n".join(lines) + "\n", "utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
