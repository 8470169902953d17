"""What a chosen plan saves by working parts of different kinds in one go."""

from __future__ import annotations

from collections.abc import Mapping

from seamwright.plan import Plan, totals
from seamwright.planner.long_sticks import with_long_sticks
from seamwright.planner.ordering import Ordered, fewest_settings
from seamwright.planner.ripping import with_wide_laminations
from seamwright.planner.shared_clampings import GluedSize, with_shared_clampings
from seamwright.planner.sticks import with_equal_sticks_as_one


def shared_in_order(plan: Plan, square: Mapping[str, GluedSize]) -> Ordered:
    """The plan in a good order, worked in one go where that saves minutes.

    What is made stays the same, and from which parts; strip sets may become longer. Glue-ups that
    lie in the clamps together are worked one behind the other, which may ask for a setting more: so
    the plan is ordered with them and without.

    Args:
        plan: as it was written from a choice.
        square: sizes of its square glue-ups.
    """
    ordered = [fewest_settings(way) for way in _ways(plan, square)]
    return min(ordered, key=lambda found: totals(found.plan).minutes)


def shared_at_once(plan: Plan, square: Mapping[str, GluedSize]) -> Ordered:
    """As ``shared_in_order``, for a plan that is wanted soon: only what looks best is ordered.

    Args:
        plan, square: as there.
    """
    return fewest_settings(min(_ways(plan, square), key=lambda way: totals(way).minutes))


def _ways(plan: Plan, square: Mapping[str, GluedSize]) -> list[Plan]:
    """The plan with more and more worked in one go, in the order it came."""
    plan = with_equal_sticks_as_one(plan)
    ways = [plan]
    wide = with_wide_laminations(plan)
    if wide is not plan:
        ways.append(with_equal_sticks_as_one(wide))
    for way in tuple(ways):
        clamped = with_shared_clampings(way, square)
        if clamped is not way:
            ways.append(clamped)
    return [with_long_sticks(way) for way in ways]
