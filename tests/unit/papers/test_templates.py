from __future__ import annotations

import io

import pdfplumber
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fakes import hand_plan
from fakes.reading import page_texts, squeezed
from seamwright.geometry import area
from seamwright.papers import Page, template_list, templates
from seamwright.papers.templates import tiling
from seamwright.papers.templates.shapes import board
from seamwright.papers.templates.tiling import OVERLAP_MM, inside, stretch

PLAN = hand_plan.plan()
DRAWING = hand_plan.drawing()
SHELF = hand_plan.shelf(PLAN)
POINT_MM = 25.4 / 72.0
EXACT_MM = 0.05


@pytest.fixture(scope="module", params=[Page.LETTER, Page.A4])
def book(request: pytest.FixtureRequest):
    data = templates(PLAN, DRAWING, shelf=SHELF, page=request.param)
    with pdfplumber.open(io.BytesIO(data)) as opened:
        yield request.param, opened, data


def test_every_page_is_one_sheet_of_paper(book) -> None:
    page, opened, _ = book
    for sheet in opened.pages:
        size = sorted((float(sheet.width) * POINT_MM, float(sheet.height) * POINT_MM))
        assert size == pytest.approx(sorted((page.width_mm, page.height_mm)), abs=0.005)


def test_every_page_has_both_bars_along_both_axes(book) -> None:
    _, opened, _ = book
    for sheet in opened.pages:
        boxes = [
            ((r["x1"] - r["x0"]) * POINT_MM, (r["bottom"] - r["top"]) * POINT_MM)
            for r in (*sheet.rects, *sheet.curves)
        ]
        for long in (100.0, 101.6):
            for size in ((long, 3.0), (3.0, long)):
                assert any(
                    abs(wide - size[0]) < EXACT_MM and abs(high - size[1]) < EXACT_MM
                    for wide, high in boxes
                ), f"no bar of {size}"
        text = squeezed(sheet.extract_text())
        assert "100mm" in text
        assert "4in" in text
        assert "Printat100%" in text


def test_edges_are_at_full_size(book) -> None:
    """The 45° sled template, on its own page: legs of 150 mm, hypotenuse 212.132 mm."""
    _, opened, _ = book
    (sheet,) = [s for s in opened.pages if "Sled angle" in s.extract_text()]
    lengths = sorted(
        (((r["x1"] - r["x0"]) ** 2 + (r["bottom"] - r["top"]) ** 2) ** 0.5) * POINT_MM
        for r in (*sheet.lines, *sheet.curves)
        if r["x1"] - r["x0"] > 150.0 or r["bottom"] - r["top"] > 300.0
    )
    assert any(abs(x - 150.0) < EXACT_MM for x in lengths)
    assert any(abs(x - 150.0 * 2**0.5) < EXACT_MM for x in lengths)


def test_every_patch_is_named_on_some_page(book) -> None:
    _, _, data = book
    words = {word for text in page_texts(data) for word in text.split()}
    for patch in DRAWING.patches:
        assert patch.name in words


def test_neighbouring_pages_share_their_marks() -> None:
    cut = tiling([p.points for p in DRAWING.patches], Page.LETTER)
    assert len(cut.tiles) > 1
    for mark in cut.marks:
        holders = [
            t
            for t in cut.tiles
            if t.window[0] < mark[0] < t.window[2] and t.window[1] < mark[1] < t.window[3]
        ]
        nearest = [
            min(
                mark[0] - t.window[0],
                t.window[2] - mark[0],
                mark[1] - t.window[1],
                t.window[3] - mark[1],
            )
            for t in holders
        ]
        assert len(holders) >= 2 or len(cut.tiles) < cut.columns * cut.rows
        assert all(gap >= OVERLAP_MM / 2.0 - 1e-9 for gap in nearest)


@settings(max_examples=40, deadline=None)
@given(st.floats(min_value=20.0, max_value=2000.0), st.floats(min_value=20.0, max_value=1500.0))
def test_pages_together_show_everything(wide: float, high: float) -> None:
    rect = ((0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high))
    for page in Page:
        cut = tiling([rect], page)
        # counted once: the overlap belongs to the page on the left and below
        shown = 0.0
        for tile in cut.tiles:
            x0, y0, x1, y1 = tile.window
            own = (
                x0,
                y0,
                x1 - (OVERLAP_MM if tile.column < cut.columns - 1 else 0.0),
                y1 - (OVERLAP_MM if tile.row < cut.rows - 1 else 0.0),
            )
            shown += sum(area(part) for part in inside(rect, own))
        assert shown == pytest.approx(wide * high, rel=1e-9)


def test_empty_pages_are_left_out() -> None:
    corner = ((0.0, 0.0), (20.0, 0.0), (0.0, 20.0))
    far = ((900.0, 900.0), (920.0, 900.0), (920.0, 920.0))
    cut = tiling([corner, far], Page.A4)
    assert len(cut.tiles) == 2
    assert cut.columns * cut.rows > 8


def test_segments_are_cut_at_the_page() -> None:
    window = (0.0, 0.0, 10.0, 10.0)
    assert stretch((-5.0, 5.0), (15.0, 5.0), window) == ((0.0, 5.0), (10.0, 5.0))
    assert stretch((-5.0, 5.0), (-1.0, 5.0), window) is None
    assert stretch((2.0, 2.0), (3.0, 3.0), window) == ((2.0, 2.0), (3.0, 3.0))


def test_each_sled_angle_and_clamping_block_once() -> None:
    titles = [t.title for t in template_list(PLAN, DRAWING, SHELF)]
    assert titles[0].startswith("Window-seat board")
    assert titles.count("Sled angle, 45° off square") == 1
    assert len(titles) == len(set(titles))
    assert len(board(DRAWING).shapes) == len(DRAWING.patches)
