"""Which seams to add so that a locked drawing comes apart along straight lines.

An added seam lies on a line that already carries an edge, and cuts every cell it crosses in two.
The fewest are looked for by iterative deepening on their number, remembering what each region takes
at least; where that takes too long a greedy choice stands in, and the answer says so.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from seamwright.geometry import Point, Polygon, bounds
from seamwright.seams.lines import members
from seamwright.seams.parts import AddedSeam, Halves, Parts
from seamwright.seams.splitting import locked_groups

SECONDS = 0.75
"""Time for finding the fewest [s]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Freed:
    """A drawing made separable.

    Attributes:
        cells: the cells after the cuts [mm].
        origin: for each of them the number of the drawn cell it is part of.
        added: the seams that were added.
        fewest: whether no smaller number of cuts on the lines looked at would do.
    """

    cells: tuple[Polygon, ...]
    origin: tuple[int, ...]
    added: tuple[AddedSeam, ...]
    fewest: bool


@dataclass(frozen=True, slots=True)
class Opened:
    """A region that comes apart: its pieces (bit set), and the seams added to it."""

    pieces: int
    added: tuple[AddedSeam, ...] = ()

    def with_(self, other: Opened) -> Opened:
        """Both together."""
        return Opened(self.pieces | other.pieces, self.added + other.added)


def free(cells: Sequence[Polygon], *, seconds: float = SECONDS) -> Freed:
    """Add seams until everything splits straight through.

    Args:
        cells: polygons that tile a convex region [mm].
        seconds: time for finding the fewest; afterwards a greedy choice is taken.
    Returns:
        The new cells; unchanged, with nothing added, where the drawing splits already.
    """
    deadline = time.monotonic() + seconds
    return freed(cells, lambda parts: fewest(parts, parts.whole, deadline=deadline))


def untouched(cells: Sequence[Polygon]) -> Freed:
    """A drawing left as it is, locked or not."""
    return Freed(cells=tuple(cells), origin=tuple(range(len(cells))), added=(), fewest=True)


def freed(cells: Sequence[Polygon], opening: Callable[[Parts], tuple[Opened, bool]]) -> Freed:
    """Open every locked group; of groups that are alike, such as equal blocks, only the first.

    Args:
        cells: polygons that tile a region [mm].
        opening: opens a group, and says whether fewer seams would not do.
    """
    locked = locked_groups(cells)
    loose = set(range(len(cells))) - {i for group in locked for i in group}
    result = [(cells[i], i) for i in sorted(loose)]
    added: list[AddedSeam] = []
    exact = True
    known: dict[tuple[Polygon, ...], tuple[Parts, Opened, bool, Point]] = {}
    for numbers in locked:
        group = [cells[i] for i in numbers]
        x, y, _, _ = bounds(point for cell in group for point in cell)
        key = tuple(tuple((round(u - x, 6), round(v - y, 6)) for u, v in c) for c in group)
        if key not in known:
            parts = Parts(group, range(len(group)))
            known[key] = (parts, *opening(parts), (x, y))
        parts, done, sure, first = known[key]
        by = (x - first[0], y - first[1])
        exact &= sure
        for i in members(done.pieces):
            cell = numbers[parts.origin[i]]
            whole = i < len(group)  # cells that are not cut keep their numbers
            result.append((cells[cell] if whole else _moved(parts.polygons[i], by), cell))
        for seam in done.added:
            start, end = _moved((seam.start, seam.end), by)
            added.append(AddedSeam(cell=numbers[seam.cell], start=start, end=end))
    return Freed(
        cells=tuple(cell for cell, _ in result),
        origin=tuple(origin for _, origin in result),
        added=tuple(added),
        fewest=exact,
    )


def _moved(points: Polygon, by: Point) -> Polygon:
    return tuple((x + by[0], y + by[1]) for x, y in points)


def fewest(
    parts: Parts, region: int, *, deadline: float, lines: Sequence[int] | None = None
) -> tuple[Opened, bool]:
    """Open a region with the fewest seams, or with few where the time runs out; whether they are.

    Args:
        parts: its pieces.
        region: bit set of pieces.
        deadline: on the monotonic clock [s].
        lines: those that may be cut along; all of them if left out. They must be enough.
    """
    allowed = range(len(parts.lines)) if lines is None else lines
    try:
        return _Search(parts, allowed, deadline).opened(region), True
    except TimeoutError:
        return _greedy(parts, region, allowed), False


class _Search:
    """The fewest seams for each region met, and for the others how many it takes at least."""

    def __init__(self, parts: Parts, lines: Sequence[int], deadline: float) -> None:
        self.parts = parts
        self.lines = lines
        self.deadline = deadline
        self.known: dict[int, Opened] = {}
        self.least: dict[int, int] = {}

    def opened(self, region: int) -> Opened:
        """All that is locked in a region opened, each with the fewest seams."""
        result = Opened(region)
        for group in self.parts.locked(region):
            found = self.known.get(group)
            while found is None:
                found = self.within(group, self.least.get(group, 1))
            result = Opened(result.pieces & ~group, result.added).with_(found)
        return result

    def within(self, region: int, budget: int) -> Opened | None:
        """A locked region opened with so many seams at most; what fails is remembered.

        Asked for budgets one by one, the first that does is the fewest.
        """
        known = self.known.get(region)
        if known is not None:
            return known if len(known.added) <= budget else None
        if self.least.get(region, 1) > budget:
            return None
        if time.monotonic() > self.deadline:
            raise TimeoutError
        for count, line in _candidates(self.parts, region, self.lines):
            if count > budget:
                break
            halves = self.parts.cut(region, line)
            if halves is not None and self._can_open(halves, budget):
                found = self.opened(halves.left).with_(self.opened(halves.right))
                self.known[region] = Opened(found.pieces, halves.added + found.added)
                return self.known[region]
        self.least[region] = budget + 1
        return None

    def _can_open(self, halves: Halves, budget: int) -> bool:
        """Whether what is locked in two halves opens within the budget."""
        groups = [*self.parts.locked(halves.left), *self.parts.locked(halves.right)]
        spare = budget - len(halves.added) - sum(map(self._takes, groups))
        for group in groups:
            while spare >= 0 and group not in self.known:
                before = self._takes(group)
                if self.within(group, before) is None:
                    spare -= self._takes(group) - before
        return spare >= 0

    def _takes(self, group: int) -> int:
        """Seams a locked group takes at least."""
        known = self.known.get(group)
        return self.least.get(group, 1) if known is None else len(known.added)


def _greedy(parts: Parts, region: int, lines: Sequence[int]) -> Opened:
    """Cut each locked group along the line that crosses least."""
    result = Opened(region)
    for group in parts.locked(region):
        for _, line in _candidates(parts, group, lines):
            halves = parts.cut(group, line)
            if halves is not None:
                found = _greedy(parts, halves.left, lines).with_(
                    _greedy(parts, halves.right, lines)
                )
                result = Opened(result.pieces & ~group, result.added + halves.added).with_(found)
                break
    return result


def _candidates(parts: Parts, region: int, lines: Sequence[int]) -> Iterator[tuple[int, int]]:
    """Lines through a region with the number of pieces they cross, fewest first."""
    through = [
        (parts.crossed(region, line).bit_count(), line)
        for line in lines
        if parts.beside(region, line)
    ]
    yield from sorted(through)
