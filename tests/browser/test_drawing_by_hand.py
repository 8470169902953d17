"""The pens of the drawing screen and the rows of blocks, by mouse, keyboard and finger."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page, expect

pytestmark = pytest.mark.browser
EDGE = """board => {
  board.scrollIntoView({ block: "nearest" });
  const edge = board.querySelector(".edge").getBoundingClientRect();
  return [edge.x, edge.y, edge.width, edge.height];
}"""


def begin_grid(page: Page, *, columns: int, rows: int) -> None:
    page.goto("/begin")
    page.get_by_label("An empty grid").check()
    for name, value in (("width", "12"), ("height", "12"), ("columns", columns), ("rows", rows)):
        page.locator(f"input[name={name}]").fill(str(value))
    page.get_by_role("button", name="Begin").click()
    page.wait_for_url("**/drawing")
    expect(page.locator("#board .wood")).to_have_count(columns * rows)


def at(page: Page, x: float, y: float) -> tuple[float, float]:
    """Where a place of the board, in shares of it from the lower left, lies on the screen."""
    left, top, wide, high = page.locator("#board").evaluate(EDGE)
    return left + x * wide, top + (1 - y) * high


def pen(page: Page, name: str) -> None:
    page.locator(f"input[name=pen][value={name}]").check()


def widths(page: Page) -> list[str]:
    """Sizes of the patches as the table tells them."""
    return [row.locator("td").last.inner_text() for row in page.locator("#patches tr").all()]


def open_table(page: Page) -> None:
    page.get_by_text("The patches as a table").click()


def test_a_seam_is_dragged_and_its_whole_line_goes_along(open_page) -> None:
    page = open_page()
    begin_grid(page, columns=2, rows=2)
    open_table(page)
    pen(page, "move")
    page.mouse.move(*at(page, 0.5, 0.2))
    page.mouse.down()
    page.mouse.move(*at(page, 0.6, 0.2), steps=4)
    expect(page.locator("#board line.band")).to_have_count(2)
    page.mouse.move(*at(page, 0.75, 0.2), steps=4)
    page.mouse.up()
    expect(page.locator("#edit")).to_have_text("state 2, kept")
    assert [text.split(" ")[0] for text in widths(page)] == ["9″", "3″"] * 2


def test_one_stretch_of_a_seam_is_moved_as_far_as_is_typed(open_page) -> None:
    page = open_page()
    begin_grid(page, columns=2, rows=2)
    open_table(page)
    pen(page, "move")
    page.mouse.click(*at(page, 0.5, 0.2))
    page.get_by_label("Only between the nearest crossings").check()
    page.get_by_label("Move this seam by").fill("-1 1/2")
    page.get_by_role("button", name="Move it").click()
    expect(page.locator("#edit")).to_have_text("state 2, kept")
    assert [text.split(" ×")[0] for text in widths(page)] == ["6″", "6″", "4-1/2″", "7-1/2″"]


def test_seams_stand_in_their_class_and_are_told_under_the_pen(open_page) -> None:
    page = open_page()
    begin_grid(page, columns=2, rows=2)
    weak = page.locator("#board .seam.end-grain:not(.halo)")
    expect(weak).to_have_count(2)
    expect(page.locator("#shares li")).to_have_count(2)
    pen(page, "fill")
    page.mouse.click(*at(page, 0.25, 0.25))
    expect(page.locator("#edit")).to_have_text("state 2, kept")
    expect(weak).to_have_count(2)
    pen(page, "grain")
    page.mouse.click(*at(page, 0.25, 0.25))
    expect(page.locator("#edit")).to_have_text("state 3, kept")
    expect(weak).to_have_count(3)
    pen(page, "join")
    page.mouse.move(*at(page, 0.75, 0.5))
    expect(page.locator("#status")).to_contain_text("end grain")
    page.mouse.move(*at(page, 0.5, 0.75))
    expect(page.locator("#status")).to_contain_text("long grain")
    page.locator("#classes").uncheck()
    expect(weak).to_have_count(0)


def test_what_the_pen_did_is_taken_back_where_it_is_refused(open_page) -> None:
    page = open_page()
    begin_grid(page, columns=2, rows=1)
    stale = open_page(refusals=True)
    stale.goto(page.url)
    first = stale.locator("#board .wood").first
    before = first.get_attribute("fill")
    pen(page, "grain")
    page.mouse.click(*at(page, 0.75, 0.5))
    expect(page.locator("#edit")).to_have_text("state 2, kept")
    pen(stale, "grain")
    stale.mouse.click(*at(stale, 0.25, 0.5))
    expect(stale.locator("#wrong")).to_be_visible()
    expect(first).to_have_attribute("fill", before)


def test_a_seam_moved_too_far_is_refused_in_words(open_page) -> None:
    page = open_page(refusals=True)
    begin_grid(page, columns=2, rows=1)
    pen(page, "move")
    page.mouse.click(*at(page, 0.5, 0.2))
    page.get_by_label("Move this seam by").fill("7")
    page.get_by_role("button", name="Move it").click()
    expect(page.locator("#wrong")).to_contain_text("it would run over another")
    expect(page.locator("#edit")).to_have_text("state 1, kept")


def test_a_seam_is_moved_by_keyboard(open_page) -> None:
    page = open_page()
    begin_grid(page, columns=2, rows=1)
    open_table(page)
    page.locator("#board").focus()
    for key in (
        "m",
        *["Shift+ArrowRight"] * 6,
        "ArrowUp",
        "Enter",
        *["Shift+ArrowRight"] * 3,
        "Enter",
    ):
        page.keyboard.press(key)
    expect(page.locator("#edit")).to_have_text("state 2, kept")
    assert [text.split(" ×")[0] for text in widths(page)] == ["9″", "3″"]


def test_chosen_patches_change_together_and_become_a_block(open_page) -> None:
    page = open_page(refusals=True)
    begin_grid(page, columns=4, rows=4)
    pen(page, "choose")
    page.mouse.move(*at(page, 0.02, 0.02))
    page.mouse.down()
    page.mouse.move(*at(page, 0.52, 0.52), steps=4)
    page.mouse.up()
    expect(page.locator("#chosen-count")).to_have_text("4 of 16 patches")
    page.locator("input[name=wood][value=B]").click()
    page.mouse.click(*at(page, 0.1, 0.1))
    expect(page.locator("#edit")).to_have_text("state 2, kept")
    page.get_by_label("Grain: up, across, or degrees").fill("sideways")
    page.get_by_role("button", name="Set the grain").click()
    expect(page.locator("#wrong")).to_contain_text("is no direction")
    page.get_by_label("Grain: up, across, or degrees").fill("across")
    page.get_by_role("button", name="Set the grain").click()
    expect(page.locator("#edit")).to_have_text("state 3, kept")
    boards = page.get_by_label("Boards", exact=True)
    boards.fill("two")
    page.get_by_role("button", name="Set the size").click()
    expect(page.locator("#wrong")).to_contain_text("'two' is no whole number")
    expect(boards).to_have_value("two")
    open_table(page)
    changed = page.locator("#patches tr", has_text="B black walnut").filter(has_text="across")
    expect(changed).to_have_count(4)
    pen(page, "choose")
    page.mouse.click(*at(page, 0.9, 0.9))
    page.get_by_label("Keep them as a block named").fill("Walnut four")
    page.get_by_role("button", name="Make a block").click()
    expect(page.locator("#wrong")).to_contain_text("fill no rectangle")
    page.mouse.click(*at(page, 0.9, 0.9))
    expect(page.locator("#chosen-count")).to_have_text("4 of 16 patches")
    page.get_by_role("button", name="Make a block").click()
    expect(page.locator("#status")).to_contain_text("Kept as block walnut-four")
    page.goto("/begin")
    page.locator("[name=first]").select_option("walnut-four")
    page.locator("[name=across]").fill("2")
    page.get_by_role("button", name="Begin").click()
    page.wait_for_url("**/drawing")
    open_table(page)
    expect(page.locator("#patches")).to_contain_text("A1·4")


def test_blocks_are_turned_and_edged_in_rows(open_page) -> None:
    page = open_page(refusals=True)
    page.goto("/begin")
    for name, value in (("size", "5"), ("sashing", ""), ("border", "")):
        page.locator(f"[name={name}]").fill(value)
    page.locator("[name=first]").select_option("log cabin")
    page.get_by_role("button", name="Begin").click()
    page.wait_for_url("**/drawing")
    page.get_by_role("link", name="Blocks in rows").click()
    page.wait_for_url("**/rows")
    page.get_by_role("button", name="Row 1, place 2: first").click()
    expect(page.locator("#cell-0-1")).to_have_attribute(
        "aria-label", "Row 1, place 2: first turned 90"
    )
    page.locator("[name=pen][value=m]").check()
    page.locator("#cell-1-0").click()
    expect(page.locator("#cell-1-0")).to_have_attribute(
        "aria-label", "Row 2, place 1: first mirrored"
    )
    page.get_by_label("Width of sashing").fill("1/2")
    page.get_by_label("Cornerstones").select_option("C")
    page.get_by_label("Width of the border").fill("1 1/4")
    page.get_by_role("button", name="Set the strips").click()
    expect(page.locator("main")).to_contain_text("18-1/2″ × 13″")
    page.locator("[name=across]").fill("4")
    page.get_by_role("button", name="Set the rows").click()
    expect(page.locator(".setting button")).to_have_count(8)
    page.locator("[name=name]").select_option("pinwheel")
    page.locator("[name=size]").fill("5")
    page.get_by_role("button", name="Add the block").click()
    page.locator("[name=pen][value='block:pinwheel']").check()
    page.locator("#cell-0-3").click()
    expect(page.locator("#cell-0-3")).to_have_attribute("aria-label", "Row 1, place 4: pinwheel")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#cell-0-3")).to_have_attribute("aria-label", "Row 1, place 4: first")
    page.get_by_label("Width of sashing").fill("wide")
    page.get_by_role("button", name="Set the strips").click()
    expect(page.get_by_role("alert")).to_contain_text("wide")


def test_a_board_drawn_by_hand_is_set_in_rows(open_page) -> None:
    page = open_page()
    begin_grid(page, columns=2, rows=1)
    page.mouse.click(*at(page, 0, 0))
    page.mouse.click(*at(page, 1, 1))
    expect(page.locator("#board .wood")).to_have_count(4)
    page.get_by_role("link", name="Blocks in rows").click()
    page.get_by_role("button", name="Make the board one block").click()
    page.locator("[name=across]").fill("2")
    page.get_by_role("button", name="Set the rows").click()
    expect(page.locator("main")).to_contain_text("8 patches")


def test_a_finger_draws_as_the_mouse_does(chromium: Browser, shop) -> None:
    context = chromium.new_context(
        viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True,
        base_url=shop.address, reduced_motion="reduce",
    )  # fmt: skip
    page = context.new_page()
    wrong: list[str] = []
    page.on("pageerror", lambda error: wrong.append(str(error)))
    begin_grid(page, columns=2, rows=1)
    page.locator("#board").scroll_into_view_if_needed()
    page.touchscreen.tap(*at(page, 0.25, 0))
    page.touchscreen.tap(*at(page, 0.25, 1))
    expect(page.locator("#board .wood")).to_have_count(3)
    page.locator("label", has=page.locator("input[name=wood][value=B]")).tap()
    page.locator("#board").scroll_into_view_if_needed()
    page.touchscreen.tap(*at(page, 0.1, 0.5))
    expect(page.locator("#edit")).to_have_text("state 3, kept")
    hand = context.new_cdp_session(page)
    path = [at(page, 0.5 + share / 10, 0.5) for share in range(4)]
    pen(page, "move")
    for kind, (x, y) in (("touchStart", path[0]), *(("touchMove", p) for p in path)):
        hand.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": x, "y": y}]})
    hand.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    expect(page.locator("#edit")).to_have_text("state 4, kept")
    assert page.evaluate("() => document.documentElement.scrollWidth <= innerWidth")
    context.close()
    assert wrong == []
