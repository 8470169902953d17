"""What changes before planning: edge allowance, wide patches, thick boards, added seams."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shapely import Polygon as Shape
from shapely import unary_union

from fakes.drawings import drawing, random_split, rectangle, swirl, with_joints
from fakes.plans import plain_shop
from seamwright.bench import prove
from seamwright.errors import PlanError
from seamwright.geometry import Polygon, area, bounds
from seamwright.plan import Shop
from seamwright.planner import make_plan
from seamwright.planner.cells import Cells, prepare, up, widest_stick_mm


def shop_with(edge_mm: float) -> Shop:
    shop = plain_shop()
    return replace(shop, allowances=replace(shop.allowances, edge_mm=edge_mm))


def wide_shop_with(edge_mm: float) -> Shop:
    shop = shop_with(edge_mm)
    return replace(shop, limits=replace(shop.limits, stock_width_mm=1000.0))


def assert_tiles(cells: Cells) -> None:
    shapes = [Shape(cell.polygon) for cell in cells.cells]
    assert sum(s.area for s in shapes) == pytest.approx(area(cells.outline), rel=1e-9)
    assert unary_union(shapes).area == pytest.approx(area(cells.outline), rel=1e-9)


@pytest.mark.parametrize("seed", range(12))
def test_patches_run_on_over_the_outline_and_nothing_inside_moves(seed: int) -> None:
    board = random_split(seed, 15)
    cells = prepare(board, wide_shop_with(3.0))
    assert cells.edge_mm in {0.0, 3.0}
    assert_tiles(cells)
    if cells.edge_mm == 0.0:
        assert cells.outline == board.outline
        return
    assert bounds(cells.outline) == pytest.approx((-3.0, -3.0, 403.0, 303.0))
    inside = Shape(board.outline)
    for cell, patch in zip(cells.cells, board.patches, strict=True):
        shape = Shape(cell.polygon).intersection(inside)
        assert shape.symmetric_difference(Shape(patch.points)).area < 1e-6
        assert (cell.wood, cell.grain_deg, cell.patch) == (
            patch.wood, patch.grain_deg, patch.name,
        )  # fmt: skip


def test_without_allowance_the_outline_stays() -> None:
    board = random_split(3, 9)
    cells = prepare(board, wide_shop_with(0.0))
    assert cells.edge_mm == 0.0
    assert cells.outline == board.outline


def near_meeting() -> list[Polygon]:
    """A patch that narrows towards the edge: its sides would meet 1 mm outside."""
    return [
        ((0, 0), (49, 0), (0, 98)),
        ((49, 0), (51, 0), (100, 98), (100, 100), (0, 100), (0, 98)),
        ((51, 0), (100, 0), (100, 98)),
    ]


def test_no_allowance_where_seams_would_cross_outside() -> None:
    board = drawing(with_joints(near_meeting()), "ABA", [90.0] * 3, outline=rectangle(100, 100))
    wide = prepare(board, shop_with(3.0))
    assert (wide.edge_mm, wide.outline) == (0.0, board.outline)
    assert prepare(board, shop_with(0.9)).edge_mm == 0.9


def test_a_patch_wider_than_boards_is_glued_up_along_its_grain() -> None:
    rings = [rectangle(500, 300), ((0, 300), (500, 300), (500, 350), (0, 350))]
    board = drawing(rings, "AB", [90.0, 90.0])
    shop = shop_with(0.0)
    cells = prepare(board, shop)
    widest = shop.limits.stock_width_mm - 2 * shop.allowances.rough_face_mm
    assert cells.widened == ("1", "2")
    assert len(cells.cells) == 6
    for cell in cells.cells:
        x0, _, x1, _ = bounds(cell.polygon)
        assert x1 - x0 == pytest.approx(500.0 / 3.0)
        assert x1 - x0 <= widest
    assert_tiles(cells)
    assert prove(make_plan(board, shop).plan, board).holds


def test_slanted_grain_is_cut_up_along_the_grain() -> None:
    board = drawing([rectangle(300, 300)], "A", [45.0])
    cells = prepare(board, shop_with(0.0))
    assert len(cells.cells) == 3
    assert_tiles(cells)
    assert prove(make_plan(board, shop_with(0.0)).plan, board).holds


def test_a_thick_board_is_made_of_sticks_that_stand_on_edge() -> None:
    shop = plain_shop()
    board = drawing([rectangle(120, 300)], "A", [90.0], thickness=50.0)
    # 50 + 1.6 + 4.8 is more than the 50.8 mm that are bought: sticks are at most 46 mm wide
    assert widest_stick_mm(50.0, shop) == pytest.approx(46.0)
    assert widest_stick_mm(44.0, shop) == pytest.approx(195.2)
    planned = make_plan(board, shop)
    assert planned.widened == ("1",)
    assert prove(planned.plan, board).holds


def test_a_shop_whose_stock_is_planed_away_is_refused() -> None:
    shop = plain_shop()
    thin = replace(shop, limits=replace(shop.limits, stock_width_mm=10.0, stock_thickness_mm=10.0))
    board = drawing([rectangle(120, 300)], "A", [90.0])
    with pytest.raises(PlanError) as refused:
        make_plan(board, thin)
    (fault,) = refused.value.faults
    assert (fault.code, fault.subject) == ("P103", "the shop")
    assert "10.8 mm" in fault.remedy


def test_added_seams_name_the_patch_they_cut() -> None:
    board = swirl()
    cells = prepare(board, shop_with(0.0))
    (seam,) = cells.added
    assert cells.fewest
    assert len(cells.cells) == 6
    cut = board.patches[seam.cell].name
    assert [cell.patch for cell in cells.cells].count(cut) == 2
    assert_tiles(cells)


def test_advised_sizes_are_rounded_up() -> None:
    assert (up(6.0), up(6.01), up(5.99)) == ("6.0", "6.1", "6.0")
