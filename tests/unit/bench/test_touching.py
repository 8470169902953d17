"""Areas and edges in common, against the shapely library as reference."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from seamwright.bench.notes import mm
from seamwright.bench.shapes import is_crumb, thinnest_mm
from seamwright.bench.touching import (
    common_area,
    edge_in_common,
    faces_on,
    merged,
    near_pairs,
    separate_parts,
    shared,
)
from seamwright.geometry import Line, Motion, Polygon, anticlockwise, convex_hull, is_convex

# a coarse lattice: reference and clipping then never meet outlines equal but for the last bit
places = st.tuples(st.integers(-40, 40), st.integers(-40, 40)).map(
    lambda p: (p[0] / 2.0, p[1] / 2.0)
)
convex = (
    st.lists(places, min_size=3, max_size=9).map(convex_hull).filter(lambda hull: len(hull) > 2)
)
L_SHAPE: Polygon = ((0, 0), (12, 0), (12, 4), (5, 4), (5, 15), (0, 15))
stars = st.lists(st.floats(2.0, 18.0), min_size=5, max_size=9).map(
    lambda radii: tuple(
        (r * math.cos(2 * math.pi * i / len(radii)), r * math.sin(2 * math.pi * i / len(radii)))
        for i, r in enumerate(radii)
    )
)


@given(convex | stars | st.just(L_SHAPE), convex)
def test_area_in_common_is_what_shapely_finds(outline: Polygon, cutter: Polygon) -> None:
    wanted = shapely.Polygon(outline).intersection(shapely.Polygon(cutter)).area
    assert common_area(outline, cutter) == pytest.approx(wanted, abs=1e-9)


@given(convex, st.floats(0.0, 360.0))
def test_an_outline_shares_its_whole_area_with_itself_turned_and_turned_back(
    outline: Polygon, turn: float
) -> None:
    motion = Motion(turn_deg=turn, x_mm=31.7, y_mm=-4.3)
    again = motion.inverse().polygon(motion.polygon(outline))
    whole = shapely.Polygon(outline).area
    assert common_area(outline, again) == pytest.approx(whole, abs=1e-9)


def test_pieces_are_convex_by_the_kernels_word_too() -> None:
    assert not is_convex(L_SHAPE)
    assert is_convex(anticlockwise(((0, 0), (0, 5), (5, 5))))


def test_faces_along_a_line() -> None:
    up = Line.at_angle((5.0, 0.0), 90.0)
    assert faces_on([L_SHAPE], up) == ((4.0, 15.0),)
    assert faces_on([L_SHAPE], Line.at_angle((0.0, 15.0), 0.0)) == ((0.0, 5.0),)
    assert faces_on([L_SHAPE], Line.at_angle((0.0, 16.0), 0.0)) == ()


def test_intervals() -> None:
    assert merged([(5.0, 6.0), (0.0, 2.0), (2.0, 3.0), (9.0, 9.0)]) == ((0.0, 3.0), (5.0, 6.0))
    assert shared([(0.0, 3.0), (5.0, 9.0)], [(2.0, 6.0)]) == ((2.0, 3.0), (5.0, 6.0))


def test_edges_in_common() -> None:
    square: Polygon = ((0, 0), (10, 0), (10, 10), (0, 10))
    assert edge_in_common(square, Motion(x_mm=10.0, y_mm=4.0).polygon(square)) == 6.0
    assert edge_in_common(square, Motion(x_mm=10.0, y_mm=10.0).polygon(square)) == 0.0
    slanted = Motion(turn_deg=30.0)
    one, other = slanted.polygon(square), slanted.polygon(Motion(x_mm=10.0).polygon(square))
    assert edge_in_common(one, other) == pytest.approx(10.0)


def test_separate_parts() -> None:
    square: Polygon = ((0, 0), (10, 0), (10, 10), (0, 10))
    row = [Motion(x_mm=10.0 * i).polygon(square) for i in range(4)]
    assert separate_parts(row) == 1
    assert separate_parts([row[0], row[1], row[3]]) == 2
    corner = Motion(x_mm=10.0, y_mm=10.0).polygon(square)
    assert separate_parts([square, corner]) == 2
    assert separate_parts([]) == 0


def test_near_pairs_of_nothing() -> None:
    left, right = near_pairs([], [L_SHAPE])
    assert len(left) == len(right) == 0


def test_the_thinnest_measure() -> None:
    # a right triangle 3-4-5 is 12/5 high over its long side
    assert thinnest_mm(((0, 0), (4, 0), (0, 3))) == pytest.approx(2.4)
    assert is_crumb(((0, 0), (100, 0), (100, 0.0005), (0, 0.0005)))
    assert not is_crumb(((0, 0), (100, 0), (100, 0.01), (0, 0.01)))


@pytest.mark.parametrize(
    ("value", "text"),
    [(100.0, "100 mm"), (0.05, "0.05 mm"), (-0.001, "-0.001 mm"), (1e4, "10000 mm")],
)
def test_lengths_in_sentences(value: float, text: str) -> None:
    assert mm(value) == text
