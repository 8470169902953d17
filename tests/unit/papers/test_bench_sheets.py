from __future__ import annotations

import io
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pdfplumber
import pypdfium2
import pytest

from fakes import hand_plan
from fakes.reading import page_texts, squeezed
from seamwright.errors import Cancelled
from seamwright.papers import Page, bench_sheets, quarters, sticks, sticks_csv
from seamwright.pictures import Ruler, box
from seamwright.plan import Laminate, Mill, set_ups

PLAN = hand_plan.plan()
DRAWING = hand_plan.drawing()


@pytest.fixture(scope="module", params=[Page.LETTER, Page.A4])
def printed(request: pytest.FixtureRequest) -> tuple[Page, bytes]:
    page: Page = request.param
    return page, bench_sheets(PLAN, DRAWING, shelf=hand_plan.shelf(PLAN), page=page)


def test_paper_size(printed: tuple[Page, bytes]) -> None:
    page, data = printed
    with pdfplumber.open(io.BytesIO(data)) as book:
        for sheet in book.pages:
            assert float(sheet.width) == pytest.approx(page.width_mm * 72 / 25.4, abs=0.01)
            assert float(sheet.height) == pytest.approx(page.height_mm * 72 / 25.4, abs=0.01)


def test_no_step_is_split_over_pages(printed: tuple[Page, bytes]) -> None:
    pages = page_texts(printed[1])
    order = [int(n) for text in pages for n in re.findall(r"^Step (\d+) · ", text, re.M)]
    assert order == list(range(1, len(PLAN.steps) + 1))
    for text in pages:
        assert len(re.findall(r"^Step \d+ · ", text, re.M)) == len(re.findall("Becomes", text))


def test_every_setting_and_size_is_in_the_text(printed: tuple[Page, bytes]) -> None:
    pages = page_texts(printed[1])
    ruler = Ruler()
    solids = dict(hand_plan.shelf(PLAN).solids)
    for number, step in enumerate(PLAN.steps, start=1):
        (page,) = [p for p in pages if re.search(rf"^Step {number} · ", p, re.M)]
        text = squeezed(page)
        for setting in set_ups(step):
            assert squeezed(ruler.first(setting.size_mm)) in text
            assert squeezed(ruler.second(setting.size_mm)) in text
            if setting.match:
                assert squeezed(f"from a real {setting.match}") in text
        x0, y0, x1, y1 = box(solids[step.makes])
        for mm in (x1 - x0, y1 - y0, solids[step.makes].depth_mm):
            assert ruler.first(mm) in text
        assert squeezed(f"{step.count} × {step.makes}") in text
        if isinstance(step, Laminate):
            for placed in step.parts:
                assert placed.part in text


def test_nothing_runs_off_the_page(printed: tuple[Page, bytes]) -> None:
    page, data = printed
    edge = 8.0 * 72 / 25.4
    for sheet in pypdfium2.PdfDocument(data):
        text = sheet.get_textpage()
        for index in range(text.count_rects()):
            left, bottom, right, _ = text.get_rect(index)
            assert left >= edge
            assert right <= page.width_mm * 72 / 25.4 - edge
            assert bottom >= 4.0


def test_the_stick_list_has_every_stick(printed: tuple[Page, bytes]) -> None:
    listed = page_texts(printed[1])[1]
    for step in PLAN.steps:
        if isinstance(step, Mill):
            assert step.makes in listed
            assert Ruler().first(step.length_mm) in listed
    assert listed.index("Planer at 1-51/64″") < listed.index("Planer at 55/64″")


def test_the_pdf_claims_to_be_tagged() -> None:
    data = bench_sheets(PLAN, DRAWING, shelf=hand_plan.shelf(PLAN))
    assert b"/MarkInfo" in data
    assert b"pdfuaid" in data or b"StructTreeRoot" in data


def test_two_processes_print_the_same_bytes(tmp_path: Path) -> None:
    program = (
        "import sys, hashlib; from fakes import hand_plan as h; "
        "from seamwright.papers import bench_sheets as b; p = h.plan(); "
        "sys.stdout.write(hashlib.sha256(b(p, h.drawing(), shelf=h.shelf(p))).hexdigest())"
    )
    made = set()
    for seed in ("1", "2"):
        done = subprocess.run(
            [sys.executable, "-c", program],
            capture_output=True,
            text=True,
            check=True,
            cwd=tmp_path,
            env={
                "PYTHONPATH": ":".join(p for p in sys.path if p),
                "PYTHONHASHSEED": seed,
                "TZ": "Asia/Tokyo" if seed == "2" else "UTC",
            },
        )
        made.add(done.stdout)
    assert len(made) == 1


def test_the_user_can_stop_it() -> None:
    told: list[float] = []

    def progress(share: float, doing: str) -> None:
        told.append(share)

    with pytest.raises(Cancelled):
        bench_sheets(
            PLAN,
            DRAWING,
            shelf=hand_plan.shelf(PLAN),
            progress=progress,
            cancelled=lambda: len(told) > 3,
        )
    assert told == sorted(told)
    assert len(told) == 4


def test_rough_thickness_is_the_thinnest_board_that_holds_the_stick() -> None:
    rough = {s.kind: s.rough for s in sticks(PLAN, DRAWING)}
    assert rough == {"K1": "8/4", "K2": "8/4", "K3": "5/4", "K4": "5/4"}
    assert quarters(20.6 + 2 * 2.4) == "4/4"


def test_the_csv_holds_exact_sizes_and_no_dates() -> None:
    data = sticks_csv(PLAN, DRAWING, ruler=Ruler())
    assert data.startswith(b"\xef\xbb\xbf")
    rows = data.decode("utf-8-sig").split("\r\n")
    assert rows[0].startswith("stick,wood,count,rough")
    assert rows[1].startswith("K1,sugar maple,2,'8/4,31″,1-1/2″,1-51/64″,787.4,38.1,45.6")
    assert rows[-1] == ""


def test_signs_our_fonts_lack_do_not_stop_a_sheet() -> None:
    odd = replace(PLAN, title="Bord 🪵 日本 \u200f Ærø Ωμέγα")
    drawing = replace(DRAWING, title=odd.title, woods=(("A", "桜 <&>"), *DRAWING.woods[1:]))
    pages = page_texts(bench_sheets(odd, drawing, shelf=hand_plan.shelf(odd)))
    assert "Bord ? ??" in pages[0]
    assert "Ærø Ωμέγα" in pages[0]
    assert "? <&>" in pages[1]
