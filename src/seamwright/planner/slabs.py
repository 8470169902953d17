"""Seams that run straight through a region, and what lies between them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from seamwright.geometry import ON_LINE_MM, Line, Polygon
from seamwright.planner.corners import connected
from seamwright.seams import Through

_SQUARE = 1e-6
"""Cosine of the angle between two lines at right angles."""


def halves_hold(region: int, seam: Through, beside: Mapping[int, int]) -> bool:
    """Whether what lies on each side of a seam hangs together."""
    return connected(region & seam.left, beside) and connected(region & seam.right, beside)


def full_seams(lines: Sequence[Through], region: int) -> list[list[Through]]:
    """Seams that run straight through a region, gathered by direction, in order of offset."""
    by_direction: dict[int, list[Through]] = {}
    for entry in lines:
        if not entry.crossed & region:
            by_direction.setdefault(entry.direction, []).append(entry)
    return [sorted(group, key=lambda t: t.line.offset) for group in by_direction.values()]


def slabs(region: int, seams: Sequence[Through]) -> list[int]:
    """What lies between parallel seams of a region, in their order."""
    found = []
    rest = region
    for seam in seams:
        slab = rest & seam.right
        if slab:
            found.append(slab)
        rest &= seam.left
    return [*found, rest] if rest else found


def square_across(slab: int, seam: Line, lines: Sequence[Through]) -> int:
    """Which of some lines run through a slab at right angles to its seams, as a bit set."""
    return sum(
        1 << number
        for number, t in enumerate(lines)
        if abs(t.line.ux * seam.ux + t.line.uy * seam.uy) < _SQUARE
        and not t.crossed & slab
        and t.left & slab
        and t.right & slab
    )


def squeezes(hull: Polygon, line: Line) -> bool:
    """Whether plain clamps across the seams close them: two outer faces, opposite each other.

    Faces that lie so far apart along the seams that less than half of the shorter one has the
    other behind it would slide past each other.
    """
    reach = [(line.side(p), line.ux * p[0] + line.uy * p[1]) for p in hull]
    low, high = min(reach)[0], max(reach)[0]
    near = [along for side, along in reach if side - low <= ON_LINE_MM]
    far = [along for side, along in reach if high - side <= ON_LINE_MM]
    shorter = min(max(near) - min(near), max(far) - min(far))
    shared = min(max(near), max(far)) - max(min(near), min(far))
    return shorter > ON_LINE_MM and shared >= shorter / 2.0 - ON_LINE_MM
