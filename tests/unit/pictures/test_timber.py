from __future__ import annotations

import hashlib
import subprocess
import sys

import numpy as np
import pytest
from shapely.geometry import Polygon
from shapely.ops import unary_union

from fakes import hand_plan
from seamwright.geometry import Motion, bounds
from seamwright.pictures import looks
from seamwright.pictures.looks import channels, figure
from seamwright.pictures.timber import (
    Age,
    Face,
    Sight,
    exploded_faces,
    from_drawing,
    from_plan,
    paint,
    png,
)
from seamwright.pictures.timber.noise import noise
from seamwright.plan import Laminate

PLAN = hand_plan.plan()
SHELF = hand_plan.shelf(PLAN)
LOOKS = looks(hand_plan.drawing().woods)


def rect(x0: float, y0: float, x1: float, y1: float):
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def sight(outline, motion: Motion, *, wood: str = "B", stick: str = "K/0") -> Sight:
    return Sight(outline=outline, wood=wood, stick=stick, to_stick=motion, depth_mm=0.0)


def bare(picture: np.ndarray) -> np.ndarray:
    return picture.astype(int)


def test_slices_laid_side_by_side_show_the_uncut_stick() -> None:
    """A stick cut in two and laid together without the kerf is the stick again."""
    whole = [sight(rect(0, 0, 200, 100), Motion())]
    halves = [sight(rect(0, 0, 90, 100), Motion()), sight(rect(90, 0, 200, 100), Motion())]
    a = bare(paint(whole, looks=LOOKS, width_px=240, height_px=140))
    b = bare(paint(halves, looks=LOOKS, width_px=240, height_px=140))
    gap = np.abs(a - b).max(axis=2)
    joint = int(240 * (0.02 + 0.96 * 0.45))
    gap[:, joint - 12 : joint + 12] = 0
    assert np.percentile(gap, 99) == 0


def test_a_slice_looks_the_same_wherever_it_is_laid() -> None:
    here = [sight(rect(0, 0, 100, 100), Motion(x_mm=30.0))]
    there = [sight(rect(500, 70, 600, 170), Motion(x_mm=-470.0, y_mm=-70.0))]
    a = bare(paint(here, looks=LOOKS, width_px=160, height_px=160))
    b = bare(paint(there, looks=LOOKS, width_px=160, height_px=160))
    assert np.percentile(np.abs(a - b), 99) <= 1


def test_a_turned_slice_shows_its_figure_turned() -> None:
    plain = [sight(rect(0, 0, 100, 100), Motion())]
    turned = [sight(rect(0, 0, 100, 100), Motion(turn_deg=180.0, x_mm=100.0, y_mm=100.0))]
    a = bare(paint(plain, looks=LOOKS, width_px=160, height_px=160))
    b = bare(paint(turned, looks=LOOKS, width_px=160, height_px=160))[::-1, ::-1]
    inner = np.s_[12:-12, 12:-12]
    assert np.abs(a[inner] - b[inner]).mean() < 1.5
    assert np.abs(a[inner] - b[::-1, ::-1][inner]).mean() > 4.0


def test_sticks_differ_and_grain_runs_along_them() -> None:
    first = [sight(rect(0, 0, 100, 100), Motion())]
    second = [sight(rect(0, 0, 100, 100), Motion(), stick="K/1")]
    one = bare(paint(first, looks=LOOKS, width_px=200, height_px=200))
    two = bare(paint(second, looks=LOOKS, width_px=200, height_px=200))
    inner = np.s_[20:-20, 20:-20]
    assert np.abs(one[inner] - two[inner]).mean() > 3.0
    grey = one[inner].mean(axis=2)
    along = np.abs(np.diff(grey, axis=1)).mean()
    across = np.abs(np.diff(grey, axis=0)).mean()
    assert across > 1.5 * along


def test_every_piece_of_the_board_is_traced_to_its_stick() -> None:
    sights = from_plan(PLAN, SHELF)
    pieces = dict(SHELF.solids)[PLAN.board].pieces
    assert len(sights) == len(pieces)
    solids = dict(SHELF.solids)
    for seen, piece in zip(sights, pieces, strict=True):
        assert seen.wood == piece.wood
        kind, _, number = seen.stick.partition("/")
        assert kind == piece.stick
        mill = PLAN.maker(kind)
        assert int(number) < mill.count
        x0, y0, x1, y1 = bounds(seen.to_stick.polygon(seen.outline))
        assert x0 >= -1e-6
        assert x1 <= mill.length_mm + 1e-6
        assert y0 >= -1e-6
        assert y1 <= mill.width_mm + 1e-6
        assert 0.0 <= seen.depth_mm <= solids[kind].depth_mm


def test_no_wood_is_shown_twice() -> None:
    """Pieces of one stick seen at one depth do not overlap in the stick."""
    layers: dict[tuple[str, float], list[Polygon]] = {}
    for seen in from_plan(PLAN, SHELF):
        shape = Polygon(seen.to_stick.polygon(seen.outline))
        layers.setdefault((seen.stick, round(seen.depth_mm, 3)), []).append(shape)
    assert len(layers) > 4
    for shapes in layers.values():
        assert unary_union(shapes).area == pytest.approx(sum(s.area for s in shapes), rel=1e-6)


