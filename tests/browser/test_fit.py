"""What to expect of a board, a measured size, what changes, and taking it back."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from fakes.boards import CHECKS

pytestmark = pytest.mark.browser
LONG_MS = 180_000


def begun(page) -> str:
    """The address of a job begun from a file."""
    page.goto("/begin")
    page.get_by_label("From a file").check()
    file = {"name": "own.toml", "mimeType": "text/plain", "buffer": CHECKS.encode()}
    page.locator("input[name=file]").set_input_files(file)
    page.get_by_role("button", name="Begin").click()
    page.wait_for_url("**/drawing")
    return page.url.removesuffix("/drawing")


def test_a_measured_size_changes_the_rest_of_the_plan(open_page) -> None:
    page = open_page()
    job = begun(page)
    page.goto(f"{job}/order")
    page.get_by_role("link", name="see what changes").click(timeout=LONG_MS)
    expect(page.locator("#expect")).to_be_visible(timeout=LONG_MS)
    expect(page.get_by_role("img", name="points where seams meet")).to_be_visible()
    expect(page.get_by_text("Nothing is measured yet")).to_be_visible()
    step = page.locator("#step-1")
    step.locator("input[name=sizes]").fill("50.2mm, 50.3mm")
    step.locator("input[name=sizes]").press("Enter")
    now = page.get_by_role("status")
    expect(now).to_contain_text("Carried out on virtual wood with the measured sizes")
    expect(now).to_contain_text("Step 2, S2: width")
    expect(page.locator("#step-1 input[name=sizes]")).to_have_value("1.9764, 1.9803")
    page.get_by_role("button", name="Take back what step 1 gave").click()
    expect(page.get_by_text("Nothing is measured yet")).to_be_visible()
    expect(page.get_by_text("Nothing was measured on any job yet")).to_be_visible()
    expect(page.get_by_text("It comes clean").first).to_be_visible()
    step.locator("input[name=thick]").fill("20.4mm 20.3mm")
    step.locator("input[name=thick]").press("Enter")
    expect(now).to_contain_text("thickness")
    expect(page.locator("#step-1 input[name=thick]")).to_have_value("0.8031, 0.7992")
    # readings of this very job tell of the shop as well, and that is said
    expect(page.get_by_text("1 setting measured on 1 job")).to_be_visible()
    sliced = page.locator("ol.measure li", has_text="P1").first
    sliced.locator("input[name=good]").fill("2")
    sliced.locator("input[name=good]").press("Enter")
    expect(now).to_contain_text("2 missing")
    expect(now).to_contain_text("Wood for what is made again")
    expect(now).to_contain_text("on the rack is big enough. To buy")


def test_a_size_is_written_down_where_the_step_stands(open_page) -> None:
    page = open_page()
    job = begun(page)
    page.goto(f"{job}/order/2")
    page.locator("#step input[name=sizes]").fill("51mm", timeout=LONG_MS)
    page.get_by_role("button", name="Keep what step 2 gave").click()
    now = page.get_by_role("status")
    expect(now).to_contain_text("Carried out on virtual wood", timeout=LONG_MS)
    page.get_by_role("link", name="Back to step 2").click()
    expect(page.locator("#step input[name=sizes]")).to_have_value("2.0079")
    page.get_by_role("button", name="Take back what step 2 gave").click()
    expect(page.get_by_text("Nothing is measured yet")).to_be_visible()
