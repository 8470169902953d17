"""Depths of parts while they are made. All arithmetic by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fakes.plans import plain_shop
from seamwright.planner.depths import depths, leaf_counts


def test_flat_parts_carry_a_planing_allowance_on_both_faces() -> None:
    flat = depths(19.0, 1, plain_shop())
    assert (flat.board_mm, flat.leaves) == (19.0, 1)
    assert flat.flat_mm == flat.billet_mm == pytest.approx(19.0 + 2 * 0.8)
    assert flat.of(deep=False) == flat.of(deep=True)


def test_a_billet_holds_leaves_and_the_kerfs_between_them() -> None:
    deep = depths(12.0, 3, plain_shop())
    leaf = 12.0 + 4 * 0.8
    assert deep.leaf_mm == pytest.approx(leaf)
    assert deep.billet_mm == pytest.approx(3 * leaf + 2 * 1.0)
    assert deep.of(deep=True) == deep.billet_mm
    assert deep.of(deep=False) == pytest.approx(12.0 + 2 * 0.8)


def test_as_many_leaves_as_are_wanted_and_fit_under_the_saw() -> None:
    shop = plain_shop()
    assert leaf_counts(12.0, 1, shop) == (1,)
    # 4 · 15.2 + 3 = 63.8 fits under 76, 5 · 15.2 + 4 = 80 does not
    assert leaf_counts(12.0, 9, shop) == (1, 2, 3, 4)
    assert leaf_counts(12.0, 3, shop) == (1, 2, 3)
    assert leaf_counts(40.0, 9, shop) == (1,)


def test_leaves_that_are_too_thin_are_not_resawn() -> None:
    shop = plain_shop()
    thick = replace(shop, limits=replace(shop.limits, resaw_min_leaf_mm=16.0))
    assert leaf_counts(12.0, 9, thick) == (1,)
