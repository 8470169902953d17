"""Whole jobs done by hand: by clicks alone, by keyboard alone, across a power cut."""

from __future__ import annotations

import csv
import io
import re
import signal
import zipfile

import pdfplumber
import pytest
from playwright.sync_api import Locator, Page, expect

pytestmark = pytest.mark.browser
PLAN_MS = 180_000

# After every link and form the tests wait for the address: what is clicked or pressed before a page
# has loaded its scripts is nobody's.


def begin_blocks(page: Page) -> None:
    """A new board of two blocks in turn."""
    page.goto("/")
    page.get_by_role("link", name="Begin a board").click()
    page.get_by_label("Name").fill("Two stars")
    page.locator("[name=first]").select_option("sawtooth star")
    page.locator("[name=second]").select_option("nine patch")
    for name, value in (("size", "6"), ("across", "2"), ("down", "1")):
        page.locator(f"[name={name}]").fill(value)
    page.get_by_role("button", name="Begin").click()
    page.wait_for_url("**/drawing")
    expect(page.get_by_role("heading", level=1)).to_have_text("Two stars")


def begin_grid(page: Page, *, columns: int, rows: int) -> None:
    page.goto("/begin")
    page.get_by_label("Name").fill("Grid")
    page.get_by_label("An empty grid").check()
    page.get_by_label("Width", exact=True).fill("15")
    page.get_by_label("Height").fill("15")
    page.get_by_label("Columns").fill(str(columns))
    page.locator("input[name=rows]").fill(str(rows))
    page.get_by_role("button", name="Begin").click()
    page.wait_for_url("**/drawing")
    expect(page.locator("#board .wood")).to_have_count(columns * rows)


def at(page: Page, x: float, y: float) -> tuple[float, float]:
    """Where a place of the board, in shares of it from the lower left, lies on the screen."""
    # the board is drawn anew when the room beside it changes: look again where it was just gone
    for _ in range(50):
        edge = page.locator("#board .edge").bounding_box()
        if edge is not None:
            break
        page.wait_for_timeout(20)
    assert edge is not None
    return edge["x"] + x * edge["width"], edge["y"] + (1 - y) * edge["height"]


def click(page: Page, x: float, y: float) -> None:
    page.mouse.click(*at(page, x, y))


def pen(page: Page, name: str) -> None:
    page.locator(f"input[name=pen][value={name}]").check()


def drag_across(page: Page, thing: Locator, *, by: float) -> None:
    thing.scroll_into_view_if_needed()
    box = thing.bounding_box()
    assert box
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + by, y, steps=6)
    page.mouse.up()


def test_a_whole_job_by_clicks(open_page) -> None:
    page = open_page()
    begin_blocks(page)
    expect(page.locator("#doing")).to_have_text("Planned and proven", timeout=PLAN_MS)
    expect(page.locator("#sums")).to_contain_text("glue-ups")
    page.locator("input[name=wood][value=C]").click()
    click(page, 0.02, 0.02)
    expect(page.locator("#edit")).to_have_text("state 2, kept")
    page.get_by_text("The patches as a table").click()
    expect(page.locator("#patches")).to_contain_text("C black cherry")
    expect(page.locator("#doing")).to_have_text("Planned and proven", timeout=PLAN_MS)
    page.get_by_role("link", name="See the order of work").click()
    page.wait_for_url("**/order")
    expect(page.locator(".proven")).to_contain_text("the board is the drawing")
    steps = page.locator(".steps li")
    assert steps.count() > 5
    with page.expect_navigation():
        page.locator(".steps a", has_text="Glue up").first.click()
    face = page.locator("#apart svg path").first
    before = face.get_attribute("d")
    page.locator("#round").fill("-40")
    expect(face).not_to_have_attribute("d", before)
    turned = face.get_attribute("d")
    drag_across(page, page.locator("#apart"), by=-90)
    expect(page.locator("#round")).to_have_value("4")
    expect(face).not_to_have_attribute("d", turned)
    page.get_by_role("link", name="Papers").click()
    page.wait_for_url("**/papers")
    page.get_by_role("button", name="Make the papers").click()
    everything = page.get_by_role("link", name="Take all of them")
    expect(everything).to_be_visible(timeout=PLAN_MS)
    page.get_by_role("link", name="Look at bench-sheets-letter.pdf").click()
    page.get_by_role("link", name="Page 2").click()
    picture = page.locator(".sheetview img")
    expect(picture).to_have_attribute("alt", re.compile("Page 2 of bench-sheets-letter.pdf"))
    assert picture.evaluate("picture => picture.decode().then(() => picture.naturalWidth)") == 1000
    with page.expect_download() as taken:
        everything.click()
    with zipfile.ZipFile(taken.value.path()) as papers:
        names = papers.namelist()
        with pdfplumber.open(io.BytesIO(papers.read("bench-sheets-letter.pdf"))) as sheets:
            text = "\n".join(sheet.extract_text() for sheet in sheets.pages)
        cuts = list(csv.reader(io.StringIO(papers.read("sticks.csv").decode("utf-8-sig"))))
    assert "Two stars" in text
    assert "black cherry" in text
    assert len(cuts) > 2
    assert {name.rsplit(".", 1)[-1] for name in names} >= {"pdf", "csv", "svg", "dxf"}


