"""Boards on hand on screen: flaws dragged on, cuts stepped through, used up; the quote."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pdfplumber
import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from browser.test_screens_for_everyone import WIDTHS, findings

pytestmark = pytest.mark.browser
WORK_MS = 180_000
LIGHTS = ("light", "dark", "dark")


def demo_boards(page: Page) -> None:
    page.goto("/boards")
    if page.get_by_role("button", name="Try it with our demo boards").count():
        page.get_by_role("button", name="Try it with our demo boards").click()
    expect(page.locator(".plank").first).to_be_visible()


def job(page: Page) -> str:
    page.goto("/")
    address = page.locator(".card .look").last.get_attribute("href")
    assert address is not None
    return address.removesuffix("/drawing")


def test_a_board_is_typed_and_its_flaws_are_dragged_on(open_page, tmp_path: Path) -> None:
    page = open_page(refusals=True)
    demo_boards(page)
    page.get_by_label("Mark, chalked on the board").fill("Oak 1")
    page.locator("form [name=wood]").fill("hard maple")
    page.get_by_label("Width, across the grain").fill("200")
    page.get_by_label("Length, along the grain").fill("long")
    page.get_by_role("button", name="Put it on the rack").click()
    expect(page.get_by_role("alert")).to_contain_text("the length cannot be read")
    page.get_by_label("Length, along the grain").fill("1000")
    page.get_by_role("button", name="Put it on the rack").click()
    page.wait_for_url("**/board?name=Oak%201")
    expect(page.locator("main")).to_contain_text("sugar maple board, rough 5/4")
    page.locator("#kind").select_option("stain")
    box = page.locator("#face").bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 0.2 * box["width"], box["y"] + 0.75 * box["height"])
    page.mouse.down()
    page.mouse.move(box["x"] + 0.3 * box["width"], box["y"] + 0.5 * box["height"], steps=3)
    expect(page.locator("#face .rubber")).to_have_count(1)
    page.mouse.up()
    expect(page.locator(".offer")).to_contain_text("stain, 100 × 50 mm at 200 mm along and 50 mm")
    for key, value in (("x", "900"), ("y", "0"), ("length", "500"), ("width", "10")):
        page.locator(f"form input[name={key}]").fill(value)
    page.get_by_role("button", name="Mark it").click()
    expect(page.get_by_role("alert")).to_contain_text("reaches outside the board")
    picture = tmp_path / "face.png"
    Image.new("RGB", (40, 10), "#cc9966").save(picture)
    page.locator("input[type=file]").set_input_files(picture)
    page.get_by_role("button", name="Lay it under").click()
    expect(page.locator("#face image")).to_have_count(1)
    page.get_by_role("button", name="Take off flaw 1").click()
    expect(page.locator("main")).to_contain_text("None marked")
    page.get_by_role("button", name="Take the board off the rack").click()
    page.wait_for_url("**/boards")
    expect(page.locator(".plank h2", has_text="Oak 1")).to_have_count(0)


@pytest.mark.parametrize(("size", "light"), list(zip(WIDTHS, LIGHTS, strict=True)))
def test_screens_of_wood(open_page, size: tuple[int, int], light: str) -> None:
    page = open_page(*size, light)
    demo_boards(page)
    home = job(page)
    page.goto(f"{home}/wood?go=1")
    expect(page.locator(".cuts")).to_be_visible(timeout=WORK_MS)
    wrong = {}
    for screen in (
        "/boards",
        "/board?name=M2",
        f"{home}/wood",
        f"{home}/wood?cut=2",
        f"{home}/quote",
    ):
        page.goto(screen)
        expect(page.get_by_role("heading", level=1)).to_be_visible()
        page.evaluate("() => document.querySelectorAll('details').forEach(d => { d.open = true })")
        found = findings(page)
        if page.evaluate("() => document.documentElement.scrollWidth > innerWidth"):
            found.append("the page is wider than the window")
        if found:
            wrong[screen] = found
    assert wrong == {}


def test_a_board_is_cut_and_used_up(open_page) -> None:
    page = open_page()
    demo_boards(page)
    home = job(page)
    page.goto(f"{home}/wood")
    page.get_by_role("button", name="Plan the cuts").click()
    expect(page.locator(".cuts")).to_be_visible(timeout=WORK_MS)
    expect(page.locator(".proven")).to_contain_text("the best possible")
    last = page.locator(".cuts .now").inner_text()
    page.keyboard.press("ArrowLeft")
    expect(page.locator(".cuts .now")).not_to_have_text(last)
    expect(page.locator(".long text.c").first).to_be_visible()
    before = page.locator(".long text.c").count()
    page.get_by_role("link", name="Next cut").click()
    expect(page.locator(".long text.c")).to_have_count(before + 1)
    with page.expect_download() as sheet:
        page.get_by_role("link", name="Save as a table").click()
    assert sheet.value.path().read_bytes().decode("utf-8-sig").startswith("wood,size,what")
    first = page.locator(".steps a").first.inner_text().split(" · ")[0]
    page.get_by_role("button", name="Set the boards aside").click()
    expect(page.locator(".good")).to_contain_text("set aside for this job")
    page.goto("/boards")
    card = page.locator(".plank", has=page.get_by_role("heading", name=first, exact=True))
    expect(card).to_contain_text("set aside for Reading-desk panel")
    page.goto(f"{home}/quote")
    expect(page.locator(".money .total")).to_be_visible()
    pdf = page.request.get(page.get_by_role("link", name="The page (PDF)").get_attribute("href"))
    with pdfplumber.open(io.BytesIO(pdf.body())) as pages:
        assert len(pages.pages) == 1
        assert page.locator(".money .total").inner_text() in pages.pages[0].extract_text()
    page.goto(f"{home}/wood")
    page.get_by_role("button", name="They are cut: use them up").click()
    expect(page.get_by_role("status")).to_contain_text("used up")
    page.goto("/boards")
    expect(page.get_by_role("heading", name=first, exact=True)).to_have_count(0)
    expect(page.locator(".plank h2", has_text=re.compile(r"^\w+-1$")).first).to_be_visible()


def test_papers_have_the_boards_to_cut(open_page) -> None:
    page = open_page()
    demo_boards(page)
    home = job(page)
    page.goto(f"{home}/papers")
    expect(page.locator("#choose")).to_be_visible(timeout=WORK_MS)
    for tick in page.locator("#choose input[type=checkbox]").all():
        tick.set_checked(tick.get_attribute("value") == "boards")
    page.get_by_role("button", name="Make the papers").click()
    expect(page.get_by_role("heading", name="Boards to cut")).to_be_visible(timeout=WORK_MS)
    page.get_by_role("link", name="Look at boards-letter.pdf").click()
    expect(page.locator("#look img")).to_be_visible()
    expect(page.locator("#look figcaption")).to_contain_text("boards-letter.pdf, page 1 of")
    wrong = findings(page)
    assert not wrong, wrong
