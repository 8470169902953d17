"""Pushing parts into corners: what can be pushed home, and what cannot."""

from __future__ import annotations

from dataclasses import replace

from fakes import plans
from fakes.plans import glued, plan, put, roomy_shop, stick
from seamwright.bench import Severity, Shelf, execute, prove
from seamwright.plan import Laminate, Placed, Slice


def told(shelf: Shelf) -> set[str]:
    return {f.code for f in shelf.findings if f.severity is not Severity.WARNING}


def corner(parts: list[Placed], *, seams: float = 90.0, second: float = 0.0) -> Shelf:
    """Sticks of 100 × 40 pushed together."""
    step = replace(glued("U1", parts, seams), corner_deg=second, angled=True, closes=2)
    steps = (stick("S1", "A", 100.0, 40.0, 20.0, count=len(parts)), step)
    return execute(plan(steps, "U1", roomy_shop()))


def test_a_stick_is_pushed_into_an_l() -> None:
    # the L: floor at y 0…40, wall at x −40…0 above and beside it; the third stick in the corner
    shelf = corner(
        [put("S1"), put("S1", 0.0, 0.0, 90.0), put("S1", 0.0, 40.0)], seams=0.0, second=90.0
    )
    assert told(shelf) == set()


def test_the_push_must_press_both_seams() -> None:
    parts = [put("S1"), put("S1", 0.0, 0.0, 90.0), put("S1", 0.0, 40.0)]
    assert "B138" in told(corner(parts, seams=90.0, second=0.0))


def test_a_part_between_two_walls_is_pressed_against_one_only() -> None:
    parts = [
        put("S1"),
        put("S1", 0.0, 0.0, 90.0),
        put("S1", 140.0, 0.0, 90.0),
        put("S1", 0.0, 40.0),
    ]
    assert "B138" in told(corner(parts, seams=0.0, second=90.0))


def test_a_part_with_something_in_its_way_cannot_be_pushed_home() -> None:
    parts = [
        put("S1"),
        put("S1", 0.0, 0.0, 90.0),
        # a block that hangs over the corner, on the wall's outer end
        put("S1", 0.0, 100.0),
        put("S1", 0.0, 40.0),
    ]
    shelf = corner(parts, seams=0.0, second=90.0)
    assert "B139" in told(shelf)


def test_overlaps_and_loose_parts_are_told() -> None:
    assert "B133" in told(corner([put("S1"), put("S1", 10.0, 10.0)]))
    assert "B136" in told(corner([put("S1"), put("S1", 0.0, 90.0)]))


def test_a_row_is_held_by_its_parts_and_not_by_a_tail() -> None:
    making, drawing = plans.filled_row()
    assert prove(making, drawing).holds
    limits = replace(making.shop.limits, part_min_mm=60.0)
    strict = replace(making, shop=replace(making.shop, limits=limits))
    codes = {f.code for f in prove(strict, drawing).findings}
    assert "B305" in codes
    assert any(isinstance(step, Slice) and step.apart for step in making.steps)
    assert any(isinstance(s, Laminate) and s.corner_deg is not None for s in making.steps)
