"""A second look at the glue-ups of a plan: never dearer, sometimes cheaper, and it holds."""

from __future__ import annotations

from itertools import pairwise
from unittest import mock

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fakes.drawings import SMALL_BOARDS, block
from fakes.plans import plain_shop
from seamwright.bench import prove
from seamwright.design import Drawing
from seamwright.errors import PlanError
from seamwright.plan import check, default_shop
from seamwright.planner import Planned, make_plan
from seamwright.planner import planning as planner
from seamwright.planner.grouping import groupings


def both(board: Drawing, **shop: object) -> tuple[Planned, Planned]:
    """The plan without a second look, and with it."""
    at = shop.get("shop", default_shop())
    with mock.patch.object(planner, "with_second_look", lambda _cells, _shop, chosen, **_: chosen):
        once = make_plan(board, at, seconds=5.0)  # type: ignore[arg-type]
    return once, make_plan(board, at, seconds=5.0)  # type: ignore[arg-type]


ROWS = """
[board]
set = '''
one one one one
one one one one
'''
sashing = { wood = "C", width = "1/2" }
"""


@pytest.mark.parametrize(
    ("name", "least"), [("double nine patch", 20.0), ("jacobs ladder", 30.0), ("nine patch", 0.0)]
)
def test_runs_of_neighbours_glued_first_save_where_they_pay(name: str, least: float) -> None:
    board = block(name, thickness="3/4", board=ROWS)
    once, again = both(board)
    assert once.best.cost - again.best.cost >= least - 1e-6
    assert again.best.proven
    assert again.best.chosen == pytest.approx(once.best.chosen)
    assert again.best.gap == pytest.approx(0.0)
    assert prove(again.plan, board).holds
    assert check(again.plan) is None


@given(SMALL_BOARDS)
@settings(deadline=None, max_examples=15)
def test_no_plan_becomes_dearer(board: Drawing) -> None:
    shop = plain_shop()
    try:
        once, again = both(board, shop=shop)
    except PlanError:
        return
    assert again.best.cost <= once.best.cost + 1e-6
    assert prove(again.plan, board).holds


@given(st.integers(2, 9), st.integers(1, 9))
def test_every_run_is_tried_once_and_nothing_is_lost(count: int, most: int) -> None:
    usual = groupings(range(count), [True] * count, [0] * count, most)
    found = groupings(range(count), [True] * count, [0] * count, most, any_run=True)
    assert found[: len(usual)] == usual
    assert len(set(found)) == len(found)
    runs = {(i, j) for i in range(count) for j in range(i + 2, count + 1) if j - i < count}
    together = {g for groups in found for g in groups if g[1] - g[0] > 1}
    for first, last in runs:
        if count - (last - first) <= most:
            assert (first, last) in together
    for groups in found:
        assert groups[0][0] == 0
        assert groups[-1][1] == count
        assert all(a[1] == b[0] for a, b in pairwise(groups))
        assert 2 <= len(groups) <= most + 1 or groups in usual
