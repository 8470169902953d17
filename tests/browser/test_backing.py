"""The backing of an overlay is set on the drawing screen, and taken back."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from fakes.screens import WIDTHS, begin_from, findings

pytestmark = pytest.mark.browser
BOARD = """unit = "in"
thickness = "3/4"
woods = { A = "sugar maple", B = "black walnut" }
block.turn = { from = "pinwheel", size = "8" }
"""


@pytest.mark.parametrize("light", ["light", "dark"])
@pytest.mark.parametrize(("width", "height"), WIDTHS)
def test_a_face_gets_its_backing_here(open_page, light, width, height) -> None:
    page = open_page(width, height, light, refusals=True)
    begin_from(page, BOARD)
    form = page.locator("#base")
    # by keyboard: from "It runs through" to "A thin face on a panel"
    form.get_by_label("It runs through").focus()
    page.keyboard.press("ArrowDown")
    expect(form.get_by_label("Thickness of the board")).to_be_hidden()
    expect(form.get_by_label("Thickness of the face")).to_have_value("1/8")
    # two faults, each beside its field, and nothing is changed
    form.get_by_label("Panel", exact=True).fill("")
    form.get_by_label("Thickness of the backing").fill("thick")
    form.get_by_role("button", name="Set the backing").click()
    for name in ("panel", "thickness"):
        field = form.locator(f"input[name={name}]:not([type=radio])")
        expect(field).to_have_attribute("aria-invalid", "true")
    expect(form.locator(".why")).to_have_count(2)
    expect(form.locator("input[name=panel]")).to_be_focused()
    expect(page.locator("#wrong")).to_be_hidden()
    expect(page.locator("#edit")).to_have_text("state 1, kept")
    assert findings(page) == []
    form.locator("input[name=panel]").fill("birch plywood")
    form.locator("input[name=thickness]").fill("1/2")
    form.get_by_role("button", name="Set the backing").click()
    expect(page.locator("#base-words")).to_contain_text("3/4″")
    expect(form.locator(".why")).to_have_count(0)
    expect(page.locator("#edit")).to_have_text("state 2, kept")
    expect(page.locator("#doing")).to_have_text("Planned and proven", timeout=60_000)
    assert findings(page) == []
    assert not page.evaluate("() => document.documentElement.scrollWidth > innerWidth")
    page.reload()
    expect(form.get_by_label("A thin face on a panel")).to_be_checked()
    page.get_by_role("button", name="Undo").click()
    expect(form.get_by_label("It runs through")).to_be_checked()
    expect(form.get_by_label("Thickness of the board")).to_have_value("3/4")


def test_solid_wood_is_one_of_the_woods_and_turns_with_the_board(open_page) -> None:
    page = open_page()
    begin_from(page, BOARD)
    form = page.locator("#base")
    form.get_by_label("A thin face on solid wood").check()
    form.get_by_label("Wood of the backing").select_option("B")
    form.get_by_label("Its grain").fill("up")
    form.get_by_label("Balancing veneer").select_option("bought")
    form.get_by_role("button", name="Set the backing").click()
    expect(page.locator("#base-words")).to_contain_text("3/4″")
    page.get_by_role("button", name="Turn a quarter").click()
    expect(form.get_by_label("Its grain")).to_have_value("across")
    expect(form.get_by_label("Wood of the backing")).to_have_value("B")
    expect(form.get_by_label("Balancing veneer")).to_have_value("bought")
    # what is made for it is in the order of work, step by step with its drawing
    form.get_by_label("Balancing veneer").select_option("A")
    form.get_by_role("button", name="Set the backing").click()
    expect(page.locator("#doing")).to_have_text("Planned and proven", timeout=60_000)
    page.get_by_role("link", name="See the order of work").click()
    page.get_by_role("link", name="to Veneer").click()
    expect(page.get_by_role("heading", name="to Veneer")).to_be_visible()
