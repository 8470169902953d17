"""Cuts against shapely, a second implementation that shares nothing with the kernel."""

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from seamwright.geometry import Line, area, bounds, clip, cut_band, split
from zoo import COMB, RING_WITH_SLIT, SQUARE, WITH_JOINTS, ZIGZAG, ZOO, simple_polygons

FAR = 50_000.0


def half_plane(line: Line) -> shapely.Polygon:
    """A very large square to the left of a line."""
    x, y = -line.uy * line.offset, line.ux * line.offset
    ux, uy, nx, ny = line.ux * FAR, line.uy * FAR, -line.uy * FAR, line.ux * FAR
    return shapely.Polygon(
        [(x - ux, y - uy), (x + ux, y + uy), (x + ux + nx, y + uy + ny), (x - ux + nx, y - uy + ny)]
    )


@st.composite
def lines_through(draw, polygon):
    """Lines through corners, along edges, across the box, at odd and at shop angles."""
    kind = draw(st.sampled_from(["corners", "corner at angle", "box", "shifted edge"]))
    a = draw(st.sampled_from(polygon))
    b = draw(st.sampled_from(polygon))
    if kind == "corners" and a != b:
        return Line.through(a, b)
    angle = draw(
        st.one_of(st.sampled_from([0.0, 30.0, 45.0, 90.0, 135.0, 270.0]), st.floats(0, 360))
    )
    if kind == "corner at angle":
        return Line.at_angle(a, angle)
    x0, y0, x1, y1 = bounds(polygon)
    if kind == "shifted edge" and a != b:
        return Line.through(a, b).shifted(draw(st.integers(-3, 3)) * (x1 - x0) / 7.0)
    u, v = draw(st.floats(-0.1, 1.1)), draw(st.floats(-0.1, 1.1))
    return Line.at_angle((x0 + u * (x1 - x0), y0 + v * (y1 - y0)), angle)


@st.composite
def polygon_and_line(draw):
    polygon = draw(simple_polygons)
    return polygon, draw(lines_through(polygon))


@given(polygon_and_line())
@settings(max_examples=300)
def test_clip_agrees_with_shapely(pair):
    polygon, line = pair
    parts = [shapely.Polygon(part) for part in clip(polygon, line)]
    wanted = shapely.Polygon(polygon).intersection(half_plane(line))
    rounding = 1e-6 * shapely.Polygon(polygon).length + 1e-9
    for part in parts:
        assert part.is_valid or part.buffer(0).area == pytest.approx(part.area, abs=rounding)
        assert part.exterior.is_ccw
    # as large, apart, and inside: an overlay of outlines equal but for the last bits can lose one
    around = wanted.buffer(1e-6)
    assert all(around.covers(part.buffer(0)) for part in parts)
    for i, part in enumerate(parts):
        assert all(part.buffer(0).intersection(p.buffer(0)).area <= rounding for p in parts[:i])
    assert sum(part.area for part in parts) == pytest.approx(wanted.area, abs=rounding)


@given(polygon_and_line())
@settings(max_examples=150)
def test_nothing_is_lost_in_a_split(pair):
    polygon, line = pair
    left, right = split(polygon, line)
    total = sum(map(area, left)) + sum(map(area, right))
    assert total == pytest.approx(area(polygon), rel=1e-9, abs=1e-4)


@given(polygon_and_line(), st.floats(0.0, 8.0))
@settings(max_examples=150)
def test_saw_balance(pair, kerf_mm):
    polygon, line = pair
    left, dust, right = cut_band(polygon, line, kerf_mm)
    total = sum(area(part) for group in (left, dust, right) for part in group)
    assert total == pytest.approx(area(polygon), rel=1e-9, abs=1e-4)
    for part in dust:
        for point in part:
            assert -kerf_mm - 1e-6 <= line.side(point) <= 1e-6
    for part in left:
        assert all(line.side(point) >= -1e-6 for point in part)
    for part in right:
        assert all(line.side(point) <= -kerf_mm + 1e-6 for point in part)


def test_kerf_of_a_diagonal_cut():
    """A square of side s split on its diagonal by a kerf k, half to each side, leaves triangles
    with legs s - k/√2 (plain geometry)."""
    side, kerf = 50.0, 3.2
    square = ((0.0, 0.0), (side, 0.0), (side, side), (0.0, side))
    line = Line.through((0.0, 0.0), (side, side)).shifted(kerf / 2.0)
    left, dust, right = cut_band(square, line, kerf)
    leg = side - kerf / math.sqrt(2.0)
    assert [area(part) for part in left + right] == pytest.approx([leg * leg / 2.0] * 2)
    assert sum(map(area, dust)) == pytest.approx(side * side - leg * leg)


@pytest.mark.parametrize("name", ZOO)
def test_touching_is_not_cutting(name):
    polygon = ZOO[name]
    x0, y0, _, y1 = bounds(polygon)
    below = Line.at_angle((x0, y0), 0.0)
    assert clip(polygon, below) == (polygon,)
    assert clip(polygon, below.reversed()) == ()
    assert clip(polygon, Line.at_angle((x0, y1), 180.0)) == (polygon,)


def test_a_comb_falls_into_its_teeth():
    line = Line.at_angle((0.0, 4.0), 0.0)
    above, below = split(COMB, line)
    assert sorted(map(area, above)) == [4.0, 4.0, 8.0]
    assert [area(part) for part in below] == [14.0 * 2 + (4 + 2 + 2) * 2.0]


def test_a_cut_along_inner_edges():
    above, below = split(COMB, Line.at_angle((0.0, 2.0), 0.0))
    assert sorted(map(area, above)) == [8.0, 8.0, 16.0]
    assert [area(part) for part in below] == [28.0]


def test_a_cut_through_tips_that_touch():
    above, below = split(ZIGZAG, Line.at_angle((0.0, 3.0), 0.0))
    assert [area(part) for part in above] == [24.0]
    assert sorted(map(area, below)) == [3.0, 3.0, 6.0]


def test_a_cut_down_a_slit():
    left, right = split(RING_WITH_SLIT, Line.at_angle((4.0, 0.0), 90.0))
    assert sum(map(area, left)) == 36.0 - 3.0
    assert len(left) == 1
    assert len(right) == 1


def test_a_hair_beside_a_corner_gives_no_flat_part():
    line = Line.through((0.0, 1e-9), (10.0, -1e-9))
    assert clip(SQUARE, line) == (SQUARE,)
    assert clip(SQUARE, line.reversed()) == ()


def test_crossings_are_the_same_from_both_sides():
    line = Line.at_angle((3.3, 4.7), 23.0)
    left, right = split(WITH_JOINTS, line)
    on_left = {p for p in left[0] if abs(line.side(p)) < 1e-9}
    assert on_left == {p for p in right[0] if abs(line.side(p)) < 1e-9}
    assert len(on_left) == 2
