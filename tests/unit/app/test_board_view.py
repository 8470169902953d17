"""What the drawing screen is told of a job."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seamwright.app.board_view import board_view
from seamwright.app.desk import Desk
from seamwright.app.drawings import drawing_of
from seamwright.app.redrawing import fill, lay_seam, turn_grain
from seamwright.design import demo, read
from seamwright.pictures import Ruler
from seamwright.seams import find_seams
from seamwright.store import Job, Store

LONG_AGO = datetime(2026, 1, 1, tzinfo=UTC)
JOB = Job(
    id="j", title="", design="", made_at=LONG_AGO, changed_at=LONG_AGO, archived=False,
    at_edit=1, edits=1,
)  # fmt: skip


@pytest.fixture
def desk(tmp_path: Path):
    desk = Desk(Store.open(f"sqlite:///{tmp_path}/shop.db"))
    yield desk
    desk.close()


def test_shapes_the_page_holds_are_sent_again_only_if_they_changed(desk: Desk) -> None:
    job = desk.begin(demo(), said="begun")
    drawing = drawing_of(job.design)
    ruler = Ruler(unit=drawing.unit)
    first = board_view(job, drawing, ruler)
    held = str(first["shapes_key"])
    name = drawing.patches[0].name
    other = next(letter for letter, _ in drawing.woods if letter != drawing.patches[0].wood)
    filled = fill(drawing, {name}, other)
    said = board_view(job, filled, ruler, held=held)
    assert said["shapes"] is None
    assert told(said["fills"])[0][0] == other
    assert told(said["grades"]) == told(first["grades"])
    (ax, ay), (bx, by) = drawing.patches[0].points[:2]
    (cx, cy) = drawing.patches[0].points[2]
    cut = lay_seam(drawing, ((ax + bx) / 2, (ay + by) / 2), ((bx + cx) / 2, (by + cy) / 2))
    said = board_view(job, cut, ruler, held=held)
    assert len(said["shapes"]["patches"]) == len(told(said["fills"])) == len(cut.patches)


@given(st.lists(st.integers(0, 10_000), min_size=1, max_size=8))
@settings(max_examples=25, deadline=None)
def test_grades_are_those_of_the_seams_whatever_was_turned(turns: list[int]) -> None:
    drawing = read(demo(), name="demo")
    for turn in turns:
        name = drawing.patches[turn % len(drawing.patches)].name
        drawing = turn_grain(drawing, {name}, None if turn % 2 else float(turn % 180))
    said = board_view(JOB, drawing, Ruler(unit=drawing.unit))
    seams = find_seams(drawing.patches)
    assert len(said["shapes"]["seams"]) == len(seams)
    assert [tuple(each) for each in told(said["grades"])] == [
        (seam.seam_class.value.replace(" ", "-"), seam.words) for seam in seams
    ]
    assert [(wood, deg) for wood, deg, _ in told(said["fills"])] == [
        (patch.wood, patch.grain_deg) for patch in drawing.patches
    ]


def told(of: dict[str, list[Any]]) -> list[list[Any]]:
    """What is told of each, as the page reads it."""
    return [of["kinds"][kind] for kind in of["each"]]
