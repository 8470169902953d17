from __future__ import annotations

import pytest

from fakes import hand_plan
from seamwright.geometry import IDENTITY, Motion
from seamwright.pictures import Easel, Path, Picture, Ruler, Text, box, looks, step_picture
from seamwright.pictures.looks import CHALK
from seamwright.pictures.marks import part_arrow, pose, triangle
from seamwright.pictures.primitives import Disc, points_of
from seamwright.plan import Laminate, Slice, Step, Trim

PLAN = hand_plan.plan()
EASEL = Easel(
    solids=hand_plan.solids(PLAN),
    looks=looks(hand_plan.drawing().woods),
    ruler=Ruler(),
    saws=PLAN.shop.saws,
    width_mm=186.0,
    height_mm=120.0,
)


def words(picture: Picture) -> list[str]:
    return [item.text for item in picture.items if isinstance(item, Text)]


@pytest.mark.parametrize("step", PLAN.steps, ids=lambda s: s.makes)
def test_every_step_has_a_drawing_that_fits_its_room(step: Step) -> None:
    picture = step_picture(step, EASEL)
    assert picture.width_mm <= 187.0
    assert picture.height_mm <= 124.0
    assert picture.title
    x0, y0, x1, y1 = picture.box
    for item in picture.items:
        for x, y in points_of(item):
            assert x0 - 1e-6 <= x <= x1 + 1e-6
            assert y0 - 1e-6 <= y <= y1 + 1e-6


@pytest.mark.parametrize("step", [s for s in PLAN.steps if isinstance(s, Laminate)])
def test_a_glue_up_names_every_kind_and_the_glued_size(step: Laminate) -> None:
    told = " ".join(words(step_picture(step, EASEL)))
    for placed in step.parts:
        assert placed.part in told
    assert step.makes in told
    x0, y0, x1, y1 = _box(step.makes)
    assert Ruler().inch(x1 - x0) in told
    assert Ruler().inch(y1 - y0) in told


def test_cuts_are_numbered_and_the_stop_is_large_and_blue() -> None:
    step = next(s for s in PLAN.steps if isinstance(s, Slice))
    picture = step_picture(step, EASEL)
    told = words(picture)
    assert {str(n) for n in range(1, len(step.cuts) + 1)} <= set(told)
    stop = next(i for i in picture.items if isinstance(i, Text) and i.text == "3″")
    assert stop.colour == CHALK
    assert stop.size_mm > 4.5


def test_what_is_sliced_on_is_not_shown_as_waste() -> None:
    first, second = (s for s in PLAN.steps if isinstance(s, Slice) and s.makes in ("S1", "S2"))
    assert any("L4" in word for word in words(step_picture(first, EASEL)))
    assert "tail" in words(step_picture(second, EASEL))


def test_a_trim_shows_its_cuts_in_order() -> None:
    step = next(s for s in PLAN.steps if isinstance(s, Trim))
    picture = step_picture(step, EASEL)
    assert sum(isinstance(item, Disc) for item in picture.items) == len(step.cuts)


def test_arrows_lie_as_the_part_lies() -> None:
    def heading(at: Motion) -> tuple[float, float]:
        shaft = part_arrow((0.0, 0.0), length_mm=6.0, at=at)[0]
        assert isinstance(shaft, Path)
        (ax, ay), (bx, by) = shaft.points
        return (round(bx - ax, 9), round(by - ay, 9))

    assert heading(IDENTITY) == (0.0, 6.0)
    assert heading(Motion(turn_deg=180.0)) == (0.0, -6.0)
    assert heading(Motion(turn_deg=90.0)) == (-6.0, 0.0)
    assert heading(Motion(over=True)) == (0.0, -6.0)
    dashed = part_arrow((0.0, 0.0), length_mm=6.0, at=Motion(over=True))[2]
    assert isinstance(dashed, Path)
    assert dashed.ink.dash_mm


def test_poses_in_words() -> None:
    assert pose(IDENTITY) == ""
    assert pose(Motion(turn_deg=180.0)) == "end for end"
    assert pose(Motion(over=True)) == "turned over"
    assert pose(Motion(over=True, turn_deg=90.0)) == "turned over, 90° round"


def test_the_triangle_is_drawn_on_wood_only() -> None:
    parts = [((0.0, 0.0), (10.0, 0.0), (10.0, 5.0), (0.0, 5.0))] * 1
    parts.append(((0.0, 8.0), (10.0, 8.0), (10.0, 13.0), (0.0, 13.0)))
    for item in triangle(parts, base=((1.0, 1.0), (9.0, 1.0)), tip=(5.0, 13.0)):
        assert isinstance(item, Path)
        for _, y in item.points:
            assert y <= 5.0 + 1e-9 or y >= 8.0 - 1e-9


def _box(kind: str) -> tuple[float, float, float, float]:
    return box(EASEL.solids[kind])
