"""Parts pushed into inside corners: which there are, and plans made of them."""

from __future__ import annotations

import math

import pytest

from fakes.drawings import drawing, rectangle
from seamwright.bench import Severity, prove
from seamwright.design import Drawing
from seamwright.plan import Laminate, default_shop
from seamwright.planner import Locks, make_plan
from seamwright.planner.corners import connected, corners, opposite, touching_cells
from seamwright.seams import members, supporting_lines


def swirl(unit: float = 60.0) -> Drawing:
    """Five pieces that lock: four round a square (common practice, no source)."""
    boxes = [(0, 0, 2, 1), (2, 0, 1, 2), (1, 2, 2, 1), (0, 1, 1, 2), (1, 1, 1, 1)]
    rings = [
        tuple((unit * (x + a * w), unit * (y + b * h)) for a, b in ((0, 0), (1, 0), (1, 1), (0, 1)))
        for x, y, w, h in boxes
    ]
    return drawing(rings, "ABABC", [90.0] * 5)


def star_on_its_square(side: float = 90.0) -> Drawing:
    """Eight diamonds round a point, set on a square: corner squares and side triangles lock it."""
    tip = 2.0 * side * math.cos(math.radians(22.5))
    half = tip * math.cos(math.radians(22.5))

    def at(angle: float, far: float) -> tuple[float, float]:
        turn = math.radians(angle)
        return (round(half + far * math.cos(turn), 6), round(half + far * math.sin(turn), 6))

    diamonds = [
        (at(0, 0), at(45 * i, side), at(45 * i + 22.5, tip), at(45 * i + 45, side))
        for i in range(8)
    ]
    triangles = [
        (at(90 * i, side), at(90 * i - 22.5, tip), at(90 * i + 22.5, tip)) for i in range(4)
    ]
    squares = [
        (
            at(90 * i + 45, side),
            at(90 * i + 22.5, tip),
            at(90 * i + 45, half * math.sqrt(2.0)),
            at(90 * i + 67.5, tip),
        )
        for i in range(4)
    ]
    rings = [*diamonds, *triangles, *squares]
    woods = ["A", "B"] * 4 + ["C"] * 8
    size = round(2.0 * half, 6)
    return drawing(rings, woods, [90.0] * 16, outline=rectangle(size, size))


def test_each_outer_piece_of_a_swirl_lies_in_a_corner() -> None:
    rings = [patch.points for patch in swirl().patches]
    beside = touching_cells(rings)
    found = corners(0b11111, supporting_lines(rings), beside)
    singles = {members(c.part)[0] for c in found if c.part.bit_count() == 1}
    assert singles == {0, 1, 2, 3}
    first = next(c for c in found if c.part == 1)
    other = opposite(first, found, beside)
    assert other is not None
    assert other.part == 0b100
    assert (other.outward_deg - first.outward_deg) % 360.0 == pytest.approx(180.0)


def test_a_part_leaves_its_corner_along_the_bisector() -> None:
    rings = [patch.points for patch in star_on_its_square().patches]
    found = corners((1 << 16) - 1, supporting_lines(rings), touching_cells(rings))
    outward = {c.part.bit_length() - 1: c.outward_deg for c in found if c.part.bit_count() == 1}
    assert set(outward) == set(range(8, 16))
    wanted = [90.0 * i for i in range(4)] + [90.0 * i + 45.0 for i in range(4)]
    for number, angle in enumerate(wanted, start=8):
        assert abs((outward[number] - angle + 180.0) % 360.0 - 180.0) < 0.001


def test_cells_hang_together_along_edges_not_at_points() -> None:
    squares = [rectangle(1.0, 1.0), ((1.0, 1.0), (2.0, 1.0), (2.0, 2.0), (1.0, 2.0))]
    big = [tuple((50 * x, 50 * y) for x, y in ring) for ring in squares]
    assert not connected(0b11, touching_cells(big))
    assert connected(0b01, touching_cells(big))
    assert not connected(0, touching_cells(big))


@pytest.mark.parametrize("board", [swirl, star_on_its_square])
def test_a_locked_board_is_made_as_it_is_drawn(board) -> None:
    wanted = board()
    planned = make_plan(wanted, default_shop(), locks=Locks.SET_IN)
    assert not planned.added
    assert planned.best.proven
    proof = prove(planned.plan, wanted)
    assert proof.holds, proof.findings
    pushed = [s for s in planned.plan.steps if isinstance(s, Laminate) and s.corner_deg is not None]
    assert pushed
    assert all(step.angled and step.closes == 2 * (len(step.parts) - 1) for step in pushed)


def test_setting_in_saves_glue_ups_over_added_seams() -> None:
    wanted, shop = star_on_its_square(), default_shop()
    cut = make_plan(wanted, shop)
    assert len(cut.added) == 8
    assert prove(cut.plan, wanted).holds
    assert make_plan(wanted, shop, locks=Locks.SET_IN).best.cost < cut.best.cost


def test_a_board_that_does_not_lock_is_planned_as_ever() -> None:
    wanted = drawing([rectangle(200.0, 60.0)], "A", [0.0])
    shop = default_shop()
    plans = [make_plan(wanted, shop, locks=locks).plan for locks in (Locks.ADD_SEAMS, Locks.SET_IN)]
    assert plans[0] == plans[1]
    assert not [f for f in prove(plans[0], wanted).findings if f.severity is not Severity.WARNING]
