"""Decides how a drawing is made: searches the options and chooses exactly."""

from seamwright.planner.choosing import Chosen, Progress, choose
from seamwright.planner.planning import Best, Planned, make_plan

__all__ = ["Best", "Chosen", "Planned", "Progress", "choose", "make_plan"]
