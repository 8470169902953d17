"""Every screen at three widths, by day and by night: axe-core is silent, nothing sticks out."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from fakes.screens import WIDTHS, findings

pytestmark = pytest.mark.browser

FAULTY = """<!doctype html><html lang="en"><head><title>Planted</title><style>
button { width: 12px; height: 12px; padding: 0; border: 0; margin: 0; font-size: 4px }
p { color: #bbb }
</style></head><body><main><h1>Planted faults</h1><p>Too pale to read.</p>
<button>a</button><button>b</button><img src="data:image/gif;base64,R0lGODlhAQABAAAAACw=">
</main></body></html>"""


def test_planted_faults_are_found(open_page) -> None:
    page = open_page()
    page.set_content(FAULTY)
    found = {line.partition(":")[0] for line in findings(page)}
    assert found >= {"color-contrast", "image-alt", "target-size"}


@pytest.mark.parametrize("light", ["light", "dark"])
@pytest.mark.parametrize(("width", "height"), WIDTHS)
def test_screens(open_page, light: str, width: int, height: int) -> None:
    page = open_page(width, height, light)
    page.goto("/")
    board = page.locator(".card .look").last.get_attribute("href")
    assert board is not None
    job = board.removesuffix("/drawing")
    page.goto(board)
    expect(page.locator("#doing")).to_have_text("Planned and proven", timeout=60_000)
    wrong = {}
    screens = (
        "/",
        "/?away=1",
        "/begin",
        "/shop",
        "/words",
        board,
        f"{job}/rows",
        f"{job}/looks",
        f"{job}/sound",
        f"{job}/order",
        f"{job}/fit",
        f"{job}/ways",
        f"{job}/order/30",
        f"{job}/papers",
    )
    for screen in screens:
        page.goto(screen)
        expect(page.get_by_role("heading", level=1)).to_be_visible()
        page.evaluate("() => document.querySelectorAll('details').forEach(d => { d.open = true })")
        found = findings(page)
        if page.evaluate("() => document.documentElement.scrollWidth > innerWidth"):
            found.append("the page is wider than the window")
        if found:
            wrong[screen] = found
    assert wrong == {}


def test_light_and_units_are_kept(open_page) -> None:
    page = open_page()
    page.goto("/")
    page.get_by_label("Light").select_option("dark")
    expect(page.locator("html")).to_have_attribute("data-theme", "dark")
    page.get_by_label("Units").select_option("mm")
    page.wait_for_load_state("networkidle")
    page.goto("/begin")
    expect(page.locator("html")).to_have_attribute("data-theme", "dark")
    expect(page.get_by_label("Units")).to_have_value("mm")


def test_the_notes_of_the_first_start_can_be_put_away(open_page) -> None:
    page = open_page()
    page.goto("/")
    expect(page.locator(".card h2").last).to_have_text("Reading-desk panel")
    page.get_by_role("button", name="Put these notes away").click()
    expect(page.locator(".tour")).to_have_count(0)
    page.goto("/")
    expect(page.locator(".tour")).to_have_count(0)


def test_a_word_of_the_trade_is_explained(open_page) -> None:
    page = open_page()
    page.goto("/")
    page.locator(".card .look").last.click()
    # the page's script has run: what it puts in place closes what was opened before
    expect(page.locator("#file button")).to_be_enabled()
    page.get_by_role("button", name="locked").click()
    expect(page.locator("#term-locked")).to_be_visible()
