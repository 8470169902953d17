from __future__ import annotations

import csv
import io

import ezdxf
import pypdfium2
import pytest
import zxingcpp

from fakes import hand_plan
from fakes.reading import page_texts, squeezed
from seamwright.design import Unit
from seamwright.errors import Cancelled
from seamwright.papers import (
    Handout,
    Part,
    board_dxf,
    cuts_csv,
    job_code,
    label_list,
    labels,
    write_set,
)
from seamwright.pictures import Ruler
from seamwright.plan import Laminate, set_ups

PLAN = hand_plan.plan()
DRAWING = hand_plan.drawing()
SHELF = hand_plan.shelf(PLAN)


@pytest.mark.parametrize(("unit", "code", "scale"), [(Unit.MM, 4, 1.0), (Unit.INCH, 1, 1 / 25.4)])
def test_dxf_reads_back_with_unit_layers_and_exact_corners(
    unit: Unit, code: int, scale: float
) -> None:
    data = board_dxf(DRAWING, unit=unit)
    document = ezdxf.read(io.StringIO(data.decode()))
    assert not document.audit().errors
    assert document.header["$INSUNITS"] == code
    assert document.header["$MEASUREMENT"] == (1 if unit is Unit.MM else 0)
    rings = [
        [(x, y) for x, y, *_ in line.get_points()]
        for line in document.modelspace().query('LWPOLYLINE[layer=="CUT"]')
        if line.closed
    ]
    assert len(rings) == len(DRAWING.patches)
    for ring, patch in zip(rings, DRAWING.patches, strict=True):
        for got, want in zip(ring, patch.points, strict=True):
            assert got[0] == pytest.approx(want[0] * scale, abs=1e-9)
            assert got[1] == pytest.approx(want[1] * scale, abs=1e-9)
    (bar,) = document.modelspace().query('LWPOLYLINE[layer=="SCALE_BAR"]')
    xs = [x for x, *_ in bar.get_points()]
    assert max(xs) - min(xs) == pytest.approx(100.0 if unit is Unit.MM else 4.0, abs=1e-9)
    words = {t.dxf.text for t in document.modelspace().query('TEXT[layer=="LABEL"]')}
    assert {patch.name for patch in DRAWING.patches} <= words


def test_dxf_bytes_repeat_and_the_library_is_left_as_it_was() -> None:
    before = ezdxf.options.write_fixed_meta_data_for_testing
    assert board_dxf(DRAWING) == board_dxf(DRAWING)
    assert ezdxf.options.write_fixed_meta_data_for_testing is before


def test_every_code_on_the_labels_can_be_scanned() -> None:
    data = labels(PLAN, DRAWING, shelf=SHELF)
    wanted = [label.code for label in label_list(PLAN, DRAWING, shelf=SHELF, ruler=Ruler())]
    read: list[str] = []
    for page in pypdfium2.PdfDocument(data):
        picture = page.render(scale=300 / 72, grayscale=True).to_numpy().squeeze()
        found = zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)
        read += [code.text for code in found]
    assert sorted(read) == sorted(wanted)
    job, step, kind = wanted[0].split("/")
    assert (job, step, kind) == (job_code(PLAN), "1", "K1")


def test_labels_say_in_words_what_the_code_says() -> None:
    texts = [squeezed(text) for text in page_texts(labels(PLAN, DRAWING, shelf=SHELF))]
    for label in label_list(PLAN, DRAWING, shelf=SHELF, ruler=Ruler()):
        line = squeezed(f"{label.number} of {label.count} · step {label.step}")
        assert any(line in text and label.kind in text for text in texts)


def test_the_job_code_belongs_to_the_plan() -> None:
    other = hand_plan.plan()
    assert job_code(other) == job_code(PLAN)
    changed = type(other)(
        title=other.title + "x", steps=other.steps, board="P1", copies=1, shop=other.shop
    )
    assert job_code(changed) != job_code(PLAN)


def test_the_cut_list_has_every_setting() -> None:
    rows = list(csv.DictReader(io.StringIO(cuts_csv(PLAN, ruler=Ruler()).decode("utf-8-sig"))))
    wanted = sum(max(1, len(set_ups(step))) for step in PLAN.steps)
    assert len(rows) == wanted
    sled = next(row for row in rows if row["makes"] == "S1")
    assert (sled["setting"], sled["setting_mm"], sled["set_from"]) == ("3″", "76.2", "L2")
    assert int(sled["cuts"]) == 18


@pytest.fixture(scope="module")
def handouts() -> list[Handout]:
    return list(write_set(PLAN, DRAWING, shelf=SHELF))


def test_the_whole_set(handouts: list[Handout]) -> None:
    names = [h.name for h in handouts]
    assert len(names) == len(set(names))
    # whether it holds is found by the mechanics: see test_will_it_hold.py; boards to cut come from
    # the rack, which this set is made without
    assert {h.part for h in handouts} == set(Part) - {Part.SOUNDNESS, Part.BOARDS}
    assert "bench-sheets-letter.pdf" in names
    for step in PLAN.steps:
        if isinstance(step, Laminate):
            assert f"step-{PLAN.number(step.makes):02d}-{step.makes}-exploded.svg" in names
    assert all(h.data for h in handouts)


def test_the_set_repeats_byte_for_byte(handouts: list[Handout]) -> None:
    most = frozenset(Part) - {Part.WOOD}  # the wood picture has its own test
    again = {h.name: h.data for h in write_set(PLAN, DRAWING, shelf=SHELF, parts=most)}
    for handout in handouts:
        if handout.part in most:
            assert again[handout.name] == handout.data


def test_parts_can_be_chosen_and_progress_is_told() -> None:
    told: list[float] = []
    made = list(
        write_set(
            PLAN,
            DRAWING,
            shelf=SHELF,
            parts=frozenset({Part.LISTS, Part.DRAWING}),
            progress=lambda share, _: told.append(share),
        )
    )
    assert {h.part for h in made} == {Part.LISTS, Part.DRAWING}
    assert told == sorted(told)
    assert told[-1] == 1.0


def test_the_user_can_stop_the_set() -> None:
    made: list[Handout] = []
    running = write_set(PLAN, DRAWING, shelf=SHELF, cancelled=lambda: len(made) >= 2)
    with pytest.raises(Cancelled):
        made.extend(running)
    assert len(made) == 2
