"""What a chosen plan saves by working parts of different kinds in one go."""

from __future__ import annotations

from seamwright.plan import Plan, totals
from seamwright.planner.equal_sticks import with_equal_sticks_as_one
from seamwright.planner.long_sticks import with_long_sticks
from seamwright.planner.shared_clampings import with_shared_clampings


def shared(plan: Plan) -> Plan:
    """The plan with long sticks and clampings shared between strip sets, where that saves minutes.

    What is made stays the same, and from which parts; strip sets may become longer.
    """
    plan = with_equal_sticks_as_one(plan)
    plain = with_long_sticks(plan)
    clamped = with_shared_clampings(plan)
    if clamped is plan:
        return plain
    return min(plain, with_long_sticks(clamped), key=lambda found: totals(found).minutes)
