"""Refusals name the patch, say what is wrong, and give a size that then works."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fakes.drawings import EIGHTHS, SQUARE_ANGLES, drawing, random_split, with_joints
from fakes.plans import plain_shop
from seamwright.bench import prove
from seamwright.design import Drawing
from seamwright.errors import Fault, PlanError
from seamwright.geometry import Polygon
from seamwright.plan import Shop
from seamwright.planner import make_plan


def shop_with(**limits: float) -> Shop:
    shop = plain_shop()
    shop = replace(shop, allowances=replace(shop.allowances, edge_mm=0.0))
    return replace(shop, limits=replace(shop.limits, **limits))


def refusal(board: Drawing, shop: Shop) -> tuple[Fault, ...]:
    with pytest.raises(PlanError) as refused:
        make_plan(board, shop, seconds=1.0)
    assert refused.value.faults
    return refused.value.faults


def sizes(text: str) -> list[float]:
    return [float(figure) for figure in re.findall(r"\d+(?:\.\d+)?", text)]


def assert_makes(board: Drawing, shop: Shop) -> None:
    assert prove(make_plan(board, shop, seconds=1.0).plan, board).holds


def row(widths: list[float], *, height: float = 80.0, grain: float = 90.0) -> Drawing:
    rings: list[Polygon] = []
    x = 0.0
    for width in widths:
        rings.append(((x, 0.0), (x + width, 0.0), (x + width, height), (x, height)))
        x += width
    return drawing(rings, ["AB"[i % 2] for i in range(len(rings))], [grain] * len(rings))


def test_a_strip_too_narrow_to_rip() -> None:
    shop = shop_with()
    (fault,) = refusal(row([40.0, 4.0, 40.0]), shop)
    assert (fault.code, fault.subject) == ("P102", "patch 2")
    assert fault.message.startswith("is 4.0 mm across the grain")
    (width,) = sizes(fault.remedy)
    assert_makes(row([40.0, width, 40.0]), shop)


def test_a_slice_too_thin_to_cut() -> None:
    shop = shop_with()
    (fault,) = refusal(row([40.0, 3.0, 40.0], grain=0.0), shop)
    assert fault.subject == "patch 2"
    assert "is 3.0 mm at its narrowest" in fault.message
    (width,) = sizes(fault.remedy)
    assert_makes(row([40.0, width, 40.0], grain=0.0), shop)


def slanted(size: float) -> Drawing:
    """A small square whose grain runs aslant, between two strips."""
    rings = [
        ((0.0, 0.0), (size, 0.0), (size, size), (0.0, size)),
        ((size, 0.0), (size + 40.0, 0.0), (size + 40.0, size), (size, size)),
    ]
    return drawing(rings, "AB", [45.0, 90.0])


def test_a_part_too_small_to_trim() -> None:
    shop = shop_with(part_min_mm=30.0)
    (fault,) = refusal(slanted(20.0), shop)
    assert fault.subject == "patch 1"
    times, least = sizes(fault.remedy)
    assert_makes(slanted(20.0 * times), shop)
    assert_makes(slanted(20.0), shop_with(part_min_mm=least))


def test_a_part_too_small_to_trim_at_the_edge_of_the_board() -> None:
    shop = plain_shop()
    shop = replace(shop, limits=replace(shop.limits, part_min_mm=40.0))
    (fault,) = refusal(slanted(20.0), shop)
    times, _ = sizes(fault.remedy)
    assert_makes(slanted(20.0 * times), shop)


def test_a_piece_longer_than_any_stick() -> None:
    shop = shop_with(clamp_reach_mm=3000.0)
    long = row([40.0, 40.0], height=1300.0)
    for fault in refusal(long, shop):
        assert fault.subject in {"patch 1", "patch 2"}
        (length,) = sizes(fault.remedy)
        assert_makes(long, shop_with(clamp_reach_mm=3000.0, stick_length_mm=length))


def test_a_board_too_thick_for_the_saw() -> None:
    board = row([40.0, 40.0])
    (fault,) = refusal(replace(board, thickness_mm=90.0), shop_with())
    assert (fault.code, fault.subject) == ("P101", "the board")
    (thickness,) = sizes(fault.remedy)
    assert_makes(replace(board, thickness_mm=thickness), shop_with())


def test_a_board_thicker_than_the_stock_is_wide() -> None:
    board = row([40.0, 40.0])
    shop = shop_with(stock_width_mm=60.0)
    faults = refusal(replace(board, thickness_mm=70.0), shop)
    assert faults[0].code == "P101"
    (thickness,) = sizes(faults[0].remedy)
    assert_makes(replace(board, thickness_mm=thickness), shop)


def test_a_board_too_thin_for_the_planer() -> None:
    board = row([40.0, 40.0])
    (fault,) = refusal(replace(board, thickness_mm=2.0), shop_with())
    assert fault.subject == "the board"
    (thickness,) = sizes(fault.remedy)
    assert_makes(replace(board, thickness_mm=thickness), shop_with())


def test_a_board_wider_than_the_clamps_reach() -> None:
    board = row([60.0] * 6)
    (fault,) = refusal(board, shop_with(clamp_reach_mm=300.0))
    assert (fault.code, fault.subject) == ("P109", "the board")
    (reach,) = sizes(fault.remedy)
    assert reach == 360.0
    assert_makes(board, shop_with(clamp_reach_mm=reach))


def test_every_piece_that_is_wrong_is_named() -> None:
    faults = refusal(row([40.0, 4.0, 40.0, 5.0, 40.0]), shop_with())
    assert {fault.subject for fault in faults} == {"patch 2", "patch 4"}


def test_at_most_twelve_are_named() -> None:
    widths = [w for i in range(20) for w in (40.0, 3.0 + i / 10.0)]
    assert len(refusal(row(widths), shop_with(clamp_reach_mm=2000.0))) == 12


def test_the_patch_named_is_the_one_that_is_drawn_so() -> None:
    # a larger part some other way would trim is no fault of the drawing
    rings = with_joints([
        ((0.0, 0.0), (180.0, 0.0), (180.0, 100.0), (0.0, 100.0)),
        ((180.0, 0.0), (280.0, 0.0), (280.0, 96.0), (180.0, 96.0)),
        ((180.0, 96.0), (280.0, 96.0), (280.0, 100.0), (180.0, 100.0)),
    ])  # fmt: skip
    (fault,) = refusal(drawing(rings, "ABA", [0.0] * 3), shop_with())
    assert fault.subject == "patch 3"


SHOPS: dict[str, Callable[[], Shop]] = {
    "as it comes": plain_shop,
    "small": lambda: shop_with(stick_length_mm=400.0, clamp_reach_mm=320.0),
    "coarse": lambda: shop_with(stick_min_width_mm=20.0, slice_min_mm=20.0, part_min_mm=60.0),
}


@given(
    st.integers(0, 10**6),
    st.integers(1, 12),
    st.sampled_from([SQUARE_ANGLES, EIGHTHS, None]),
    st.sampled_from([(90.0,), (0.0, 90.0), None]),
    st.sampled_from(sorted(SHOPS)),
)
@settings(deadline=None, max_examples=40)
def test_whatever_is_refused_is_refused_in_words_with_a_size(
    seed, count, angles, grains, name
) -> None:
    board = random_split(seed, count, angles=angles, grains=grains)
    try:
        make_plan(board, SHOPS[name](), seconds=0.5)
    except PlanError as error:
        faults = error.faults
    else:
        return
    patches = {f"patch {patch.name}" for patch in board.patches}
    for fault in faults:
        assert fault.subject in patches | {"the board"}
        assert sizes(fault.message)
        assert sizes(fault.remedy)
