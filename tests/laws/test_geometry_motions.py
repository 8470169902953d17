"""Rigid motions are a group, keep shape and carry directions along."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from seamwright.geometry import (
    IDENTITY,
    Line,
    Motion,
    angle_between,
    area,
    cos_deg,
    direction_deg,
    distance,
    fold_deg,
    signed_area,
    sin_deg,
)
from zoo import simple_polygons

angles = st.one_of(st.sampled_from([0.0, 45.0, 90.0, 180.0, 270.0, 360.0]), st.floats(-720, 720))
shifts = st.floats(-1000, 1000)
motions = st.builds(Motion, turn_deg=angles, over=st.booleans(), x_mm=shifts, y_mm=shifts)
points = st.tuples(shifts, shifts)


@given(motions, motions, points)
def test_after_is_one_then_the_other(second, first, point):
    assert distance(second.after(first).point(point), second.point(first.point(point))) < 1e-8


@given(motions, motions, motions, points)
def test_after_is_associative(a, b, c, point):
    left, right = a.after(b).after(c), a.after(b.after(c))
    assert distance(left.point(point), right.point(point)) < 1e-8


@given(motions, points)
def test_inverse_puts_everything_back(motion, point):
    assert distance(motion.inverse().point(motion.point(point)), point) < 1e-8
    assert distance(motion.point(motion.inverse().point(point)), point) < 1e-8
    assert distance(IDENTITY.after(motion).point(point), motion.point(point)) < 1e-8


@given(motions, points, points)
def test_lengths_stay(motion, a, b):
    assert distance(motion.point(a), motion.point(b)) == pytest.approx(distance(a, b), abs=1e-8)


@given(motions, simple_polygons)
def test_polygons_stay_anticlockwise_and_equal(motion, polygon):
    moved = motion.polygon(polygon)
    assert signed_area(moved) > 0.0
    assert area(moved) == pytest.approx(area(polygon), rel=1e-7, abs=1e-7)
    ours = sorted(motion.point(p) for p in polygon)
    assert max(map(distance, ours, sorted(moved))) < 1e-8


@given(motions, angles, points)
def test_directions_go_along(motion, angle, point):
    ahead = (point[0] + 100 * cos_deg(angle), point[1] + 100 * sin_deg(angle))
    a, b = motion.point(point), motion.point(ahead)
    seen = direction_deg(b[0] - a[0], b[1] - a[1])
    assert angle_between(seen, motion.undirected_deg(angle)) < 1e-6


@given(motions, points, points, st.booleans())
def test_carrying_lays_a_segment_on_another(motion, a, b, over):
    if distance(a, b) < 1.0:
        return
    to_a, to_b = motion.point(a), motion.point(b)
    carried = Motion.carrying(a, b, to_a=to_a, to_b=to_b, over=over)
    assert carried.over is over
    assert distance(carried.point(a), to_a) < 1e-7
    assert distance(carried.point(b), to_b) < 1e-7


@given(angles)
def test_angles_agree_with_radians(angle):
    assert sin_deg(angle) == pytest.approx(math.sin(math.radians(angle)), abs=1e-12)
    assert cos_deg(angle) == pytest.approx(math.cos(math.radians(angle)), abs=1e-12)
    assert 0.0 <= fold_deg(angle) < 180.0
    assert angle_between(angle, angle + 180.0) < 1e-6
    assert 0.0 <= angle_between(angle, 10.0) <= 90.0


@pytest.mark.parametrize("k", range(8))
def test_shop_angles_are_exact(k):
    turn = 45.0 * k
    assert direction_deg(round(cos_deg(turn)), round(sin_deg(turn))) == turn
    assert abs(sin_deg(turn)) in (0.0, math.sqrt(0.5), 1.0)


@given(points, points, points, angles)
def test_lines(a, b, p, angle):
    if distance(a, b) < 1e-3:
        return
    line = Line.through(a, b)
    assert abs(line.side(a)) < 1e-7
    assert abs(line.side(b)) < 1e-7
    assert line.reversed().side(p) == pytest.approx(-line.side(p), abs=1e-7)
    assert line.shifted(2.5).side(p) == pytest.approx(line.side(p) - 2.5, abs=1e-7)
    other = Line.at_angle(p, angle)
    crossing = line.crossing(other)
    between = angle_between(line.angle_deg, other.angle_deg)
    if between > 0.1:
        assert crossing is not None
        assert abs(line.side(crossing)) < 1e-3
        assert abs(other.side(crossing)) < 1e-3
    if between == 0.0:
        assert line.crossing(line.shifted(1.0)) is None


def test_no_line_through_one_point():
    with pytest.raises(ValueError, match="no line"):
        Line.through((1.0, 1.0), (1.0, 1.0))
