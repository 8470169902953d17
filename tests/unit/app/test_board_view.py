"""What the drawing screen is told of a job."""

from __future__ import annotations

from pathlib import Path

import pytest

from seamwright.app.board_view import Held, board_view
from seamwright.app.desk import Desk, drawing_of
from seamwright.app.redrawing import fill, turn_grain
from seamwright.design import demo
from seamwright.pictures import Ruler
from seamwright.seams import find_seams
from seamwright.store import Store


@pytest.fixture
def desk(tmp_path: Path):
    desk = Desk(Store.open(f"sqlite:///{tmp_path}/shop.db"))
    yield desk
    desk.close()


def test_seams_the_page_holds_are_sent_again_only_if_they_changed(desk: Desk) -> None:
    job = desk.begin(demo(), said="begun")
    drawing = drawing_of(job.design)
    ruler = Ruler(unit=drawing.unit)
    first = board_view(job, drawing, ruler)
    assert len(first["seams"]) == len(find_seams(drawing.patches))
    held = Held(shapes=str(first["shapes_key"]), seams=str(first["seams_key"]))
    name = drawing.patches[0].name
    other = next(letter for letter, _ in drawing.woods if letter != drawing.patches[0].wood)
    filled = fill(drawing, {name}, other)
    said = board_view(job, filled, ruler, held=held)
    assert (said["shapes"], said["seams"]) == (None, None)
    assert said["fills"][0][0] == other
    turned = turn_grain(drawing, {name}, None)
    said = board_view(job, turned, ruler, held=held)
    assert said["shapes"] is None
    kinds = {(tuple(seam["sides"]), seam["kind"]) for seam in said["seams"]}
    assert kinds != {(tuple(seam["sides"]), seam["kind"]) for seam in first["seams"]}
