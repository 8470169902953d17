"""Supporting lines and the cells beside them."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fakes.drawings import EIGHTHS, SQUARE_ANGLES, rectangle, split_rings
from seamwright.geometry import ON_LINE_MM, Line, Polygon
from seamwright.seams import members, supporting_lines

tilings = st.builds(
    split_rings,
    st.integers(0, 10**6),
    st.integers(1, 30),
    angles=st.sampled_from([SQUARE_ANGLES, EIGHTHS, None]),
    step_mm=st.sampled_from([0.0, 25.0]),
)


def edges(ring: Polygon) -> list[Line]:
    return [Line.through(a, b) for a, b in zip(ring, ring[1:] + ring[:1], strict=True)]


@given(tilings)
@settings(deadline=None, max_examples=50)
def test_cells_lie_where_the_bit_sets_say(cells: list[Polygon]) -> None:
    for entry in supporting_lines(cells):
        assert 0.0 <= entry.line.angle_deg < 180.0
        for number, ring in enumerate(cells):
            sides = [entry.line.side(p) for p in ring]
            above, below = max(sides) > ON_LINE_MM, min(sides) < -ON_LINE_MM
            assert bool(entry.left >> number & 1) == (above and not below)
            assert bool(entry.right >> number & 1) == (below and not above)
            assert bool(entry.crossed >> number & 1) == (above and below)
        carried = [
            number
            for number, ring in enumerate(cells)
            if any(
                abs(entry.line.side(a)) <= 1e-4 and abs(entry.line.side(b)) <= 1e-4
                for a, b in zip(ring, ring[1:] + ring[:1], strict=True)
            )
        ]
        assert members(entry.carried) == carried


@given(tilings)
@settings(deadline=None, max_examples=50)
def test_every_edge_lies_on_one_line_and_every_line_carries_one(cells: list[Polygon]) -> None:
    entries = supporting_lines(cells)
    for ring in cells:
        for a, b in zip(ring, ring[1:] + ring[:1], strict=True):
            on = [
                entry for entry in entries
                if abs(entry.line.side(a)) <= 1e-4 and abs(entry.line.side(b)) <= 1e-4
            ]  # fmt: skip
            assert len(on) == 1
    assert all(entry.carried for entry in entries)


@given(tilings)
@settings(deadline=None, max_examples=30)
def test_parallel_lines_have_one_direction_in_order_of_offset(cells: list[Polygon]) -> None:
    entries = supporting_lines(cells)
    order = [(entry.direction, entry.line.offset) for entry in entries]
    assert order == sorted(order)
    for entry in entries:
        for other in entries:
            cross = entry.line.ux * other.line.uy - entry.line.uy * other.line.ux
            assert (entry.direction == other.direction) == (abs(cross) < 1e-6)


def test_lines_either_side_of_level_are_one_direction() -> None:
    tilted: Polygon = ((0.0, 0.0), (100.0, 1e-6), (100.0, 50.0), (0.0, 50.0 + 1e-6))
    directions = {entry.direction for entry in supporting_lines([tilted])}
    assert len(directions) == 2


def test_lines_through_the_middle_and_far_from_it_are_not_mixed_up() -> None:
    # the same distance on either side of the origin
    cells = [
        ((-10.0, -20.0), (10.0, -20.0), (10.0, -10.0), (-10.0, -10.0)),
        ((-10.0, -10.0), (10.0, -10.0), (10.0, 10.0), (-10.0, 10.0)),
        ((-10.0, 10.0), (10.0, 10.0), (10.0, 20.0), (-10.0, 20.0)),
    ]
    level = [entry for entry in supporting_lines(cells) if abs(entry.line.uy) < 1e-12]
    assert [entry.line.offset for entry in level] == pytest.approx([-20.0, -10.0, 10.0, 20.0])
    assert [members(entry.left) for entry in level] == [[0, 1, 2], [1, 2], [2], []]


def test_no_cells_have_no_lines() -> None:
    assert supporting_lines([]) == ()


def test_a_line_divides_only_what_it_does_not_cross() -> None:
    low = ((0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (0.0, 10.0))
    left = ((0.0, 10.0), (10.0, 10.0), (10.0, 20.0), (0.0, 20.0))
    right = ((10.0, 10.0), (20.0, 10.0), (20.0, 20.0), (10.0, 20.0))
    upright = next(
        entry for entry in supporting_lines([low, left, right])
        if abs(entry.line.ux) < 1e-12 and abs(abs(entry.line.offset) - 10.0) < 1e-9
    )  # fmt: skip
    assert not upright.divides(0b111)
    assert upright.divides(0b110)
    assert not upright.divides(0b010)


@given(st.sets(st.integers(0, 300)))
def test_members_are_the_bits(numbers: set[int]) -> None:
    assert members(sum(1 << n for n in numbers)) == sorted(numbers)


def test_a_rectangle_has_four_lines() -> None:
    assert len(supporting_lines([rectangle(30.0, 20.0)])) == 4
