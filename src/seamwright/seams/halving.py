"""Half-star seams: a star divided straight through its centre, and its halves again.

Many pieces meet in the centre of a star, and what is set in between its points locks. Cut along
the lines through the centre alone, such a drawing comes apart: first into two halves, which are
jointed along one straight seam, each half into smaller ones, down to wedges. No piece is set into
a corner; what was set in is cut in two where a line runs through it.
"""

from __future__ import annotations

import time
from collections import defaultdict
from collections.abc import Sequence
from math import atan2, degrees

from seamwright.geometry import ON_LINE_MM, Point, Polygon
from seamwright.seams.freeing import SECONDS, Freed, Opened, fewest, freed
from seamwright.seams.parts import Parts
from seamwright.seams.splitting import locked_groups

FEWEST_POINTS = 5
"""From so many pieces on that meet in a point, each with a corner, it is the centre of a star."""
_WHOLE_TURN_DEG = 359.0


def star_centres(cells: Sequence[Polygon]) -> tuple[Point, ...]:
    """Points in which most corners of cells meet, five or more, and fill the whole turn; sorted.

    >>> rim = [(3.0, 0.0), (2.0, 2.0), (0.0, 3.0), (-3.0, 0.0), (0.0, -3.0)]
    >>> star_centres([((0.0, 0.0), a, b) for a, b in zip(rim, rim[1:] + rim[:1])])
    ((0.0, 0.0),)
    """
    turns: dict[Point, list[float]] = defaultdict(list)
    for cell in cells:
        for i, here in enumerate(cell):
            turns[here].append(_turn_deg(cell[i - 1], here, cell[(i + 1) % len(cell)]))
    count = {point: len(each) for point, each in turns.items() if sum(each) > _WHOLE_TURN_DEG}
    most = max(count.values(), default=0)
    return tuple(sorted(p for p, n in count.items() if n == most and n >= FEWEST_POINTS))


def halve(cells: Sequence[Polygon], *, seconds: float = SECONDS) -> Freed | None:
    """Add seams through the centres of stars until everything splits straight through.

    The first cut through a star divides it and all that locks with it in two, straight through its
    centre. So do all others, where these alone are enough; where more than the star locks, seams
    on other lines may follow. Of all that, the fewest. What locks and has no star in it is freed
    as by ``free``.

    Args:
        cells: polygons that tile a convex region [mm].
        seconds: time for finding the fewest; afterwards a greedy choice is taken.
    Returns:
        The new cells; None where no star locks.
    """
    if not any(star_centres([cells[i] for i in group]) for group in locked_groups(cells)):
        return None
    deadline = time.monotonic() + seconds
    return freed(cells, lambda parts: _opened(parts, deadline))


def _opened(parts: Parts, deadline: float) -> tuple[Opened, bool]:
    centres = star_centres(parts.polygons)
    whole = parts.whole
    through = [
        number
        for number, line in enumerate(parts.lines)
        if any(abs(line.side(centre)) <= ON_LINE_MM for centre in centres)
    ]
    if not through:
        return fewest(parts, whole, deadline=deadline)
    if _enough(parts, through):
        return fewest(parts, whole, deadline=deadline, lines=through)
    found: list[tuple[Opened, bool]] = []
    for line in through:
        halves = parts.cut(whole, line)
        if halves is not None:
            left, sure = fewest(parts, halves.left, deadline=deadline)
            right, too = fewest(parts, halves.right, deadline=deadline)
            both = left.with_(right)
            found.append((Opened(both.pieces, halves.added + both.added), sure and too))
    if not found:
        return fewest(parts, whole, deadline=deadline)
    best = min(found, key=lambda each: len(each[0].added))[0]
    return best, all(sure for _, sure in found)


def _enough(parts: Parts, lines: Sequence[int]) -> bool:
    """Whether everything comes apart once it is cut along all of the lines."""
    region = parts.whole
    for line in lines:
        halves = parts.cut(region, line)
        if halves is not None:
            region = halves.left | halves.right
    return not parts.locked(region)


def _turn_deg(before: Point, here: Point, after: Point) -> float:
    """Inner angle of a cell at one of its corners [°]."""
    into = atan2(before[1] - here[1], before[0] - here[0])
    out = atan2(after[1] - here[1], after[0] - here[0])
    return degrees(into - out) % 360.0