def swirl(page: Page) -> None:
    """Take four seams out of a grid of nine, so that five patches lock each other."""
    pen(page, "join")
    for number, (x, y) in enumerate(((1, 0.5), (2.5, 1), (2, 2.5), (0.5, 2)), start=2):
        click(page, x / 3, y / 3)
        expect(page.locator("#edit")).to_have_text(f"state {number}, kept")


def test_a_locked_drawing_is_named_and_mended(open_page) -> None:
    page = open_page()
    begin_grid(page, columns=3, rows=3)
    swirl(page)
    expect(page.locator("#split")).to_contain_text("These patches lock each other")
    expect(page.locator("#board .locked")).to_have_count(5)
    expect(page.locator("#board .added")).to_have_count(1)
    pen(page, "seam")
    click(page, 1 / 3, 1 / 3)
    click(page, 1 / 3, 0)
    expect(page.locator("#board .locked")).to_have_count(0)
    expect(page.locator("#split")).to_contain_text("Comes apart along straight seams")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#board .locked")).to_have_count(5)
    page.get_by_role("button", name="Redo").click()
    expect(page.locator("#board .locked")).to_have_count(0)
    expect(page.locator("#doing")).to_have_text("Planned and proven", timeout=PLAN_MS)


def test_a_drag_lays_a_seam_and_a_crossing_splits_all_it_crosses(open_page) -> None:
    page = open_page()
    begin_grid(page, columns=2, rows=1)
    page.mouse.move(*at(page, 0, 0))
    page.mouse.down()
    page.mouse.move(*at(page, 0.5, 0.4), steps=5)
    expect(page.locator("#board line.band")).to_have_count(2)
    page.mouse.move(*at(page, 1, 1), steps=5)
    page.mouse.up()
    expect(page.locator("#board .wood")).to_have_count(4)
    expect(page.locator("#words")).to_contain_text("4 patches")


def test_what_cannot_be_is_said_and_changes_nothing(open_page) -> None:
    page = open_page(refusals=True)
    begin_grid(page, columns=1, rows=1)
    click(page, 0, 0)
    click(page, 1, 0)
    expect(page.locator("#wrong")).to_contain_text("outside the board")
    expect(page.locator("#edit")).to_have_text("state 1, kept")


def test_sizes_are_typed(open_page) -> None:
    page = open_page()
    begin_grid(page, columns=2, rows=2)
    page.locator("#size [name=width]").fill("300 mm")
    page.locator("#size [name=height]").fill("8 1/2")
    page.get_by_role("button", name="Set the size").click()
    expect(page.locator("#words")).to_contain_text("300.0 × 215.9")


