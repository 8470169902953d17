"""Which seams to add so that a locked drawing comes apart along straight lines.

An added seam lies on a line that already carries an edge, and cuts every cell it crosses in two.
The fewest are looked for by iterative deepening on the number of cells cut; where that takes too
long a greedy choice stands in, and the answer says so.
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass

from seamwright.geometry import (
    ON_LINE_MM,
    SLIVER_MM,
    Line,
    Point,
    Polygon,
    drop_collinear,
    split,
)
from seamwright.seams.lines import Through, members, supporting_lines
from seamwright.seams.splitting import locked_groups

_SECONDS = 0.75


@dataclass(frozen=True, slots=True, kw_only=True)
class AddedSeam:
    """A new seam through one cell.

    Attributes:
        cell: number of the drawn cell it cuts.
        start, end: its ends [mm].
    """

    cell: int
    start: Point
    end: Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Freed:
    """A drawing made separable.

    Attributes:
        cells: the cells after the cuts [mm].
        origin: for each of them the number of the drawn cell it is part of.
        added: the seams that were added.
        fewest: whether no smaller number of cuts on existing lines would do.
    """

    cells: tuple[Polygon, ...]
    origin: tuple[int, ...]
    added: tuple[AddedSeam, ...]
    fewest: bool


@dataclass(frozen=True, slots=True)
class _Group:
    cells: tuple[Polygon, ...]
    origin: tuple[int, ...]
    added: tuple[AddedSeam, ...] = ()


def free(cells: Sequence[Polygon], *, seconds: float = _SECONDS) -> Freed:
    """Add seams until everything splits straight through.

    Args:
        cells: polygons that tile a convex region [mm].
        seconds: time for finding the fewest; afterwards a greedy choice is taken.
    Returns:
        The new cells; unchanged, with nothing added, where the drawing splits already.
    """
    locked = locked_groups(cells)
    kept = set(range(len(cells))) - {i for group in locked for i in group}
    result = [(cells[i], i) for i in sorted(kept)]
    added: list[AddedSeam] = []
    fewest = True
    deadline = time.monotonic() + seconds
    for numbers in locked:
        group = _Group(tuple(cells[i] for i in numbers), numbers)
        freed = _fewest(group, deadline)
        if freed is None:
            fewest = False
            freed = _greedy(group)
        result.extend(zip(freed.cells, freed.origin, strict=True))
        added.extend(freed.added)
    return Freed(
        cells=tuple(cell for cell, _ in result),
        origin=tuple(origin for _, origin in result),
        added=tuple(added),
        fewest=fewest,
    )


def untouched(cells: Sequence[Polygon]) -> Freed:
    """A drawing left as it is, locked or not."""
    return Freed(cells=tuple(cells), origin=tuple(range(len(cells))), added=(), fewest=True)


def _fewest(group: _Group, deadline: float) -> _Group | None:
    for budget in range(1, 4 * len(group.cells) + 1):
        try:
            found = _search(group, budget, deadline)
        except TimeoutError:
            return None
        if found is not None:
            return found
    return None


def _search(group: _Group, budget: int, deadline: float) -> _Group | None:
    """All ways to free one group with at most so many cells cut."""
    if time.monotonic() > deadline:
        raise TimeoutError
    for cost, entry in _candidates(group):
        if cost > budget:
            return None
        halves = _cut(group, entry)
        if halves is None:
            continue
        done: list[_Group] = []
        left_over = budget - cost
        for part in halves.parts:
            best = _within(part, left_over, deadline)
            if best is None:
                break
            left_over -= len(best.added)
            done.append(best)
        else:
            return _joined(done, halves.added)
    return None


def _within(part: _Group, budget: int, deadline: float) -> _Group | None:
    """Free everything that is locked in a part, cheapest first, within the budget."""
    locked = locked_groups(part.cells)
    if not locked:
        return part
    inside = {i for numbers in locked for i in numbers}
    loose = [i for i in range(len(part.cells)) if i not in inside]
    pieces = [_take(part, loose)]
    for numbers in locked:
        for allowed in range(1, budget + 1):
            found = _search(_take(part, numbers), allowed, deadline)
            if found is not None:
                budget -= len(found.added)
                pieces.append(found)
                break
        else:
            return None
    return _joined(pieces, ())


def _greedy(group: _Group) -> _Group:
    for _, entry in _candidates(group):
        halves = _cut(group, entry)
        if halves is None:
            continue
        done = []
        for part in halves.parts:
            locked = locked_groups(part.cells)
            inside = {i for numbers in locked for i in numbers}
            done.append(_take(part, [i for i in range(len(part.cells)) if i not in inside]))
            done.extend(_greedy(_take(part, numbers)) for numbers in locked)
        return _joined(done, halves.added)
    return group


def _candidates(group: _Group) -> list[tuple[int, Through]]:
    rows = [
        (entry.crossed.bit_count(), entry)
        for entry in supporting_lines(group.cells)
        if entry.crossed or (entry.left and entry.right)
    ]
    rows.sort(key=lambda row: (row[0], row[1].direction, row[1].line.offset))
    return rows


@dataclass(frozen=True, slots=True)
class _Halves:
    parts: tuple[_Group, _Group]
    added: tuple[AddedSeam, ...]


def _cut(group: _Group, entry: Through) -> _Halves | None:
    """Cut all crossed cells along the line; None where a cut would leave a sliver."""
    sides: tuple[list[tuple[Polygon, int]], list[tuple[Polygon, int]]] = ([], [])
    added: list[AddedSeam] = []
    crossed = set(members(entry.crossed))
    left_cells = set(members(entry.left))
    for i, cell in enumerate(group.cells):
        origin = group.origin[i]
        if i not in crossed:
            sides[0 if i in left_cells else 1].append((cell, origin))
            continue
        halves = split(cell, entry.line)
        for side, parts in zip(sides, halves, strict=True):
            for part in parts:
                clean = drop_collinear(part)
                if not clean or _too_thin(clean):
                    return None
                side.append((clean, origin))
        added.extend(
            AddedSeam(cell=origin, start=start, end=end)
            for start, end in _chords(halves, entry.line)
        )
    if not sides[0] or not sides[1]:
        return None
    left, right = (_Group(tuple(c for c, _ in side), tuple(o for _, o in side)) for side in sides)
    return _Halves((left, right), tuple(added))


def _too_thin(cell: Polygon) -> bool:
    for a, b in zip(cell, cell[1:] + cell[:1], strict=True):
        line = Line.through(a, b)
        if max(line.side(p) for p in cell) < SLIVER_MM:
            return True
    return False


def _chords(
    halves: tuple[Sequence[Polygon], Sequence[Polygon]], line: Line
) -> list[tuple[Point, Point]]:
    """Stretches of the line where parts on both sides meet; a hollow cell may have several."""
    stretches = [[s for part in parts for s in _on_line(part, line)] for parts in halves]
    found = []
    for low_a, high_a in stretches[0]:
        for low_b, high_b in stretches[1]:
            low, high = max(low_a, low_b), min(high_a, high_b)
            if high - low > ON_LINE_MM:
                found.append((low, high))
    return [(_at(line, low), _at(line, high)) for low, high in sorted(found)]


def _on_line(part: Polygon, line: Line) -> list[tuple[float, float]]:
    found = []
    for a, b in zip(part, part[1:] + part[:1], strict=True):
        if abs(line.side(a)) <= ON_LINE_MM and abs(line.side(b)) <= ON_LINE_MM:
            along = (line.ux * a[0] + line.uy * a[1], line.ux * b[0] + line.uy * b[1])
            found.append((min(along), max(along)))
    return found


def _at(line: Line, along: float) -> Point:
    return (
        line.ux * along - line.uy * line.offset,
        line.uy * along + line.ux * line.offset,
    )


def _take(group: _Group, numbers: Sequence[int]) -> _Group:
    return _Group(tuple(group.cells[i] for i in numbers), tuple(group.origin[i] for i in numbers))


def _joined(groups: Sequence[_Group], added: tuple[AddedSeam, ...]) -> _Group:
    return _Group(
        tuple(c for g in groups for c in g.cells),
        tuple(o for g in groups for o in g.origin),
        added + tuple(s for g in groups for s in g.added),
    )
