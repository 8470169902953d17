"""Decides how a drawing is made: searches the options and chooses exactly."""

from seamwright.planner.alternatives import (
    Alternative,
    Measures,
    Prefer,
    alternatives,
    measure,
    prefer_plan,
)
from seamwright.planner.cells import Locks
from seamwright.planner.choosing import Chosen, Progress, choose
from seamwright.planner.forbidding import Decided, Reasons, Sort, Without, forbid_each
from seamwright.planner.long_sticks import with_long_sticks
from seamwright.planner.planning import Best, Planned, make_plan
from seamwright.planner.recalling import Memory

__all__ = [
    "Alternative",
    "Best",
    "Chosen",
    "Decided",
    "Locks",
    "Measures",
    "Memory",
    "Planned",
    "Prefer",
    "Progress",
    "Reasons",
    "Sort",
    "Without",
    "alternatives",
    "choose",
    "forbid_each",
    "make_plan",
    "measure",
    "prefer_plan",
    "with_long_sticks",
]
