"""Larger parts that a region is trimmed from."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fakes.drawings import split_rings
from seamwright.geometry import Line, Polygon, area, clip, convex_hull, drop_collinear
from seamwright.planner.cells import Cell
from seamwright.planner.trims import MOST_EXTRA, OverBuilt, over_builds


def brought_back(ring: Polygon, built: OverBuilt) -> Polygon:
    for line in built.cuts:
        parts = clip(ring, line)
        if not parts:
            return ()
        (ring,) = parts
    return ring


def shared(one: Polygon, other: Polygon) -> float:
    """Common area of two convex outlines [mm²].

    Clipped by hand: an overlay of outlines equal but for the last bits can lose a whole one.
    """
    for a, b in zip(other, other[1:] + other[:1], strict=True):
        parts = clip(one, Line.through(a, b))
        if not parts:
            return 0.0
        (one,) = parts
    return area(one)


def assert_brings_back(cells: list[Cell], hull: Polygon, built: OverBuilt) -> None:
    assert area(brought_back(built.hull, built)) == pytest.approx(area(hull), rel=1e-6)
    assert len(built.cells) == len(cells)
    for cell, larger in zip(cells, built.cells, strict=True):
        assert (cell.wood, cell.grain_deg) == (larger.wood, larger.grain_deg)
        sawn = brought_back(larger.polygon, built)
        common = shared(sawn, drop_collinear(cell.polygon))
        assert area(sawn) - common < 1e-4
        assert area(cell.polygon) - common < 1e-4
    rings = [drop_collinear(c.polygon) for c in built.cells]
    # no two overlap, none sticks out, and together they are as large: they tile the larger block
    assert all(shared(a, b) < 1e-4 for i, a in enumerate(rings) for b in rings[:i])
    assert all(area(ring) - shared(ring, built.hull) < 1e-4 for ring in rings)
    assert sum(map(area, rings)) == pytest.approx(area(built.hull), rel=1e-6)


def nine_patch_with_cut_corners() -> tuple[list[Cell], Polygon]:
    hull: Polygon = (
        (10, 0), (80, 0), (90, 10), (90, 80), (80, 90), (10, 90), (0, 80), (0, 10),
    )  # fmt: skip
    cells = []
    for i in range(3):
        for j in range(3):
            x, y = 30.0 * i, 30.0 * j
            ring: Polygon = ((x, y), (x + 30, y), (x + 30, y + 30), (x, y + 30))
            for a, b in zip(hull, hull[1:] + hull[:1], strict=True):
                (ring,) = clip(ring, Line.through(a, b))
            cells.append(Cell(ring, "AB"[(i + j) % 2], 90.0))
    return cells, hull


def test_a_nine_patch_with_cut_corners_is_a_nine_patch_trimmed() -> None:
    cells, hull = nine_patch_with_cut_corners()
    (built,) = over_builds(cells, hull, [0.0, 90.0])
    assert area(built.hull) == pytest.approx(8100.0)
    assert all(area(cell.polygon) == pytest.approx(900.0) for cell in built.cells)
    assert len(built.cuts) == 4
    assert_brings_back(cells, hull, built)


def test_seams_of_three_directions_are_no_plain_grid() -> None:
    cells, hull = nine_patch_with_cut_corners()
    assert over_builds(cells, hull, [0.0, 45.0, 90.0]) == []


def test_what_is_a_plain_block_already_is_not_trimmed() -> None:
    hull: Polygon = ((0, 0), (60, 0), (60, 30), (0, 30))
    cells = [Cell(((0, 0), (60, 0), (60, 10), (0, 10)), "A", 0.0)]
    cells.append(Cell(((0, 10), (60, 10), (60, 30), (0, 30)), "B", 0.0))
    assert over_builds(cells, hull, [0.0]) == []


def test_a_single_piece_comes_from_a_block_along_its_grain() -> None:
    ring: Polygon = ((0, 0), (60, 0), (60, 30), (40, 50), (0, 50))
    (built,) = over_builds([Cell(ring, "A", 90.0)], ring, [])
    assert area(built.hull) == pytest.approx(3000.0)
    assert len(built.cuts) == 1


def test_a_square_on_its_point_comes_from_a_block_and_from_a_slanted_slice() -> None:
    ring: Polygon = ((0, 0), (30, 30), (0, 60), (-30, 30))
    block, slice_ = over_builds([Cell(ring, "A", 90.0)], ring, [])
    assert (len(block.cuts), len(slice_.cuts)) == (4, 2)
    for built in (block, slice_):
        assert area(built.hull) == pytest.approx(2.0 * area(ring))
        assert_brings_back([Cell(ring, "A", 90.0)], ring, built)


def test_a_slanted_bar_comes_from_a_slanted_block() -> None:
    # 200 × 10, its long edges at 45° to the grain: a block round it would be eleven times as large
    line = Line.at_angle((0.0, 0.0), 45.0)
    ux, uy = line.ux, line.uy
    ring: Polygon = (
        (0, 0), (200 * ux, 200 * uy), (200 * ux - 10 * uy, 200 * uy + 10 * ux), (-10 * uy, 10 * ux),
    )  # fmt: skip
    (built,) = over_builds([Cell(ring, "A", 90.0)], ring, [])
    assert area(built.hull) < 1.2 * area(ring)
    assert_brings_back([Cell(ring, "A", 90.0)], ring, built)


def test_a_splinter_is_made_however_much_is_wasted() -> None:
    # every edge leans less than 25° to the grain, or nothing but a block would do
    ring: Polygon = ((0, 0), (200, 40), (190, 46))
    found = over_builds([Cell(ring, "A", 0.0)], ring, [])
    assert len(found) == 1
    assert area(found[0].hull) > MOST_EXTRA * area(ring)


@given(
    st.integers(0, 10**6),
    st.integers(1, 8),
    st.sampled_from([(0.0, 90.0), (45.0, 135.0), (0.0, 45.0)]),
    st.integers(0, 3),
)
@settings(deadline=None, max_examples=80)
def test_trimming_brings_back_what_was_wanted(
    seed: int, count: int, angles: tuple[float, float], corners: int
) -> None:
    rings = [drop_collinear(r) for r in split_rings(seed, count, angles=angles, step_mm=12.5)]
    hull: Polygon = ((0, 0), (400, 0), (400, 300), (0, 300))
    for line in [
        Line.at_angle((60.0, 0.0), 135.0).reversed(),
        Line.at_angle((340.0, 0.0), 45.0),
        Line.at_angle((0.0, 240.0), 45.0).reversed(),
    ][:corners]:
        (hull,) = clip(hull, line)
        rings = [part for ring in rings for part in clip(ring, line)]
    rings = [drop_collinear(ring) for ring in rings]
    cells = [Cell(ring, "AB"[i % 2], 90.0) for i, ring in enumerate(rings) if ring]
    seams = sorted(
        {
            round(Line.through(a, b).undirected_deg, 6)
            for c in cells
            for a, b in zip(c.polygon, c.polygon[1:] + c.polygon[:1], strict=True)
            if not _on_edge(a, b, hull)
        }
    )
    for built in over_builds(cells, convex_hull(hull), seams):
        assert_brings_back(cells, hull, built)


def _on_edge(a: tuple[float, float], b: tuple[float, float], hull: Polygon) -> bool:
    sides = [Line.through(p, q) for p, q in zip(hull, hull[1:] + hull[:1], strict=True)]
    return any(abs(s.side(a)) < 1e-6 and abs(s.side(b)) < 1e-6 for s in sides)