def test_a_whole_job_by_keyboard(open_page) -> None:
    page = open_page()
    press = page.keyboard.press
    page.goto("/begin")
    page.get_by_label("An empty grid").focus()
    press("Space")
    for name, value in (("width", "12"), ("height", "8"), ("columns", "2"), ("rows", "1")):
        page.locator(f"input[name={name}]").focus()
        press("Control+a")
        page.keyboard.type(value)
    press("Enter")
    page.wait_for_url("**/drawing")
    expect(page.locator("#board .wood")).to_have_count(2)
    page.locator("#board").focus()
    press("ArrowUp")
    for _ in range(3):
        press("Shift+ArrowUp")
    for _ in range(3):
        press("ArrowUp")
    press("Enter")
    for _ in range(12):
        press("Shift+ArrowRight")
    expect(page.locator("#status")).to_contain_text("12 in from the left, 4 in from below")
    press("Enter")
    expect(page.locator("#board .wood")).to_have_count(4)
    press("g")
    press("ArrowUp")
    press("ArrowLeft")
    press("Enter")
    expect(page.locator("#edit")).to_have_text("state 3, kept")
    press("z")
    expect(page.locator("#edit")).to_have_text("state 2, kept")
    press("y")
    expect(page.locator("#edit")).to_have_text("state 3, kept")
    expect(page.locator("#doing")).to_have_text("Planned and proven", timeout=PLAN_MS)
    page.get_by_role("link", name="See the order of work").focus()
    press("Enter")
    page.wait_for_url("**/order")
    expect(page.locator(".number")).to_have_text("1")
    press("ArrowRight")
    expect(page.locator(".number")).to_have_text("2")
    page.get_by_role("link", name="Papers").focus()
    press("Enter")
    page.wait_for_url("**/papers")
    page.get_by_role("button", name="Make the papers").focus()
    press("Enter")
    sheets = page.get_by_role("link", name="Keep bench-sheets-letter.pdf")
    expect(sheets).to_be_visible(timeout=PLAN_MS)
    sheets.focus()
    with page.expect_download() as taken:
        press("Enter")
    assert taken.value.path().read_bytes().startswith(b"%PDF")


def test_a_change_of_the_shop_plans_anew(open_page) -> None:
    page = open_page(refusals=True)
    begin_grid(page, columns=2, rows=2)
    expect(page.locator("#doing")).to_have_text("Planned and proven", timeout=PLAN_MS)
    board = page.url
    before = page.locator("#sums").inner_text()
    page.goto("/shop")
    page.locator("[id='minutes.glue_up']").fill("60")
    page.get_by_role("button", name="Keep these values").click()
    expect(page.get_by_role("status")).to_contain_text("Kept")
    page.goto(board)
    expect(page.locator("#doing")).to_have_text("Planned and proven", timeout=PLAN_MS)
    assert page.locator("#sums").inner_text() != before
    page.goto("/shop")
    page.locator("[id='saws.table_kerf']").fill("thin")
    page.get_by_role("button", name="Keep these values").click()
    expect(page.get_by_role("alert")).to_contain_text("saws.table_kerf")
    page.get_by_role("button", name="Back to the defaults").click()
    expect(page.get_by_role("status")).to_contain_text("Kept")


def test_a_drawing_as_svg_is_taken_in_and_a_curve_refused(open_page) -> None:
    page = open_page(refusals=True)

    def send(shapes: str) -> None:
        page.goto("/begin")
        page.get_by_label("From a file").check()
        svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 2 1">{shapes}</svg>'
        page.locator("input[name=file]").set_input_files(
            {"name": "own.svg", "mimeType": "image/svg+xml", "buffer": svg.encode()}
        )
        page.get_by_label("Width of a drawing").fill("10")
        page.get_by_role("button", name="Begin").click()

    left = '<rect width="1" height="1" fill="#ddccaa"/>'
    send(left + '<rect x="1" width="1" height="1" fill="#553322"/>')
    expect(page.locator("#board .wood")).to_have_count(2)
    expect(page.locator("#words")).to_contain_text("10″ × 5″")
    send(left + '<path d="M1 0 C2 0 2 1 1 1 Z" fill="#553322"/>')
    expect(page.get_by_role("alert")).to_contain_text("curve")
    expect(page.get_by_label("Width of a drawing")).to_have_value("10")


def test_nothing_is_lost_when_the_power_goes(open_page, shop) -> None:
    page = open_page()
    begin_grid(page, columns=3, rows=3)
    swirl(page)
    where = page.url.removeprefix(shop.address)
    page.goto("about:blank")
    shop.close(signal.SIGKILL)
    shop.open()
    page = open_page()
    page.goto(shop.address + where)
    expect(page.locator("#edit")).to_have_text("state 5, kept")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#edit")).to_have_text("state 4, kept")
