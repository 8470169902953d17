"""Corners filled in a row: one double-ended filler between two neighbours."""

from __future__ import annotations

from dataclasses import replace
from unittest import mock

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seamwright.bench import prove
from seamwright.design import Drawing, read
from seamwright.geometry import area
from seamwright.plan import Laminate, Slice, default_shop, totals
from seamwright.planner import make_plan
from seamwright.planner.cells import Cell
from seamwright.planner.rows import filled_corners
from seamwright.planner.space import _Search


def cut_cornered(along: float, across: float, *, columns: int = 3, middle: float = 50.0) -> Drawing:
    """Two rows of nine-patches with filled corners, upright grain, thin sashing between them."""
    return read(
        f"""
        unit = "mm"
        thickness = 19
        woods = {{ A = "pear", B = "bog oak", C = "plum" }}
        [block.cut]
        columns = "{along} {middle} {along}"
        rows = "{across} {middle} {across}"
        cells = '''
        C/A B A\\C
        B A B
        C\\A B A/C
        '''
        [board]
        set = '''
        {"cut " * columns}
        {"cut " * columns}
        '''
        sashing = {{ wood = "C", width = 12 }}
        """,
        name="cut cornered",
    )


@pytest.fixture(autouse=True)
def _no_cross_strips():
    """Rows alone: where the grain runs aslant to the corners, cross strips would be cheaper."""
    with mock.patch.object(_Search, "_cross_strips", return_value=()):
        yield


def rows_of(plan) -> list[tuple[Laminate, Slice]]:
    makers = {step.makes: step for step in plan.steps}
    return [
        (makers[step.takes], step) for step in plan.steps if isinstance(step, Slice) and step.apart
    ]


def test_a_row_is_glued_with_saw_gaps_and_sawn_apart() -> None:
    wanted, shop = cut_cornered(38.0, 38.0), default_shop()
    planned = make_plan(wanted, shop)
    proof = prove(planned.plan, wanted)
    assert proof.holds, proof.findings
    rows = rows_of(planned.plan)
    assert rows
    for glued, sawn in rows:
        kerf = shop.saws.table_kerf_mm
        assert glued.corner_deg is not None
        assert glued.closes == 2 * sawn.per_bar * (len(glued.parts) - sawn.per_bar) // (
            sawn.per_bar + 1
        )
        steps = [b.at_mm - a.at_mm for a, b in zip(sawn.cuts, sawn.cuts[1:], strict=False)]
        assert steps == pytest.approx([sawn.set_up.size_mm + kerf] * sawn.per_bar)


def test_rows_are_worth_it_on_repeated_blocks() -> None:
    wanted, shop = cut_cornered(38.0, 38.0), default_shop()
    with_rows = totals(make_plan(wanted, shop).plan)
    with mock.patch.object(_Search, "_rows", return_value=[]):
        without = totals(make_plan(wanted, shop).plan)
    assert with_rows.minutes < without.minutes


@settings(max_examples=5, deadline=None)
@given(along=st.integers(25, 60), across=st.integers(25, 60), columns=st.integers(2, 3))
def test_any_angle_of_corner_proves(along: int, across: int, columns: int) -> None:
    wanted = cut_cornered(float(along), float(across), columns=columns)
    planned = make_plan(wanted, default_shop(), seconds=4.0)
    assert prove(planned.plan, wanted).holds


def square_with(corners: str, grains: tuple[float, ...] = (90.0,) * 4) -> list[Cell]:
    """A 100 mm square with 30 mm corners of the woods named, from the lower left round."""
    at = [(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)]
    legs = [((30, 0), (0, 30)), ((100, 30), (70, 0)), ((70, 100), (100, 70)), ((0, 70), (30, 100))]
    cells = [
        Cell((corner, *((float(x), float(y)) for x, y in ends)), wood, grain)
        for corner, ends, wood, grain in zip(at, legs, corners, grains, strict=True)
    ]
    middle = ((30, 0), (70, 0), (100, 30), (100, 70), (70, 100), (30, 100), (0, 70), (0, 30))
    return [*cells, Cell(tuple((float(x), float(y)) for x, y in middle), "A", 90.0)]


HULL = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))


def test_a_filler_is_both_corners_and_the_gap() -> None:
    rows = list(filled_corners(square_with("CCCC"), HULL, 3.0))
    assert len(rows) == 2
    for row in rows:
        assert len(row.corners) == 4
        for filler in row.fillers:
            assert area(filler.polygon) == pytest.approx(2 * 450.0 + 3.0 * 30.0)


def test_only_corners_that_can_be_one_piece_are_filled_together() -> None:
    # lower corners alike, upper ones of two woods: along x only the lower pair is filled
    along = next(filled_corners(square_with("CCBD"), HULL, 3.0))
    assert along.along_deg == pytest.approx(0.0)
    assert len(along.corners) == 2
    # another grain is another piece
    turned = (90.0, 0.0, 90.0, 0.0)
    assert not list(filled_corners(square_with("CCCC", turned), HULL, 3.0))


def test_as_many_in_a_row_as_clamps_and_glue_allow() -> None:
    row = next(filled_corners(square_with("CCCC"), HULL, 3.0))
    limits = default_shop().limits
    assert row.counts(limits) == (2, 3)
    assert row.counts(replace(limits, seams_per_glue_up=40)) == (2, 6)
    assert row.counts(replace(limits, clamp_reach_mm=150.0)) == ()


def test_fillers_that_would_meet_in_the_gap_are_no_row() -> None:
    """A square set on its point: its corners reach half the height."""
    wanted = read(
        """
        unit = "in"
        thickness = "3/4"
        woods = { A = "pear", B = "bog oak" }
        [block.one]
        from = "square in a square"
        size = "6"
        [board]
        set = "one one one one"
        """,
        name="points",
    )
    planned = make_plan(wanted, default_shop())
    assert not rows_of(planned.plan)
    assert prove(planned.plan, wanted).holds