def test_grain_in_the_picture_is_the_plans() -> None:
    pieces = dict(SHELF.solids)[PLAN.board].pieces
    for seen, piece in zip(from_plan(PLAN, SHELF), pieces, strict=True):
        assert seen.to_stick.undirected_deg(piece.grain_deg) == pytest.approx(0.0, abs=1e-6)


def test_a_board_that_is_only_drawn_can_be_seen_too() -> None:
    picture = paint(from_drawing(hand_plan.drawing()), looks=LOOKS, width_px=120, height_px=160)
    assert picture.shape == (160, 120, 3)


def test_threads_and_processes_do_not_change_a_byte() -> None:
    sights = from_plan(PLAN, SHELF)
    one = png(paint(sights, looks=LOOKS, width_px=300, height_px=300, threads=1))
    two = png(paint(sights, looks=LOOKS, width_px=300, height_px=300, threads=2))
    assert one == two
    program = (
        "import sys, hashlib; from fakes import hand_plan as h; "
        "from seamwright.pictures import looks; from seamwright.pictures.timber import *; "
        "p = h.plan(); d = png(paint(from_plan(p, h.shelf(p)), looks=looks(h.drawing().woods), "
        "width_px=300, height_px=300)); sys.stdout.write(hashlib.sha256(d).hexdigest())"
    )
    done = subprocess.run(
        [sys.executable, "-c", program],
        capture_output=True,
        text=True,
        check=True,
        env={"PYTHONPATH": ":".join(p for p in sys.path if p), "PYTHONHASHSEED": "5"},
    )
    assert done.stdout == hashlib.sha256(one).hexdigest()


@pytest.mark.parametrize(("wood", "darker"), [("black cherry", True), ("black walnut", False)])
def test_five_years_move_colours_the_usual_way(wood: str, darker: bool) -> None:
    """Common practice, no source: cherry darkens, walnut fades."""
    made = figure(wood)
    assert (sum(channels(made.aged)) < sum(channels(made.flat))) is darker
    table = looks((("B", wood),))
    face = [sight(rect(0, 0, 60, 60), Motion())]
    new = paint(face, looks=table, width_px=80, height_px=80).astype(int)
    old = paint(face, looks=table, width_px=80, height_px=80, age=Age.FIVE_YEARS).astype(int)
    assert bool(old[20:60, 20:60].mean() < new[20:60, 20:60].mean()) is darker


def test_noise_is_smooth_bounded_and_repeats() -> None:
    x = np.linspace(0.0, 64.0, 6401, dtype=np.float32)
    zero = np.zeros_like(x)
    values = noise(x, zero, zero)
    assert 0.0 <= values.min() <= values.max() <= 1.0
    assert np.abs(np.diff(values)).max() < 0.03
    assert values[0] == pytest.approx(values[-1], abs=1e-5)


GLUE_UPS = [step for step in PLAN.steps if isinstance(step, Laminate)]


def in_stick(face: Face, spot: tuple[float, float]) -> tuple[float, ...]:
    return tuple(c + x * spot[0] + y * spot[1] for c, x, y in face.rows)


@pytest.mark.parametrize("step", GLUE_UPS, ids=lambda s: s.makes)
def test_tops_and_sides_of_a_piece_meet_in_one_place_of_the_stick(step: Laminate) -> None:
    """Rings run over an edge from the top to the side because both show one block of wood."""
    corners: dict[tuple[int, int], tuple[float, ...]] = {}
    shared = 0
    for face in exploded_faces(step, PLAN, SHELF):
        mill = PLAN.maker(face.stick.partition("/")[0])
        for spot in face.outline:
            place = in_stick(face, spot)
            for value, most in zip(
                place, (mill.length_mm, mill.width_mm, mill.depth_mm), strict=True
            ):
                assert -1e-6 <= value <= most + 1e-6
            key = (round(spot[0] * 1e4), round(spot[1] * 1e4))
            shared += key in corners
            assert corners.setdefault(key, place) == pytest.approx(place, abs=1e-6)
        if face.light > 0.9:  # the top comes last of each piece
            corners.clear()
    assert shared > 10


def test_a_square_end_shows_end_grain_and_a_long_side_does_not() -> None:
    faces = exploded_faces(GLUE_UPS[0], PLAN, SHELF)
    sides = [face for face in faces if face.light < 0.9]
    assert {round(face.ends, 6) for face in sides} == {0.0, 1.0}
    for face in sides:
        rows = np.array(face.rows)[:, 1:]
        along = np.abs(rows[0]).max()
        assert bool(along < 1e-9) is (face.ends > 0.5)


def test_end_grain_is_darker_than_the_face() -> None:
    outline = rect(0, 0, 80, 40)
    rows = ((0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (0.0, 0.0, 0.0))
    flat = Face(outline=outline, wood="A", stick="K1/0", rows=rows)
    end = Face(
        outline=outline,
        wood="A",
        stick="K1/0",
        rows=((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
        ends=1.0,
    )
    a = paint([flat], looks=LOOKS, width_px=200, height_px=120).astype(int)
    b = paint([end], looks=LOOKS, width_px=200, height_px=120).astype(int)
    inner = np.s_[30:-30, 30:-30]
    red, blue = (a[inner] - b[inner])[..., 0].mean(), (a[inner] - b[inner])[..., 2].mean()
    assert red > 5
    assert blue > red
