"""A star that locks: the ways to plan it are chosen on the drawing screen."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from fakes.screens import WIDTHS, begin_from, findings

pytestmark = pytest.mark.browser
STAR = """unit = "in"
thickness = "3/4"
woods = { A = "sugar maple", B = "black walnut", C = "black cherry" }
block.star = { from = "lemoyne star", size = "12" }
"""


@pytest.mark.parametrize("light", ["light", "dark"])
@pytest.mark.parametrize(("width", "height"), WIDTHS)
def test_the_way_through_what_locks_is_chosen_here(open_page, light, width, height) -> None:
    page = open_page(width, height, light)
    begin_from(page, STAR)
    ways = page.get_by_role("group", name="How it comes apart")
    expect(ways.get_by_role("radio")).to_have_count(3)
    expect(ways.get_by_label("The fewest seams added: 8")).to_be_checked()
    expect(page.locator("#doing")).to_have_text("Planned and proven", timeout=60_000)
    fewest = page.locator("#sums").inner_text()
    # by keyboard: two further
    ways.get_by_label("The fewest seams added: 8").focus()
    page.keyboard.press("ArrowDown")
    expect(page.locator("#board line.added")).to_have_count(0)
    expect(ways.get_by_label("No seam added")).to_be_checked()
    expect(ways.get_by_label("No seam added")).to_be_focused()
    page.keyboard.press("ArrowDown")
    expect(page.locator("#board line.added")).to_have_count(8)
    expect(ways.get_by_label("straight through its centre")).to_be_checked()
    expect(page.locator("#doing")).to_have_text("Planned and proven", timeout=60_000)
    expect(page.locator("#sums")).not_to_have_text(fewest, use_inner_text=True)
    assert findings(page) == []
    assert not page.evaluate("() => document.documentElement.scrollWidth > innerWidth")
    # kept with the job
    page.reload()
    expect(ways.get_by_label("straight through its centre")).to_be_checked()


def test_a_star_that_is_gone_leaves_a_way_back(open_page) -> None:
    page = open_page()
    begin_from(page, STAR)
    ways = page.get_by_role("group", name="How it comes apart")
    ways.get_by_label("straight through its centre").check()
    expect(page.locator("#board line.added")).to_have_count(8)
    page.get_by_text("The design as a file").click()
    page.get_by_label("Design file").fill(STAR.replace("lemoyne star", "ohio star"))
    page.get_by_role("button", name="Take it over").click()
    expect(page.locator("#faults")).to_contain_text("no star that locks", timeout=60_000)
    ways.get_by_label("Without them").check()
    expect(page.locator("#doing")).to_have_text("Planned and proven", timeout=60_000)
    expect(ways).to_be_hidden()
