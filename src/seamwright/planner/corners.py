"""Parts that can be pushed into inside corners, where no seam runs straight through.

A part lies in a corner when two lines bound it, everything else of the region lies on the far side
of one line or the other, and both lines are glue lines. Pushed along the bisector it closes both.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from seamwright.geometry import ON_LINE_MM, Line, Polygon, distance
from seamwright.seams import Through, members

NARROWEST_DEG = 40.0
WIDEST_DEG = 140.0
"""Corners sharper than this squeeze a part out, flatter ones let it slide (common practice, no
source)."""
_CONTACT_MM = 1.0
_OPPOSITE_DEG = 1.0


@dataclass(frozen=True, slots=True)
class Corner:
    """A part in an inside corner.

    Attributes:
        part: its cells (bit set).
        first, second: the two lines that bound it, directed so that the part lies left of both.
        outward_deg: direction in which it leaves the corner [°].
    """

    part: int
    first: Line
    second: Line
    outward_deg: float


def corners(region: int, lines: Sequence[Through], touching: Mapping[int, int]) -> list[Corner]:
    """Every part of a region that lies in an inside corner, the smallest first.

    Args:
        region: cells (bit set).
        lines: supporting lines with cells of the region on both sides.
        touching: for each cell those it touches along an edge (bit set).
    """
    found: dict[int, Corner] = {}
    sides = [(entry, flip) for entry in lines for flip in (False, True)]
    for (one, flip_one), (other, flip_other) in combinations(sides, 2):
        if one.direction == other.direction:
            continue
        in_one, out_one = (one.right, one.left) if flip_one else (one.left, one.right)
        in_other, out_other = (other.right, other.left) if flip_other else (other.left, other.right)
        part = region & in_one & in_other
        rest = region & ~part
        if not part or not rest or rest & ~(out_one | out_other) or part in found:
            continue
        first = one.line.reversed() if flip_one else one.line
        second = other.line.reversed() if flip_other else other.line
        # both lines must be glue lines: cells of the rest touch the part across each of them
        if not (one.carried & part and one.carried & rest & out_one):
            continue
        if not (other.carried & part and other.carried & rest & out_other):
            continue
        # the part lies left of both lines: their left normals point into it and out of the corner
        turn = (second.angle_deg - first.angle_deg + 180.0) % 360.0 - 180.0
        if not NARROWEST_DEG <= 180.0 - abs(turn) <= WIDEST_DEG:
            continue
        if connected(part, touching) and connected(rest, touching):
            outward = (first.angle_deg + 90.0 + turn / 2.0) % 360.0
            found[part] = Corner(part, first, second, outward)
    return sorted(found.values(), key=lambda c: (c.part.bit_count(), c.part))


def opposite(
    corner: Corner, others: Sequence[Corner], touching: Mapping[int, int]
) -> Corner | None:
    """A corner that the same clamps close: it points the other way and shares nothing."""
    for other in others:
        turn = (other.outward_deg - corner.outward_deg) % 360.0
        if abs(turn - 180.0) > _OPPOSITE_DEG or other.part & corner.part:
            continue
        if not any(touching[cell] & other.part for cell in members(corner.part)):
            return other
    return None


def connected(region: int, touching: Mapping[int, int]) -> bool:
    """Whether cells hang together along edges."""
    if not region:
        return False
    reached = region & -region
    edge = reached
    while edge:
        grown = 0
        for cell in members(edge):
            grown |= touching[cell]
        edge = grown & region & ~reached
        reached |= edge
    return reached == region


def touching_cells(rings: Sequence[Polygon]) -> dict[int, int]:
    """For each cell those it touches along a real length (bit sets)."""
    found = dict.fromkeys(range(len(rings)), 0)
    for i, j in combinations(range(len(rings)), 2):
        if _touch(rings[i], rings[j]):
            found[i] |= 1 << j
            found[j] |= 1 << i
    return found


def _touch(a: Polygon, b: Polygon) -> bool:
    for p, q in zip(a, a[1:] + a[:1], strict=True):
        if distance(p, q) <= ON_LINE_MM:
            continue
        line = Line.through(p, q)
        low = line.ux * p[0] + line.uy * p[1]
        for s, t in zip(b, b[1:] + b[:1], strict=True):
            if abs(line.side(s)) > ON_LINE_MM or abs(line.side(t)) > ON_LINE_MM:
                continue
            reach = sorted(line.ux * x + line.uy * y for x, y in (s, t))
            if min(reach[1], low + distance(p, q)) - max(reach[0], low) >= _CONTACT_MM:
                return True
    return False
