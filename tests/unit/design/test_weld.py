"""Welding: near points become one, points near an edge are laid on it."""

from seamwright.design.weld import welded
from seamwright.geometry import WELD_MM, Line, area

LEFT = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))


def test_exact_drawings_come_through_unchanged():
    right = ((10.0, 0.0), (20.0, 0.0), (20.0, 10.0), (10.0, 10.0))
    assert welded([LEFT, right]) == (LEFT, right)
    assert welded([]) == ()


def test_the_first_point_stays():
    near = 10.0 + 0.9 * WELD_MM
    right = ((near, 0.0), (20.0, 0.0), (20.0, 10.0), (near, 10.0))
    assert welded([LEFT, right])[1] == ((10.0, 0.0), (20.0, 0.0), (20.0, 10.0), (10.0, 10.0))


def test_points_further_apart_stay_two():
    far = 10.0 + 1.1 * WELD_MM
    right = ((far, 0.0), (20.0, 0.0), (20.0, 10.0), (far, 10.0))
    assert welded([LEFT, right])[1] == right


def test_points_are_joined_across_the_borders_of_the_search_grid():
    for offset in (-0.7, -0.3, 0.3, 0.7):
        moved = tuple((x + offset * WELD_MM, y - offset * WELD_MM) for x, y in LEFT)
        assert welded([LEFT, moved]) == (LEFT, LEFT)


def test_a_point_near_an_edge_is_laid_on_it():
    slope = ((0.0, 0.0), (100.0, 0.0), (0.0, 70.0))
    other = ((50.0, 35.004), (90.0, 60.0), (40.0, 60.0))
    (_, laid) = welded([slope, other])
    edge = Line.through((100.0, 0.0), (0.0, 70.0))
    assert abs(edge.side(laid[0])) < 1e-8
    assert laid[1:] == other[1:]


def test_turned_and_flat_shapes():
    assert welded([LEFT[::-1]])[0][0] in LEFT
    assert area(welded([LEFT[::-1]])[0]) == 100.0
    hair = ((0.0, 0.0), (10.0, 0.0), (10.0, 0.005), (0.0, 0.005))
    assert welded([hair]) == ((),)
    assert welded([((0.0, 0.0), (0.001, 0.0), (0.0, 0.001))]) == ((),)
