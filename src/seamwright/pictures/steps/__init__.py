"""One clear drawing for every step of a plan.

`step_picture` draws a step as its sheet shows it: parts in wood, cuts numbered in order, sizes,
and the chalk marks that must be on the wood before the saw starts.
"""

from __future__ import annotations

from seamwright.pictures.primitives import Picture
from seamwright.pictures.steps.bars import slice_picture, slice_scale
from seamwright.pictures.steps.depths import resaw_picture, surface_picture
from seamwright.pictures.steps.easel import Easel
from seamwright.pictures.steps.glue import glue_layout, glue_picture
from seamwright.pictures.steps.sticks import mill_picture
from seamwright.pictures.steps.trims import rip_picture, trim_picture, trim_scale
from seamwright.plan import Laminate, Mill, Resaw, Slice, Step, Trim

__all__ = ["Easel", "step_picture", "step_scale"]


def step_picture(step: Step, easel: Easel) -> Picture:
    """The drawing of a step, no larger than the easel's room."""
    if isinstance(step, Mill):
        return mill_picture(step, easel)
    if isinstance(step, Slice):
        return slice_picture(step, easel)
    if isinstance(step, Trim):
        return trim_picture(step, easel) if step.each == 1 else rip_picture(step, easel)
    if isinstance(step, Laminate):
        return glue_picture(step, easel)
    if isinstance(step, Resaw):
        return resaw_picture(step, easel)
    return surface_picture(step, easel)


def step_scale(step: Step, easel: Easel) -> float:
    """Page millimetres per millimetre in the drawing of a step; 1 where it does not matter.

    Lets a layout choose the room for a drawing without making it twice.
    """
    if isinstance(step, Slice):
        return slice_scale(step, easel)
    if isinstance(step, Trim) and step.each == 1:
        return trim_scale(step, easel)
    if isinstance(step, Laminate):
        return glue_layout(step, easel).scale
    return 1.0
