"""Half-star seams as a plan of its own, and the choice between the ways a locked drawing has."""

from __future__ import annotations

import pytest

from fakes.drawings import block, drawing, rectangle, swirl
from fakes.stars import star
from seamwright.bench import prove
from seamwright.design import Drawing
from seamwright.errors import PlanError
from seamwright.geometry import Line, convex_hull
from seamwright.plan import Laminate, Plan, default_shop
from seamwright.planner import Prefer, alternatives, prefer_plan
from seamwright.seams import free, star_centres


def of_points(points: int) -> Drawing:
    """A star in a polygon of its own; grain up in all of it."""
    rings = star(points, side_mm=90.0)
    outline = convex_hull([p for ring in rings for p in ring])
    return drawing(rings, "AB" * points, [90.0] * len(rings), outline=outline)


def corner_pushes(plan: Plan) -> int:
    return sum(isinstance(s, Laminate) and s.corner_deg is not None for s in plan.steps)


def joints(plan: Plan) -> list[Laminate]:
    return [step for step in plan.steps if isinstance(step, Laminate)]


@pytest.mark.parametrize(
    "make", [lambda: block("lemoyne star", size="12"), lambda: of_points(6), lambda: of_points(5)]
)
def test_a_star_closes_along_one_straight_seam_and_proves(make) -> None:
    wanted = make()
    planned = prefer_plan(wanted, default_shop(), Prefer.HALF_STARS)
    assert prove(planned.plan, wanted).holds
    cells = [patch.points for patch in wanted.patches]
    assert planned.fewest is (len(planned.added) == len(free(cells).added))
    (centre,) = star_centres(cells)
    for seam in planned.added:
        assert abs(Line.through(seam.start, seam.end).side(centre)) < 1e-4
    assert corner_pushes(planned.plan) == 0, "nothing is set into a corner"
    last = joints(planned.plan)[-1]
    assert len(last.parts) == 2, "two halves"


def test_each_way_through_what_locks_can_be_had_and_each_proves() -> None:
    wanted = block("lemoyne star", size="12")
    found = {way.prefer: way for way in alternatives(wanted, default_shop())}
    assert {Prefer.CHEAPEST, Prefer.AS_DRAWN, Prefer.HALF_STARS} <= set(found)
    for way in found.values():
        assert prove(way.planned.plan, wanted).holds
    assert len(found[Prefer.CHEAPEST].planned.added) == 8
    assert found[Prefer.AS_DRAWN].planned.added == ()
    assert corner_pushes(found[Prefer.AS_DRAWN].planned.plan) > 0
    half = found[Prefer.HALF_STARS]
    assert "straight seam through its centre" in half.trade
    assert "cut in two" in half.trade
    assert half.measures.minutes < found[Prefer.CHEAPEST].measures.minutes
    assert "half-stars" in found[Prefer.CHEAPEST].trade


def test_a_row_of_stars_is_halved_too() -> None:
    board = '[board]\nset = "one one"\nsashing = { wood = "A", width = "1" }\n'
    wanted = block("lemoyne star", size="12", board=board)
    planned = prefer_plan(wanted, default_shop(), Prefer.HALF_STARS)
    assert prove(planned.plan, wanted).holds
    assert len(planned.added) == 16


@pytest.mark.parametrize(
    "wanted", [swirl(), drawing([rectangle(200.0, 100.0)], ["A"], [0.0])], ids=["swirl", "plain"]
)
def test_without_a_star_it_is_refused_and_not_among_the_ways(wanted: Drawing) -> None:
    with pytest.raises(PlanError, match="no star that locks"):
        prefer_plan(wanted, default_shop(), Prefer.HALF_STARS)
    ways = alternatives(wanted, default_shop())
    assert Prefer.HALF_STARS not in {way.prefer for way in ways}
