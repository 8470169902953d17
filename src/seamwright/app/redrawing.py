"""Changes to a drawing by hand: each takes a sound drawing and gives a sound one, or refuses."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Collection, Iterator
from dataclasses import replace

from seamwright.design import LONGEST_TITLE, Drawing, Patch, Unit, settle
from seamwright.errors import DesignError, Fault
from seamwright.geometry import (
    ON_LINE_MM,
    WELD_MM,
    Line,
    Point,
    Polygon,
    area,
    bounds,
    distance,
    drop_collinear,
    fold_deg,
    snap_point,
    split,
)
from seamwright.lengths import parse_length

Moved = Callable[[Point], Point]


def lay_seam(drawing: Drawing, start: Point, end: Point) -> Drawing:
    """Cut every patch a straight line passes through; in the last one it runs on to the far side.

    Args:
        drawing: as it is.
        start, end: ends of the line [mm].
    Raises:
        DesignError: the line crosses no patch, or would leave a sliver.
    """
    if distance(start, end) < WELD_MM:
        raise refused("D901", "the seam", "has no length", "choose two places")
    line = Line.through(start, end)
    names = _free_names(drawing)
    patches: list[Patch] = []
    for patch in drawing.patches:
        parts = _parts(patch.points, line, distance(start, end), start)
        if len(parts) < 2:
            patches.append(patch)
            continue
        largest = max(parts, key=area)
        patches.extend(
            replace(patch, points=part, name=patch.name if part is largest else next(names))
            for part in parts
        )
    if len(patches) == len(drawing.patches):
        raise refused("D902", "the seam", "runs along seams that are there, or outside the board")
    return settled(replace(drawing, patches=tuple(patches)))


def join(drawing: Drawing, first: str, second: str) -> Drawing:
    """Take away the seam between two patches; wood and grain of the first stay.

    Raises:
        DesignError: they do not meet along a whole seam.
    """
    a, b = named_patch(drawing, first), named_patch(drawing, second)
    points = joined_outline(a.points, b.points)
    if points is None:
        raise refused(
            "D903", f"{first} and {second}", "cannot become one patch", "they must share one seam"
        )
    patches = tuple(
        replace(a, points=points) if patch is a else patch
        for patch in drawing.patches
        if patch is not b
    )
    return settled(replace(drawing, patches=patches))


def fill(drawing: Drawing, names: Collection[str], wood: str) -> Drawing:
    """Give patches a wood, by its letter."""
    if wood not in dict(drawing.woods):
        raise refused("D904", f"wood {wood!r}", "is not in this drawing", "add it first")
    return _changed(drawing, names, lambda patch: replace(patch, wood=wood))


def turn_grain(drawing: Drawing, names: Collection[str], grain_deg: float | None) -> Drawing:
    """Give patches a grain direction [°]; None turns each by a quarter."""

    def turned(patch: Patch) -> Patch:
        to = patch.grain_deg + 90.0 if grain_deg is None else grain_deg
        return replace(patch, grain_deg=fold_deg(to))

    return _changed(drawing, names, turned)


def resize(drawing: Drawing, *, width: str, height: str, thickness: str, copies: int) -> Drawing:
    """Stretch a board to a size as typed; seams keep their share of it.

    Raises:
        LengthError: a length cannot be read.
        DesignError: the size cannot be.
    """
    x0, y0, x1, y1 = bounds(drawing.outline)
    wide, high, thick = (
        float(parse_length(text, unit=drawing.unit)) for text in (width, height, thickness)
    )
    if wide <= 0.0 or high <= 0.0:
        raise refused("D905", "the size", "must be more than nothing")
    across, up = wide / (x1 - x0), high / (y1 - y0)
    resized = _moved(drawing, lambda p: ((p[0] - x0) * across, (p[1] - y0) * up), turns_over=False)
    return settled(replace(resized, thickness_mm=thick, copies=copies))


def mirror(drawing: Drawing) -> Drawing:
    """Left becomes right, grain with it."""
    x0, _, x1, _ = bounds(drawing.outline)
    mirrored = _moved(drawing, lambda p: (x0 + x1 - p[0], p[1]), turns_over=True)
    return _grain_along(mirrored, lambda grain_deg: fold_deg(-grain_deg))


def quarter_turn(drawing: Drawing) -> Drawing:
    """The board turned a quarter to the left, grain with it."""
    x0, y0, _, y1 = bounds(drawing.outline)
    turned = _moved(drawing, lambda p: (y1 - p[1], p[0] - x0 + y0), turns_over=False)
    return _grain_along(turned, lambda grain_deg: fold_deg(grain_deg + 90.0))


def retitle(drawing: Drawing, title: str) -> Drawing:
    """Another name for the board.

    Raises:
        DesignError: it is empty or longer than a design file takes.
    """
    name = " ".join(title.split())
    if not 0 < len(name) <= LONGEST_TITLE:
        given = f"has {len(name)} characters" if name else "is empty"
        raise refused("D215", "the name of the board", given, f"write 1 to {LONGEST_TITLE}")
    return settled(replace(drawing, title=name))


def name_wood(drawing: Drawing, letter: str, name: str) -> Drawing:
    """Another wood behind a letter, or a new letter with its wood.

    Raises:
        DesignError: the name is empty.
    """
    if not name.strip():
        raise refused("D906", "the wood", "has no name", "type one, such as black walnut")
    woods = dict(drawing.woods)
    woods[letter or _next_letter(woods)] = name.strip()
    return settled(replace(drawing, woods=tuple(woods.items())))


def in_unit(drawing: Drawing, unit: Unit) -> Drawing:
    """The same board, its file written in the other unit."""
    return settled(replace(drawing, unit=unit))


def settled(drawing: Drawing) -> Drawing:
    """The drawing written and read back, so that every rule of the design file holds.

    Raises:
        DesignError: it breaks one.
    """
    return settle(drawing)


def _changed(drawing: Drawing, names: Collection[str], change: Callable[[Patch], Patch]) -> Drawing:
    for name in names:
        named_patch(drawing, name)
    patches = tuple(change(p) if p.name in names else p for p in drawing.patches)
    return settled(replace(drawing, patches=patches))


def _grain_along(drawing: Drawing, turned: Callable[[float], float]) -> Drawing:
    """A drawing that was turned or turned over: its grain, and that of its backing, goes along."""
    patches = tuple(replace(p, grain_deg=turned(p.grain_deg)) for p in drawing.patches)
    backing = drawing.backing
    if backing is not None and backing.grain_deg is not None:
        backing = replace(backing, grain_deg=turned(backing.grain_deg))
    return settled(replace(drawing, patches=patches, backing=backing))


def _moved(drawing: Drawing, move: Moved, *, turns_over: bool) -> Drawing:
    def ring(points: Polygon) -> Polygon:
        placed = tuple(snap_point(move(point)) for point in points)
        return placed[::-1] if turns_over else placed

    patches = tuple(replace(patch, points=ring(patch.points)) for patch in drawing.patches)
    return replace(drawing, patches=patches, outline=ring(drawing.outline))


def named_patch(drawing: Drawing, name: str) -> Patch:
    """The patch of a name.

    Raises:
        DesignError: there is none.
    """
    for patch in drawing.patches:
        if patch.name == name:
            return patch
    raise refused("D907", f"patch {name}", "is not in this drawing", "look at it afresh")


def refused(code: str, subject: str, message: str, remedy: str = "") -> DesignError:
    """The refusal of a change."""
    return DesignError(Fault(code, subject, message, remedy))


def _free_names(drawing: Drawing) -> Iterator[str]:
    taken = {patch.name for patch in drawing.patches}
    number = 0
    while True:
        number += 1
        if str(number) not in taken:
            yield str(number)


def _next_letter(woods: dict[str, str]) -> str:
    return next(letter for letter in _letters() if letter not in woods)


def _letters() -> Iterator[str]:
    yield from "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    yield from (f"W{number}" for number in range(1, 1000))


def _parts(polygon: Polygon, line: Line, length_mm: float, start: Point) -> tuple[Polygon, ...]:
    """A patch cut along a line where the drawn stretch passes through it."""
    left, right = split(polygon, line)
    if not left or not right:
        return (polygon,)
    origin = line.ux * start[0] + line.uy * start[1]
    along = [
        line.ux * p[0] + line.uy * p[1] - origin
        for part in left
        for p in part
        if abs(line.side(p)) <= ON_LINE_MM
    ]
    covered = min(max(along), length_mm) - max(min(along), 0.0)
    if covered <= WELD_MM:
        return (polygon,)
    clean = (drop_collinear(tuple(map(snap_point, part))) for part in (*left, *right))
    return tuple(part for part in clean if part)


def joined_outline(a: Polygon, b: Polygon) -> Polygon | None:
    """One outline around two polygons that share one seam; None where there is no such outline."""
    edges = [*_edges(a, b), *_edges(b, a)]
    there = set(edges)
    outer = {p: q for p, q in edges if (q, p) not in there}
    if len(outer) != sum((q, p) not in there for p, q in edges) or len(outer) == len(edges):
        return None
    first = next(iter(outer))
    ring = [first]
    while outer[ring[-1]] != first:
        ring.append(outer[ring[-1]])
        if len(ring) > len(outer):
            return None
    return drop_collinear(tuple(ring)) if len(ring) == len(outer) else None


def _edges(polygon: Polygon, other: Polygon) -> Iterator[tuple[Point, Point]]:
    """Edges of a polygon, broken where a corner of the other lies on them."""
    for p, q in zip(polygon, polygon[1:] + polygon[:1], strict=True):
        line = Line.through(p, q)
        length = distance(p, q)
        origin = line.ux * p[0] + line.uy * p[1]
        stops = [p]
        between = (
            (line.ux * c[0] + line.uy * c[1] - origin, c)
            for c in other
            if abs(line.side(c)) <= ON_LINE_MM
        )
        stops += [c for at, c in sorted(between) if ON_LINE_MM < at < length - ON_LINE_MM]
        stops.append(q)
        yield from itertools.pairwise(stops)
