"""Seams against a second implementation: boundaries from shapely."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString
from shapely import Polygon as Shape

from fakes.drawings import EIGHTHS, SQUARE_ANGLES, drawing, random_split, rectangle
from seamwright.design import Drawing
from seamwright.geometry import angle_between
from seamwright.seams import Seam, SeamClass, find_seams, grade

drawings = st.builds(
    random_split,
    st.integers(0, 10**6),
    st.integers(1, 30),
    woods=st.just(3),
    grains=st.sampled_from([(90.0,), (0.0, 90.0), None]),
    angles=st.sampled_from([SQUARE_ANGLES, EIGHTHS, None]),
    step_mm=st.sampled_from([0.0, 25.0]),
)


def shared_mm(board: Drawing) -> dict[tuple[int, int], float]:
    """Length of boundary that two patches share, pair by pair; corners that touch left out."""
    shapes = [Shape(patch.points) for patch in board.patches]
    shared = {}
    for a, b in itertools.combinations(range(len(shapes)), 2):
        # a hair of width makes up for rounding; the shared length is half the overlap's edge
        near = shapes[a].buffer(1e-5).intersection(shapes[b].boundary)
        if near.length > 1e-2:
            shared[a, b] = near.length
    return shared


@given(drawings)
@settings(deadline=None, max_examples=40)
def test_every_stretch_between_two_patches_is_a_seam_once(board: Drawing) -> None:
    seams = find_seams(board.patches)
    found: dict[tuple[int, int], float] = {}
    for seam in seams:
        pair = (min(seam.left, seam.right), max(seam.left, seam.right))
        assert pair not in found, "convex patches share one stretch"
        found[pair] = seam.length_mm
    wanted = shared_mm(board)
    assert set(found) == set(wanted)
    for pair, length in wanted.items():
        assert found[pair] == pytest.approx(length, abs=1e-3)


@given(drawings)
@settings(deadline=None, max_examples=40)
def test_seams_cover_all_edges_but_the_outline(board: Drawing) -> None:
    seams = find_seams(board.patches)
    edges = sum(Shape(patch.points).length for patch in board.patches)
    outline = Shape(board.outline).length
    assert 2.0 * sum(seam.length_mm for seam in seams) == pytest.approx(edges - outline, abs=1e-3)
    shapes = [Shape(patch.points) for patch in board.patches]
    for seam in seams:
        line = LineString([seam.start, seam.end])
        assert shapes[seam.left].boundary.buffer(1e-4).contains(line)
        assert shapes[seam.right].boundary.buffer(1e-4).contains(line)


@given(drawings)
@settings(deadline=None, max_examples=40)
def test_left_lies_left_and_angles_are_those_of_the_grain(board: Drawing) -> None:
    for seam in find_seams(board.patches):
        (x0, y0), (x1, y1) = seam.start, seam.end
        angle = math.degrees(math.atan2(y1 - y0, x1 - x0))
        for number, side, given_deg in (
            (seam.left, 1.0, seam.left_deg),
            (seam.right, -1.0, seam.right_deg),
        ):
            patch = board.patches[number]
            middle = Shape(patch.points).centroid
            cross = (x1 - x0) * (middle.y - y0) - (y1 - y0) * (middle.x - x0)
            assert cross * side > 0.0
            assert given_deg == pytest.approx(angle_between(patch.grain_deg, angle), abs=1e-3)
            assert 0.0 <= given_deg <= 90.0


def two(angle_deg: float, grain_a: float, grain_b: float) -> Seam:
    lean = 50.0 * math.cos(math.radians(angle_deg)) / math.sin(math.radians(angle_deg))
    rings = [
        ((0.0, 0.0), (100.0 - lean, 0.0), (100.0 + lean, 100.0), (0.0, 100.0)),
        ((100.0 - lean, 0.0), (200.0, 0.0), (200.0, 100.0), (100.0 + lean, 100.0)),
    ]
    board = drawing(rings, "AB", [grain_a, grain_b], outline=rectangle(200.0, 100.0))
    (seam,) = find_seams(board.patches)
    return seam


@pytest.mark.parametrize(
    ("angle", "grain_a", "grain_b", "expected", "words"),
    [
        (90.0, 90.0, 90.0, SeamClass.LONG_GRAIN, "long grain"),
        (90.0, 0.0, 0.0, SeamClass.END_GRAIN, "end grain"),
        (90.0, 90.0, 0.0, SeamClass.END_GRAIN, "end grain"),
        (45.0, 90.0, 90.0, SeamClass.SLANTED, "slanted 45°"),
        (135.0, 90.0, 90.0, SeamClass.SLANTED, "slanted 45°"),
        (87.0, 90.0, 90.0, SeamClass.LONG_GRAIN, "long grain"),
        (90.0, 30.0, 90.0, SeamClass.END_GRAIN, "end grain"),
        (90.0, 31.0, 90.0, SeamClass.SLANTED, "slanted 59°"),
    ],
)
def test_the_class_is_that_of_the_weaker_side(
    angle: float, grain_a: float, grain_b: float, expected: SeamClass, words: str
) -> None:
    seam = two(angle, grain_a, grain_b)
    assert seam.seam_class is expected
    assert seam.words == words
    assert seam.weaker_deg == max(seam.left_deg, seam.right_deg)


def test_grades_change_where_they_say() -> None:
    assert grade(5.0) is SeamClass.LONG_GRAIN
    assert grade(5.1) is SeamClass.SLANTED
    assert grade(59.9) is SeamClass.SLANTED
    assert grade(60.0) is SeamClass.END_GRAIN


def test_a_long_side_against_two_short_ones_is_two_seams() -> None:
    board = drawing(
        [
            ((0.0, 0.0), (100.0, 0.0), (100.0, 50.0), (40.0, 50.0), (0.0, 50.0)),
            ((0.0, 50.0), (40.0, 50.0), (40.0, 80.0), (0.0, 80.0)),
            ((40.0, 50.0), (100.0, 50.0), (100.0, 80.0), (40.0, 80.0)),
        ],
        "ABC",
        [90.0] * 3,
    )
    seams = find_seams(board.patches)
    assert sorted(round(seam.length_mm, 6) for seam in seams) == [30.0, 40.0, 60.0]


def test_one_patch_has_no_seam() -> None:
    assert find_seams(drawing([rectangle(10.0, 10.0)], "A", [0.0]).patches) == ()
