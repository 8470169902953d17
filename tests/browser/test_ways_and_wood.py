"""Alternatives compared and followed, a near miss tried and taken back, the looks of the wood."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser
LONG_MS = 180_000


def begin(page: Page, text: str) -> str:
    """A board from a design file; its address."""
    page.goto("/begin")
    page.get_by_label("From a file").check()
    file = {"name": "own.toml", "mimeType": "text/plain", "buffer": text.encode()}
    page.locator("input[name=file]").set_input_files(file)
    page.get_by_role("button", name="Begin").click()
    page.wait_for_url("**/drawing")
    return page.url.removesuffix("/drawing")


def board(columns: str, woods: str = 'A = "sugar maple", B = "black walnut"') -> str:
    return (
        f'title = "Sixteen"\nunit = "mm"\nthickness = "20"\nwoods = {{ {woods} }}\n'
        f'[block.x]\ncolumns = "{columns}"\nrows = "40 40"\n'
        "cells = '''\nA B A B\nB A B A\n'''\n"
    )


def test_ways_are_compared_and_one_is_followed(open_page) -> None:
    page = open_page()
    page.goto("/")
    page.locator(".card .look").last.click()
    page.wait_for_url("**/drawing")
    job = page.url.removesuffix("/drawing")
    page.goto(f"{job}/ways")
    page.get_by_role("button", name="Work out other ways").click()
    rows = page.locator(".compare tbody tr")
    expect(rows.nth(1)).to_be_visible(timeout=LONG_MS)
    expect(rows.first).to_contain_text("followed")
    other = rows.nth(1).locator("th").inner_text()
    page.get_by_role("button", name=f"Follow: {other}").click()
    expect(rows.nth(1)).to_contain_text("followed")
    page.goto(f"{job}/order")
    expect(page.locator(".proven")).to_contain_text("the board is the drawing", timeout=LONG_MS)
    expect(page.locator(".proven")).to_contain_text(f"Way: {other}")
    page.goto(f"{job}/ways")
    page.get_by_role("button", name="Back to the cheapest").click()
    expect(page.locator("#ways")).to_contain_text("Followed now: The cheapest")


def test_a_near_miss_is_tried_and_taken_back(open_page) -> None:
    page = open_page()
    job = begin(page, board("40 40 41 40"))
    page.goto(f"{job}/ways")
    page.get_by_role("button", name="Ask why").click()
    expect(page.locator("#why li").first).to_be_visible(timeout=LONG_MS)
    page.get_by_role("button", name="Look for near misses").click()
    attempt = page.get_by_role("button", name="Try it").first
    expect(attempt).to_be_visible(timeout=LONG_MS)
    attempt.click()
    page.wait_for_url("**/drawing")
    expect(page.locator("#words")).to_contain_text("160.0 × 80.0")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#words")).to_contain_text("161.0 × 80.0")


def test_woods_too_close_are_named(open_page) -> None:
    page = open_page()
    job = begin(page, board("40 40 40 40", 'A = "sugar maple", B = "red maple"'))
    page.goto(f"{job}/looks", wait_until="domcontentloaded")
    expect(page.locator(".verdict")).to_contain_text("too close")
    wood = page.locator("figure img").first
    assert wood.evaluate("picture => picture.decode().then(() => picture.naturalWidth)") == 800
    expect(page.locator(".small-views figure")).to_have_count(4)
