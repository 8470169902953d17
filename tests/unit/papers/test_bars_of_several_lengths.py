"""A kind sliced off two bars, in a plan whose board lies turned against its drawing."""

from __future__ import annotations

import re

import pytest

from fakes.hand_plan import SHOP, square_cuts
from fakes.reading import page_texts
from seamwright.bench import execute, prove
from seamwright.design import Drawing, Kind, Patch, Unit
from seamwright.geometry import Motion
from seamwright.papers import bench_sheets, label_list
from seamwright.pictures import Ruler
from seamwright.pictures.timber import from_plan
from seamwright.plan import Laminate, Machine, Mill, Placed, Plan, SetUp, Slice

KERF = SHOP.saws.table_kerf_mm
HOME = Motion(turn_deg=90.0, x_mm=60.0)


def made() -> tuple[Plan, Drawing]:
    stop = SetUp(machine=Machine.SLED, size_mm=40.0)
    steps = (
        Mill(makes="K1", count=1, wood="A", length_mm=400.0, width_mm=60.0, depth_mm=20.0),
        Mill(makes="K2", count=1, wood="A", length_mm=320.0, width_mm=60.0, depth_mm=20.0),
        *(
            Slice(
                takes=bar,
                bars=1,
                makes="S1",
                count=pieces,
                per_bar=pieces,
                cuts=square_cuts(40.0, pieces, kerf_mm=KERF, first_mm=6.0),
                head_to_tail=False,
                set_up=stop,
            )
            for bar, pieces in (("K1", 2), ("K2", 1))
        ),
        Laminate(
            makes="P1",
            count=1,
            parts=tuple(Placed(part="S1", at=Motion(x_mm=40.0 * i)) for i in range(3)),
            seams_deg=90.0,
            clampings=1,
        ),
    )
    plan = Plan(title="Two bars", steps=steps, board="P1", copies=1, shop=SHOP, board_at=HOME)
    squares = [((0.0, y), (60.0, y), (60.0, y + 40.0), (0.0, y + 40.0)) for y in (0.0, 40.0, 80.0)]
    drawing = Drawing(
        title="Two bars",
        unit=Unit.MM,
        thickness_mm=20.0,
        kind=Kind.THROUGH,
        woods=(("A", "sugar maple"),),
        patches=tuple(
            Patch(name=str(i), points=p, wood="A", grain_deg=90.0)
            for i, p in enumerate(squares, start=1)
        ),
        outline=((0.0, 0.0), (60.0, 0.0), (60.0, 120.0), (0.0, 120.0)),
    )
    return plan, drawing


def test_the_plan_itself_is_sound() -> None:
    plan, drawing = made()
    proof = prove(plan, drawing)
    assert proof.area_error_mm2 == pytest.approx(0.0, abs=1e-6)
    assert not proof.missing


def test_pieces_are_traced_to_both_bars_and_seen_as_drawn() -> None:
    plan, drawing = made()
    sights = from_plan(plan, execute(plan))
    assert sorted(s.stick for s in sights) == ["K1/0", "K1/0", "K2/0"]
    seen = sorted(tuple(sorted((round(x), round(y)) for x, y in s.outline)) for s in sights)
    drawn = sorted(
        tuple(sorted((round(x), round(y)) for x, y in p.points)) for p in drawing.patches
    )
    assert seen == drawn
    for sight in sights:
        assert sight.to_stick.undirected_deg(90.0) == pytest.approx(0.0)


def test_labels_count_on_over_both_steps() -> None:
    plan, drawing = made()
    found = [
        (label.step, label.number, label.count)
        for label in label_list(plan, drawing, shelf=execute(plan), ruler=Ruler())
        if label.kind == "S1"
    ]
    assert found == [(3, 1, 3), (3, 2, 3), (4, 3, 3)]


def test_each_step_keeps_its_own_number() -> None:
    plan, drawing = made()
    pages = page_texts(bench_sheets(plan, drawing, shelf=execute(plan)))
    order = [int(n) for text in pages for n in re.findall(r"^Step (\d+) · ", text, re.M)]
    assert order == [1, 2, 3, 4, 5]
    assert any("on the cover 90° round" in text for text in pages)
