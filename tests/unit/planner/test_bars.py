"""Slices from bars: the sliced piece, laid where the plan says, is the piece drawn."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seamwright.geometry import Motion, Polygon, area, centroid, convex_hull, drop_collinear
from seamwright.planner.bars import BarBook, slice_option
from seamwright.planner.cells import Cell
from seamwright.planner.options import Cut

KERF_MM = 3.0


def book() -> BarBook:
    return BarBook(KERF_MM, [], {})


def sliced(cells: Sequence[Cell], bars: BarBook | None = None) -> tuple[Cut | None, BarBook]:
    bars = bars or book()
    hull = convex_hull([p for cell in cells for p in cell.polygon])
    return slice_option(cells, hull, bars), bars


def stack(widths: Sequence[float], woods: str, length: float, left_deg: float = 90.0) -> list[Cell]:
    """Layers from the bottom up, their ends leaning alike; grain along x."""
    lean = 0.0 if left_deg == 90.0 else 1.0 / math.tan(math.radians(left_deg))
    cells, y = [], 0.0
    for width, wood in zip(widths, woods, strict=True):
        a, b = y * lean, (y + width) * lean
        ring = ((a, y), (a + length, y), (b + length, y + width), (b, y + width))
        cells.append(Cell(ring, wood, 0.0))
        y += width
    return cells


def trapezoid(low: float, high: float, start: float, height: float) -> Cell:
    ring = [(0.0, 0.0), (low, 0.0), (start + high, height), (start, height)]
    return Cell(tuple(ring if high > 0.0 else ring[:3]), "A", 0.0)


def moved(cells: Sequence[Cell], motion: Motion) -> list[Cell]:
    return [
        Cell(motion.polygon(c.polygon), c.wood, motion.undirected_deg(c.grain_deg)) for c in cells
    ]


def as_sawn(cut: Cut, bars: BarBook) -> list[Cell]:
    """The layers of one slice as they lie in the bar, from the angles and lengths given."""
    leans = [0.0 if a == 90.0 else 1.0 / math.tan(math.radians(a)) for a in cut.angles_deg]
    cells, y = [], 0.0
    for strip in bars.bars[cut.bar].strips:
        top = y + strip.width_mm
        left = (leans[0] * y, leans[0] * top)
        right = (cut.length_mm + leans[1] * y, cut.length_mm + leans[1] * top)
        ring: Polygon = ((left[0], y), (right[0], y), (right[1], top), (left[1], top))
        cells.append(Cell(drop_collinear(ring), strip.wood, 0.0))
        y = top
    return cells


def assert_same(made: Sequence[Cell], wanted: Sequence[Cell]) -> None:
    """The same pieces, corner by corner: overlays of near-equal outlines are not to be trusted."""
    for cell in wanted:
        middle = centroid(cell.polygon)
        near = [c for c in made if math.dist(centroid(c.polygon), middle) < 1e-5]
        assert len(near) == 1
        assert near[0].wood == cell.wood
        for corner in drop_collinear(cell.polygon):
            assert min(math.dist(corner, p) for p in near[0].polygon) < 1e-5
        assert area(near[0].polygon) == pytest.approx(area(cell.polygon), rel=1e-6)
        turn = abs(near[0].grain_deg - cell.grain_deg) % 180.0
        assert min(turn, 180.0 - turn) < 1e-6


motions = st.builds(
    Motion,
    turn_deg=st.floats(0.0, 360.0) | st.sampled_from([0.0, 45.0, 90.0, 180.0]),
    over=st.booleans(),
    x_mm=st.floats(-300.0, 300.0),
    y_mm=st.floats(-300.0, 300.0),
)
sizes = st.floats(8.0, 120.0)


@given(
    st.lists(st.tuples(sizes, st.sampled_from("ABC")), min_size=1, max_size=6),
    sizes,
    st.floats(26.0, 154.0) | st.just(90.0),
    motions,
)
@settings(deadline=None, max_examples=150)
def test_a_slice_of_layers_is_the_part_drawn(layers, length, angle, motion) -> None:
    cells = stack([w for w, _ in layers], "".join(a for _, a in layers), length, angle)
    wanted = moved(cells, motion)
    cut, bars = sliced(wanted)
    assert cut is not None
    assert not cut.head_to_tail
    assert cut.length_mm == pytest.approx(length, abs=1e-6)
    assert cut.pitch_mm == pytest.approx(length + KERF_MM / math.sin(math.radians(angle)), abs=1e-5)
    assert_same(moved(as_sawn(cut, bars), cut.at), wanted)


@given(sizes, st.floats(0.0, 1.0), st.floats(-0.5, 1.0), sizes, motions)
@settings(deadline=None, max_examples=150)
def test_a_piece_cut_head_to_tail_is_the_piece_drawn(low, share, lean, height, motion) -> None:
    high = 0.0 if share < 0.2 else low * share * 0.95
    wanted = moved([trapezoid(low, high, lean * height, height)], motion)
    cut, bars = sliced(wanted)
    if cut is None:
        ends = [lean * height, lean * height + high - low]
        flattest = min(math.degrees(math.atan2(height, abs(e))) for e in ends)
        assert flattest < 25.0 + 1e-6
        return
    assert cut.head_to_tail
    assert cut.length_mm == pytest.approx(low, abs=1e-6)
    assert cut.top_mm == pytest.approx(high, abs=1e-6)
    assert_same(moved(as_sawn(cut, bars), cut.at), wanted)
    sines = [math.sin(math.radians(a)) for a in cut.angles_deg]
    pair = low + high + KERF_MM / sines[0] + KERF_MM / sines[1]
    assert 2.0 * cut.pitch_mm == pytest.approx(pair)


def test_slices_of_any_length_share_a_bar() -> None:
    bars = book()
    long, _ = sliced(stack([20.0, 30.0], "AB", 80.0), bars)
    short, _ = sliced(stack([20.0, 30.0], "AB", 15.0), bars)
    assert long is not None
    assert short is not None
    assert long.bar == short.bar


def test_turned_and_turned_over_slices_share_a_bar() -> None:
    bars = book()
    numbers = set()
    for angle in (60.0, 120.0):
        for turn in (0.0, 180.0):
            cells = moved(stack([20.0, 30.0], "AB", 50.0, angle), Motion(turn_deg=turn))
            cut, _ = sliced(cells, bars)
            assert cut is not None
            numbers.add(cut.bar)
    assert len(numbers) == 1
    assert len(bars.bars) == 1


def test_other_woods_widths_or_angles_need_bars_of_their_own() -> None:
    bars = book()
    for cells in (
        stack([20.0, 30.0], "AB", 50.0),
        stack([30.0, 20.0], "AB", 50.0),
        stack([20.0, 30.0], "AC", 50.0),
        stack([20.0, 30.0], "AB", 50.0, 60.0),
        stack([20.0, 30.0], "AB", 50.0, 45.0),
    ):
        sliced(cells, bars)
    assert len(bars.bars) == 5


def turned_grain(cells: Sequence[Cell], grain: float) -> list[Cell]:
    return [Cell(c.polygon, c.wood, grain) for c in cells]


NO_SLICES = {
    "grain of two directions": [
        *stack([20.0], "A", 50.0),
        Cell(((0, 20), (50, 20), (50, 40), (0, 40)), "B", 90.0),
    ],
    "layers across the grain": turned_grain(stack([20.0, 30.0], "AB", 50.0), 90.0),
    "two layers that make a trapezoid": [
        trapezoid(60.0, 50.0, 5.0, 10.0),
        Cell(((5.0, 10.0), (55.0, 10.0), (50.0, 20.0), (10.0, 20.0)), "A", 0.0),
    ],
    "an end flatter than a sled cuts": stack([20.0], "A", 100.0, 24.0),
    "five corners": [Cell(((0, 0), (60, 0), (60, 30), (40, 50), (0, 50)), "A", 0.0)],
    "a quarter circle of grain": turned_grain(stack([20.0], "A", 50.0), 30.0),
}


@pytest.mark.parametrize("name", NO_SLICES)
def test_what_is_no_slice(name: str) -> None:
    cut, bars = sliced(NO_SLICES[name])
    assert cut is None
    assert not bars.bars
