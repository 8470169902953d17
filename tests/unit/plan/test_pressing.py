"""Clamps by the 45° spread of pressure, and glue by area; figures worked out by hand."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from seamwright.bench import Piece, Solid
from seamwright.errors import ShopError
from seamwright.geometry import Motion
from seamwright.plan import Gluing, Laminate, Placed, clamps_needed, pressing, read_gluing

SHOP = Gluing(caul_mm=50.0, clamps=4, spread_g_m2=200.0, extra_pct=25.0, end_grain_pct=200.0)


def board(kind: str, wide: float, long: float, grain_deg: float = 0.0) -> Solid:
    points = ((0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide))
    piece = Piece(points=points, wood="A", grain_deg=grain_deg, stick="S1")
    return Solid.of(kind, (piece,), depth_mm=20.0, planed=True)


def row(*solids: Solid) -> tuple[Laminate, dict[str, Solid]]:
    """Boards on top of each other, seams along x."""
    placed, at = [], 0.0
    for solid in solids:
        placed.append(Placed(part=solid.kind, at=Motion(y_mm=at)))
        at += max(y for _, y in solid.hull)
    step = Laminate(makes="U1", count=1, parts=tuple(placed), seams_deg=0.0, clampings=1)
    return step, {solid.kind: solid for solid in solids}


def test_clamps_for_two_boards() -> None:
    # 100 mm of wood and 50 mm of caul: each clamp reaches 300 mm of 1000
    pressed = pressing(*row(board("P1", 100.0, 1000.0), board("P2", 120.0, 1000.0)), SHOP)
    assert (pressed.clamps, pressed.length_mm, pressed.least_mm) == (4, 1000.0, 100.0)


def test_the_nearest_line_counts() -> None:
    # a border strip of 10 mm: 60 mm to its line, 120 mm of 1000 a clamp
    pressed = pressing(*row(board("P1", 10.0, 1000.0), board("P2", 300.0, 1000.0)), SHOP)
    assert pressed.clamps == 9
    # with four clamps each must reach 250 mm: 125 mm deep, of which 10 mm are wood
    assert pressed.caul_for(4) == pytest.approx(115.0)


def test_glue_by_area_with_what_is_beyond() -> None:
    # 1 m × 20 mm = 0.02 m²: 4 g, a quarter more 5 g; twice that where end grain is glued
    side = pressing(*row(board("P1", 50.0, 1000.0), board("P2", 50.0, 1000.0)), SHOP)
    assert side.glue_g == pytest.approx(5.0)
    assert not side.end_grain
    end = pressing(*row(board("P1", 50.0, 1000.0), board("P2", 50.0, 1000.0, 90.0)), SHOP)
    assert end.glue_g == pytest.approx(10.0)
    assert end.end_grain


def test_parts_pushed_into_corners_are_not_counted_by_the_rule() -> None:
    step, parts = row(board("P1", 50.0, 1000.0), board("P2", 50.0, 1000.0))
    pushed = Laminate(
        makes="U1", count=1, parts=step.parts, seams_deg=0.0, clampings=1, angled=True,
        corner_deg=90.0, closes=1,
    )  # fmt: skip
    assert pressing(pushed, parts, SHOP).clamps == 0


@given(st.floats(1.0, 3000.0), st.floats(1.0, 400.0))
def test_so_many_clamps_press_all_of_a_line_and_one_less_does_not(
    length: float, depth: float
) -> None:
    count = clamps_needed(length, depth)

    def reached(clamps: int) -> bool:
        """Clamps set evenly, each pressing 45° to either side."""
        apart = length / clamps
        ends = [(apart * (i + 0.5) - depth, apart * (i + 0.5) + depth) for i in range(clamps)]
        at = 0.0
        for low, high in ends:
            if low > at + 1e-6:
                return False
            at = max(at, high)
        return at >= length - 1e-6

    assert reached(count)
    # a line no longer than the rounding allowed above may be reached by one less
    short = length - 2.0 * depth * (count - 1)
    assert count == 1 or short < 1e-3 or not reached(count - 1)


def test_a_shop_file_says_what_is_glued_with() -> None:
    gluing = read_gluing("[gluing]\nclamps = 6\nspread = 180")
    assert (gluing.clamps, gluing.spread_g_m2) == (6, 180.0)
    assert 10.0 <= read_gluing().extra_pct <= 30.0
    with pytest.raises(ShopError):
        read_gluing("[gluing]\nclamps = 0")
