"""What a step should measure, and what a measured size says of the sizes behind it."""

from __future__ import annotations

from seamwright.fit.compiling import program
from seamwright.fit.joints import Complexes
from seamwright.fit.shapes import direction
from seamwright.plan import Laminate, Mill, Plan, Resaw, Slice, Surface, Trim


def nominal_mm(plan: Plan, number: int) -> tuple[float, ...]:
    """The sizes a step should give: one, or one for each different setting of a trim [mm].

    Args:
        plan: the plan.
        number: of the step, from 1.
    """
    step = plan.steps[number - 1]
    if isinstance(step, Mill):
        return (step.width_mm,)
    if isinstance(step, Slice):
        up = step.second_set_up or step.set_up
        return (up.size_mm,)
    if isinstance(step, Trim):
        return tuple(up.size_mm for up in step.set_ups)
    if isinstance(step, Resaw):
        return (step.set_up.size_mm,)
    if isinstance(step, Surface):
        return (step.depth_mm,)
    return (height_mm(step, program(plan).shapes[step.makes].points),)


def height_mm(step: Laminate, points: Complexes) -> float:
    """Height of a lamination across its seams [mm].

    Args:
        step: the lamination.
        points: its corners in its own frame.
    """
    across = (points * direction(step.seams_deg).conjugate()).imag
    return float(across.max() - across.min())
