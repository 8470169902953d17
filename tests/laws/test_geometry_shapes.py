"""Area, hull, inner points and cleaning against shapely."""

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from seamwright.geometry import (
    ON_LINE_MM,
    anticlockwise,
    area,
    centroid,
    convex_hull,
    distance,
    drop_collinear,
    inner_point,
    is_convex,
    signed_area,
    snap,
)
from zoo import ARROW, COMB, ELL, FLAT, SQUARE, WITH_JOINTS, ZOO, simple_polygons

points = st.tuples(st.integers(-9, 9), st.integers(-9, 9)).map(lambda p: (float(p[0]), float(p[1])))


@given(simple_polygons)
def test_area_and_centroid(polygon):
    shape = shapely.Polygon(polygon)
    assert area(polygon) == pytest.approx(shape.area, rel=1e-9, abs=1e-9)
    assert distance(centroid(polygon), (shape.centroid.x, shape.centroid.y)) < 1e-6
    assert signed_area(polygon[::-1]) == pytest.approx(-signed_area(polygon))
    assert anticlockwise(polygon[::-1])[0] in polygon
    assert signed_area(anticlockwise(polygon[::-1])) > 0.0


@given(simple_polygons)
def test_inner_point_is_inside(polygon):
    x, y = inner_point(polygon)
    assert shapely.Polygon(polygon).contains(shapely.Point(x, y))


@given(st.lists(points, max_size=25))
def test_hull_against_shapely(listed):
    hull = convex_hull(listed)
    wanted = shapely.MultiPoint(listed).convex_hull if listed else shapely.Point()
    assert area(hull) == pytest.approx(wanted.area)
    assert (hull == ()) == (wanted.area == 0.0)
    if hull:
        assert signed_area(hull) > 0.0
        assert is_convex(hull)
        assert len(hull) == len(wanted.exterior.coords) - 1


@given(simple_polygons, st.lists(st.floats(0.1, 0.9), max_size=4))
def test_points_on_edges_are_dropped(polygon, parts):
    crowded = list(polygon)
    for part in parts:
        (ax, ay), (bx, by) = crowded[0], crowded[1]
        crowded.insert(1, (ax + part * (bx - ax), ay + part * (by - ay)))
    clean = drop_collinear(tuple(crowded), tolerance_mm=1e-9)
    assert drop_collinear(clean, tolerance_mm=1e-9) == clean
    assert area(clean) == pytest.approx(area(polygon), rel=1e-9, abs=1e-9)
    assert len(clean) <= len(polygon)


@given(simple_polygons)
def test_convex_means_as_large_as_its_hull(polygon):
    hull = shapely.Polygon(polygon).convex_hull
    full = hull.area - shapely.Polygon(polygon).area <= 1e-9 * hull.area
    if full:
        assert is_convex(polygon)
    elif is_convex(polygon):
        missing = hull.difference(shapely.Polygon(polygon))
        assert missing.buffer(-2.0 * ON_LINE_MM).is_empty


@pytest.mark.parametrize(
    ("polygon", "convex"),
    [(SQUARE, True), (WITH_JOINTS, True), (ELL, False), (COMB, False), (ARROW, False)],
)
def test_known_shapes(polygon, convex):
    assert is_convex(polygon) is convex
    assert is_convex(polygon[::-1]) is convex


@pytest.mark.parametrize("name", FLAT)
def test_flat_shapes(name):
    flat = FLAT[name]
    assert area(flat) == 0.0
    assert drop_collinear(flat) == ()
    assert convex_hull(flat) == ()
    assert is_convex(flat)


@pytest.mark.parametrize("name", ZOO)
def test_cleaning_keeps_the_zoo(name):
    assert area(drop_collinear(ZOO[name], tolerance_mm=1e-9)) == pytest.approx(area(ZOO[name]))


def test_a_spike_is_dropped():
    spiked = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (10.0, 20.0), (10.0, 10.0), (0.0, 10.0))
    assert drop_collinear(spiked) == SQUARE


@given(st.integers(-(10**13), 10**13))
def test_the_lattice_is_exact(steps):
    assert snap(steps / 10**9) == steps / 10**9
