"""Slices between slanted faces: their angles, and their lengths along both edges of the bar."""

from __future__ import annotations

from seamwright.geometry import cos_deg, sin_deg
from seamwright.plan import Slice


def faces_deg(step: Slice) -> tuple[float, float]:
    """Angles of the left and right face of the first piece [°]."""
    if not step.head_to_tail or len(step.cuts) < 2:
        return step.cuts[0].angle_deg, step.cuts[0].angle_deg
    if step.squared:
        return step.cuts[1].angle_deg, step.cuts[0].angle_deg
    return step.cuts[0].angle_deg, step.cuts[1].angle_deg


def bottom_mm(step: Slice, kerf_mm: float) -> float:
    """Length of the first piece along the reference edge [mm]."""
    if step.squared:
        return step.cuts[0].at_mm
    first = step.cuts[0]
    return step.cuts[1].at_mm - first.at_mm - kerf_mm / sin_deg(first.angle_deg)


def narrowing(step: Slice) -> float:
    """How much longer a piece gets for each millimetre away from the reference edge [-]."""
    left, right = faces_deg(step)
    return cot(right) - cot(left)


def cot(angle_deg: float) -> float:
    """Cotangent of an angle in degrees."""
    return cos_deg(angle_deg) / sin_deg(angle_deg)
