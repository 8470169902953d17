"""Clamping blocks: what brings the outer faces of a glue-up square to the clamps."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from seamwright.geometry import (
    ON_LINE_MM,
    Line,
    Motion,
    Point,
    Polygon,
    angle_between,
    area,
    bounds,
    distance,
)
from seamwright.plan.steps import Laminate

LEAST_MM = 1.0
"""A hollow thinner than this needs no block."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClampingBlock:
    """One block between a part and a clamp.

    Attributes:
        outline: where it lies, in the frame of what is glued [mm].
        lean_deg: angle between its slope and the face the clamp presses on [°].
        long_mm: along that face [mm].
        high_mm: across it [mm].
    """

    outline: Polygon
    lean_deg: float
    long_mm: float
    high_mm: float

    @property
    def size(self) -> tuple[float, float, float]:
        """What equal blocks have in common, to a tenth of a millimetre and of a degree."""
        return (round(self.lean_deg, 1), round(self.long_mm, 1), round(self.high_mm, 1))


def blocks_for(step: Laminate, hull: Polygon) -> tuple[ClampingBlock, ...]:
    """Blocks that one glue-up needs.

    Parts that are pushed into a corner can be pressed by one clamp for each seam where both pairs
    of faces lie opposite each other; only where they do not, blocks turn the faces to the push.

    Args:
        step: the glue-up.
        hull: convex outline of what it makes, in its frame, anticlockwise [mm].
    """
    if not step.angled:
        return ()
    if step.corner_deg is not None and not any(
        clamping_blocks(hull, seam + 90.0) for seam in (step.seams_deg, step.corner_deg)
    ):
        return ()
    return clamping_blocks(hull, step.press_deg)


def clamping_blocks(hull: Polygon, press_deg: float) -> tuple[ClampingBlock, ...]:
    """Blocks that make a glue-up a rectangle to the clamps.

    Every corner of the rectangle round the outline that the wood does not fill is one block, sawn
    to the slope of the outline's longest edge there.

    Args:
        hull: convex outline of what is glued, anticlockwise [mm].
        press_deg: direction in which the clamps press [°].
    Returns:
        None where two faces lie opposite each other already.
    """
    laid = Motion(turn_deg=90.0 - press_deg)
    ring = laid.polygon(hull)
    left, bottom, right, top = bounds(ring)
    back = laid.inverse()
    found = []
    for corner in ((right, top), (left, top), (left, bottom), (right, bottom)):
        rising = (corner[0] == right) == (corner[1] == top)
        chain = _facing(ring, corner, rising=rising)
        if len(chain) < 2:
            continue
        outline: Polygon = (corner, *chain)
        xs, ys = [p[0] for p in outline], [p[1] for p in outline]
        long, high = max(xs) - min(xs), max(ys) - min(ys)
        if area(outline) < LEAST_MM * LEAST_MM or min(long, high) < LEAST_MM:
            continue
        slope = max(pairwise(chain), key=lambda edge: distance(*edge))
        lean = angle_between(Line.through(*slope).undirected_deg, 0.0)
        found.append(
            ClampingBlock(outline=back.polygon(outline), lean_deg=lean, long_mm=long, high_mm=high)
        )
    return tuple(found)


def _facing(ring: Polygon, corner: Point, *, rising: bool) -> tuple[Point, ...]:
    """The part of an outline between the two sides of its box that meet at a corner.

    ``rising``: whether, anticlockwise, the outline comes from the upright side. The order is such
    that with the corner in front it is an anticlockwise outline of its own.
    """
    x, y = corner
    level = [i for i, p in enumerate(ring) if abs(p[1] - y) <= ON_LINE_MM]
    upright = [i for i, p in enumerate(ring) if abs(p[0] - x) <= ON_LINE_MM]
    near_level = min(level, key=lambda i: abs(ring[i][0] - x))
    near_upright = min(upright, key=lambda i: abs(ring[i][1] - y))
    if near_level == near_upright:
        return ()
    first, last = (near_upright, near_level) if rising else (near_level, near_upright)
    chain = [ring[first]]
    i = first
    while i != last:
        i = (i + 1) % len(ring)
        chain.append(ring[i])
    # seen from the corner the wood lies beyond: the block's own outline runs the other way
    return tuple(reversed(chain))
