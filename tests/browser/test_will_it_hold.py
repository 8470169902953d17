"""The soundness screen: verdicts light their places, sliders ask anew, woods stand side by side."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser
RECKON_MS = 180_000
CROSSED = """title = "Framed solid"
unit = "mm"
thickness = 20
woods = { A = "sugar maple", B = "plum" }
patch = [
    { name = "panel", wood = "A", grain = "up", points = "0,0 400,0 400,300 0,300" },
    { name = "end", wood = "B", grain = "across", points = "0,300 400,300 400,360 0,360" },
]
"""
PLUM = '[woods.plum]\nlike = "black cherry"\ncolour = "#803060"\n'


def reckoned(page: Page) -> None:
    expect(page.locator("#doing")).to_have_text("Reckoned", timeout=RECKON_MS)


@pytest.fixture
def crossed(open_page) -> Page:
    """A board with a crossed end, drawn on the demo job's sheet as a file."""
    page = open_page()
    page.goto("/")
    page.locator(".card .look").last.click()
    page.get_by_text("The design as a file").click()
    page.locator("#file textarea").fill(CROSSED)
    page.get_by_role("button", name="Take it over").click()
    expect(page.locator("#title")).to_have_text("Framed solid")
    return page


def test_work_is_stopped_and_taken_up_again(open_page) -> None:
    page = open_page()
    page.goto("/")
    page.locator(".card .look").last.click()
    page.get_by_role("link", name="Will it hold").click()
    page.locator("[name=built]").fill("9.5")
    expect(page.locator("#stop")).to_be_visible()
    page.locator("#stop").click()
    expect(page.locator("#doing")).to_have_text("Stopped: only the grain is read")
    assert page.locator("#verdicts li").count() > 0
    page.locator("#again").click()
    expect(page.locator("#stop")).to_be_visible()


def test_verdicts_pictures_and_woods(crossed: Page) -> None:
    page = crossed
    # a wood that nobody knows is said so beside the pen, and is known once the shop has it
    expect(page.locator("#holdfaults")).to_contain_text('the wood "plum" is not known')
    drawing = page.url
    page.goto("/shop")
    page.get_by_label("Own woods (TOML)").fill(PLUM)
    page.get_by_role("button", name="Keep these values").click()
    expect(page.locator(".shop .lines")).to_contain_text("plum, like black cherry")
    page.goto(drawing)
    assert "#803060" in page.locator("#board defs").inner_html()
    expect(page.locator("#holding")).to_have_text("Reckoned, worst first", timeout=RECKON_MS)
    expect(page.locator("#throughs")).to_contain_text("through line")
    assert page.locator("#board .through").count() > 0
    page.locator("#throughshown").uncheck()
    assert page.locator("#board .through").count() == 0

    page.get_by_role("link", name="See where and why").click()
    expect(page.locator("#verdicts li").first).to_be_visible()
    reckoned(page)
    page.locator("[name=damp]").select_option("damp-coast")
    worst = page.locator("#verdicts li").first
    expect(worst).to_contain_text("At risk", timeout=RECKON_MS)
    expect(worst).to_contain_text("seam between panel and end", ignore_case=True)
    expect(worst).to_contain_text("What to do")
    # a verdict lights its place in every picture
    worst.get_by_role("button").first.press("Enter")
    for picture in ("Asked by loads", "Asked by moisture"):
        page.get_by_label(picture).check()
        expect(page.locator("#picture .lit .mark")).to_have_count(1)
    page.get_by_label("Moved: damp", exact=False).check()
    expect(page.locator("#picture")).to_contain_text("movement drawn")
    worst.get_by_role("button").first.press("Enter")
    expect(page.locator("#picture .lit")).to_have_count(0)

    # another wood and steadier air: a second try beside the first
    page.locator("[name=damp_h]").fill("35")
    expect(page.locator("[name=damp]")).to_have_value("own")
    page.locator("[name=wood-A]").fill("teak")
    expect(page.locator("#situation")).to_contain_text("air at 24 °C and 35 %", timeout=RECKON_MS)
    expect(page.locator("#tried tr").last).to_contain_text("teak + plum", timeout=RECKON_MS)
    assert page.locator("#tried tr").count() >= 2
    expect(page.locator("#woodnames")).to_contain_text("teak")
    expect(page.locator("#woodnames")).to_contain_text("plum (your own)")
    page.get_by_label("Compare with").fill("unobtainium")
    page.get_by_role("button", name="Add").click()
    expect(page.locator("#strange")).to_contain_text("is not known")


def test_what_is_odd_is_named(open_page) -> None:
    page = open_page()
    page.goto("/")
    page.locator(".card .look").last.click()
    page.get_by_role("link", name="Will it hold").click()
    reckoned(page)
    job = page.url.removesuffix("/sound")
    for odd, told in (
        ("dry=moon", "is not known"),
        ("dry=own&dry_t=hot&dry_h=3", "is not understood"),
        ("built=nan", "moisture"),
        ("load=kicked&force=3", "is not known"),
        ("load=middle&force=-1", "more than 0"),
        ("load=middle&force=9&from_left=9999&from_below=1", "not on the board"),
        ("load=middle&force=9&from_left=8", "is not understood"),
        ("ring-Z=quarter", "not understood"),
        ("wood-A=unobtainium", ""),
    ):
        said = page.request.get(f"{job}/sound/state?go=1&first=1&{odd}").json()
        assert told in " ".join(said["faults"]), odd


def test_a_load_presses_where_the_picture_is_clicked(crossed: Page) -> None:
    page = crossed
    page.get_by_role("link", name="See where and why").click()
    reckoned(page)
    expect(page.locator("#picture svg")).to_be_visible(timeout=RECKON_MS)
    page.locator("#picture").click(position={"x": 60, "y": 60})
    expect(page.locator("[name=from_left]")).to_have_value("")
    page.locator("[name=load]").select_option("middle")
    page.locator("#picture svg").click()
    left = page.locator("[name=from_left]").input_value()
    assert 180 <= float(left) <= 220
    expect(page.locator("#picture .pressed .mark")).to_have_count(1)
    expect(page.locator("#verdicts")).to_contain_text(f"at ({left}, ", timeout=RECKON_MS)
