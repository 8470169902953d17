"""Machine settings that ways of making imply."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fakes.plans import plain_shop
from seamwright.geometry import IDENTITY, Line, Polygon
from seamwright.plan import Machine
from seamwright.planner.cells import narrowest_mm
from seamwright.planner.options import Bar, Cut, Strip
from seamwright.planner.settings import (
    cut_set_ups,
    glue_stages,
    is_planed,
    overhead_mm,
    stage_sizes,
    strip_set_minutes,
    trim_set_ups,
)

SQUARE: Polygon = ((0, 0), (90, 0), (90, 90), (0, 90))
OCTAGON: Polygon = ((30, 0), (60, 0), (90, 30), (90, 60), (60, 90), (30, 90), (0, 60), (0, 30))


def cut(left: float, right: float, *, low: float, high: float, turn: bool) -> Cut:
    return Cut(
        bar=0, length_mm=low, pitch_mm=0.0, angles_deg=(left, right), head_to_tail=turn,
        top_mm=high, at=IDENTITY,
    )  # fmt: skip


def bar(style: tuple[int, ...], wedge: float = 0.0) -> Bar:
    return Bar(strips=(Strip("A", 40.0),), style=style, height_mm=40.0, wedge_mm=wedge)


def test_square_slices_need_one_stop() -> None:
    (up,) = cut_set_ups(cut(90.0, 90.0, low=35.0, high=35.0, turn=False), 3.0)
    assert (up.machine, up.size_mm, up.angle_deg) == (Machine.SLED, 35.0, 90.0)


def test_leaning_slices_need_one_stop_at_one_angle() -> None:
    (up,) = cut_set_ups(cut(60.0, 60.0, low=35.0, high=35.0, turn=False), 3.0)
    assert (up.size_mm, up.angle_deg) == (35.0, 60.0)


def test_equal_leans_are_cut_by_turning_the_bar_over() -> None:
    (up,) = cut_set_ups(cut(45.0, 135.0, low=80.0, high=0.0, turn=True), 3.0)
    assert (up.size_mm, up.angle_deg) == (80.0, 45.0)


def test_unequal_leans_need_two_settings() -> None:
    first, second = cut_set_ups(cut(90.0, 135.0, low=40.0, high=0.0, turn=True), 3.0)
    assert (second.size_mm, second.angle_deg) == (40.0, 135.0)
    # two pieces and the cut between them lie between stop and blade
    assert first.size_mm == pytest.approx(40.0 + 0.0 + 3.0 * math.sqrt(2.0))
    assert first.angle_deg == 90.0


def test_what_a_bar_loses_at_its_ends() -> None:
    shop = plain_shop()
    ends = shop.allowances.square_end_mm + shop.allowances.tail_mm
    assert overhead_mm(bar((0,)), shop) == pytest.approx(ends + 3.0)
    assert overhead_mm(bar((1, 45000), 40.0), shop) == pytest.approx(
        ends + 3.0 * math.sqrt(2.0) + 40.0
    )
    assert overhead_mm(bar((2, 1, 30000, 90000), 9.0), shop) == pytest.approx(ends + 6.0 + 9.0)


def test_trimming_cuts_are_set_by_what_stays() -> None:
    corners = [Line.through(OCTAGON[i], OCTAGON[i + 1]) for i in (1, 3, 5)]
    ups = trim_set_ups([*corners, Line.through(OCTAGON[7], OCTAGON[0])], OCTAGON, SQUARE)
    for up in ups:
        assert up.angle_deg == pytest.approx(45.0)
        assert up.size_mm == pytest.approx(60.0 * math.sqrt(2.0))


def test_a_cut_along_the_fence_is_square() -> None:
    (up,) = trim_set_ups(
        [Line.through((0, 20), (90, 20))], ((0, 20), (90, 20), (90, 90), (0, 90)), SQUARE
    )
    assert (up.angle_deg, up.size_mm) == (90.0, 70.0)


def test_the_narrowest_of_some_shapes() -> None:
    assert narrowest_mm(SQUARE) == 90.0
    assert narrowest_mm(OCTAGON) == pytest.approx(60.0 * math.sqrt(2.0))
    assert narrowest_mm(((0, 0), (30, 0), (0, 40))) == pytest.approx(24.0)


@given(st.integers(2, 400), st.integers(2, 20))
def test_stages_are_even_and_every_one_can_be_clamped(strips: int, most: int) -> None:
    sizes = stage_sizes(strips, most)
    assert sum(sizes) == strips
    assert min(sizes) >= 1
    assert len(set(sizes[:-1])) <= 1
    if strips <= most * most:
        assert len(sizes) <= most
        assert max(sizes) <= most


@given(st.integers(1, 400), st.integers(1, 20))
def test_clampings_are_what_gluing_up_takes(strips: int, seams: int) -> None:
    shop = plain_shop()
    shop = replace(shop, limits=replace(shop.limits, seams_per_glue_up=seams))
    clampings = 0
    todo = [strips]
    while todo:
        count = todo.pop()
        if count <= 1:
            continue
        if count <= seams + 1:
            clampings += 1
            continue
        groups = stage_sizes(count, seams + 1)
        todo += [*groups, len(groups)]
    assert glue_stages(strips, shop) == clampings
    m = shop.minutes
    planing = m.surface if strips > 1 else 0.0
    assert strip_set_minutes(strips, shop) == pytest.approx(
        m.glue_up * clampings + m.glue_line * (strips - 1) + planing
    )


def test_a_strip_set_is_planed_where_anything_is_left_for_it() -> None:
    shop = plain_shop()
    assert is_planed(2, shop)
    assert not is_planed(1, shop)
    bare = replace(shop, allowances=replace(shop.allowances, plane_face_mm=0.0))
    assert not is_planed(2, bare)
