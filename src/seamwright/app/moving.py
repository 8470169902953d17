"""Move a straight seam: the patches on one side grow by what those on the other side lose."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import Enum

from seamwright.app.redrawing import joined_outline, named_patch, refused, settled
from seamwright.design import Drawing, Patch
from seamwright.errors import DesignError
from seamwright.geometry import (
    ON_LINE_MM,
    SLIVER_MM,
    WELD_MM,
    Line,
    Point,
    Polygon,
    area,
    centroid,
    clip,
    distance,
    drop_collinear,
    snap_point,
)
from seamwright.lengths import Unit, parse_length

_SAME_MM = 10 * WELD_MM


class Reach(Enum):
    """How much of a line goes along."""

    WHOLE = "whole"
    """All of the straight seam, across every seam it crosses."""
    STRETCH = "stretch"
    """Only from the nearest crossing on one side to the nearest on the other."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Edge:
    """An edge of a patch on the line: where it lies along it, from low to high."""

    patch: Patch
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Run:
    """What moves: a stretch of a line, with the patches on either side of it.

    Attributes:
        line: its left side is where the seam goes.
        gains: patches that grow, on the right.
        loses: patches that shrink, on the left.
    """

    line: Line
    gains: tuple[_Edge, ...]
    loses: tuple[_Edge, ...]


def move_seam(drawing: Drawing, first: str, second: str, by_mm: float, reach: Reach) -> Drawing:
    """Move the straight seam between two patches sideways; seams that end on it follow.

    Patches that grow do so along their own other seams; where several of these meet in one place,
    their seam goes straight on.

    Args:
        drawing: as it is.
        first, second: patches on both sides of the seam.
        by_mm: how far: to the right, or upwards where the seam lies level; negative the other way.
        reach: how much of the line goes along.
    Raises:
        DesignError: no seam lies between the two, or a patch would vanish or be crossed.
    """
    if abs(by_mm) < SLIVER_MM:
        raise refused("D920", "the seam", "would hardly move", "move it further")
    line = _between(named_patch(drawing, first), named_patch(drawing, second), by_mm)
    run = _run(drawing, line, {first, second}, reach)
    grown = _grown(run, abs(by_mm))
    try:
        return settled(
            replace(
                drawing,
                patches=tuple(
                    replace(p, points=grown[p.name]) if p.name in grown else p
                    for p in drawing.patches
                ),
            )
        )
    except DesignError:
        raise _too_far() from None


def typed_mm(text: str, unit: Unit) -> float:
    """How far, as typed, with a minus for the other way [mm].

    >>> typed_mm("-1/4", Unit.INCH), typed_mm("5", Unit.MM)
    (-6.35, 5.0)

    Raises:
        LengthError: it cannot be read.
    """
    plain = text.strip()
    back = plain[:1] in {"-", "\N{MINUS SIGN}"}
    length = float(parse_length(plain[1:] if back else plain, unit=unit))
    return -length if back else length


def _too_far() -> DesignError:
    remedy = "move it less far, or take away the seam in its way"
    return refused("D921", "the seam", "cannot go there: it would run over another", remedy)


def _between(a: Patch, b: Patch, by_mm: float) -> Line:
    """The line of their seam; its left side is the side it is to move to."""
    for p, q in _sides(a.points):
        line = Line.through(p, q)
        if any(
            abs(line.side(r)) <= ON_LINE_MM
            and abs(line.side(s)) <= ON_LINE_MM
            and _overlap(_span(line, p, q), _span(line, r, s)) > _SAME_MM
            for r, s in _sides(b.points)
        ):
            left = (-line.uy, line.ux)
            forward = left[0] > 1e-9 or (abs(left[0]) <= 1e-9 and left[1] > 0)
            return line if forward == (by_mm > 0) else line.reversed()
    raise refused("D922", f"{a.name} and {b.name}", "have no seam between them", "choose another")


def _run(drawing: Drawing, line: Line, named: set[str], reach: Reach) -> _Run:
    left: list[_Edge] = []
    right: list[_Edge] = []
    for patch in drawing.patches:
        for p, q in _sides(patch.points):
            if abs(line.side(p)) <= ON_LINE_MM and abs(line.side(q)) <= ON_LINE_MM:
                at, to = _along(line, p), _along(line, q)
                side = left if at < to else right
                side.append(_Edge(patch=patch, low=min(at, to), high=max(at, to)))
    low, high = next(
        (max(a.low, b.low), min(a.high, b.high))
        for a in left
        for b in right
        if {a.patch.name, b.patch.name} == named and min(a.high, b.high) > max(a.low, b.low)
    )
    stops = sorted(
        at
        for at in {end for edge in left for end in (edge.low, edge.high)}
        if any(abs(at - end) <= _SAME_MM for e in right for end in (e.low, e.high))
    )
    if reach is Reach.WHOLE:
        stops = [at for at in stops if not _goes_on(left, at) or not _goes_on(right, at)]
    low = max(at for at in stops if at <= low + _SAME_MM)
    high = min(at for at in stops if at >= high - _SAME_MM)

    def within(edges: list[_Edge]) -> tuple[_Edge, ...]:
        inside = (e for e in edges if e.low >= low - _SAME_MM and e.high <= high + _SAME_MM)
        return tuple(sorted(inside, key=lambda e: e.low))

    return _Run(line=line, gains=within(right), loses=within(left))


def _goes_on(edges: list[_Edge], at: float) -> bool:
    """Whether patches lie along the line on both sides of a place."""
    return any(abs(e.high - at) <= _SAME_MM for e in edges) and any(
        abs(e.low - at) <= _SAME_MM for e in edges
    )


def _grown(run: _Run, by_mm: float) -> dict[str, Polygon]:
    """New outlines of all patches that change, by name."""
    to = run.line.shifted(by_mm)
    outlines = {edge.patch.name: edge.patch.points for edge in (*run.gains, *run.loses)}
    strips: list[Polygon] = []
    for edge in run.loses:
        whole = outlines[edge.patch.name]
        stays = clip(whole, to)
        taken = [
            part
            for below in clip(whole, to.reversed())
            for part in clip(below, run.line)
            if _touches(part, run.line, edge)
        ]
        if (
            len(stays) != 1
            or len(taken) != 1
            or area(stays[0]) + area(taken[0]) < 0.999 * area(whole)
        ):
            raise _too_far()
        outlines[edge.patch.name] = _clean(stays[0])
        strips += taken
    limits = _limits(run, by_mm)
    for edge, (before, after) in zip(run.gains, limits, strict=True):
        for strip in strips:
            for part in _cut(strip, before, after):
                joined = joined_outline(outlines[edge.patch.name], _clean(part))
                if joined is None:
                    raise _too_far()
                outlines[edge.patch.name] = joined
    return outlines


def _limits(run: _Run, by_mm: float) -> list[tuple[Line | None, Line | None]]:
    """For every patch that grows, the lines it grows between, each pointing to where it goes."""
    lines = [
        _onward(run.line, before, after)
        for before, after in zip(run.gains, run.gains[1:], strict=False)
    ]
    to = run.line.shifted(by_mm)
    ends = [to.crossing(line) for line in lines]
    places = [_along(to, end) for end in ends if end is not None]
    if len(places) < len(lines) or places != sorted(places):
        raise _too_far()
    return list(zip([None, *lines], [*lines, None], strict=True))


def _onward(line: Line, before: _Edge, after: _Edge) -> Line:
    """The seam between two neighbours, going on over the line."""
    at = (before.high + after.low) / 2.0
    ends = {_corner_below(line, before, at), _corner_below(line, after, at)}
    foot = _place(line, at)
    tips = [end for end in ends if end is not None]
    directions = [Line.through(tip, foot) for tip in tips]
    first = directions[0] if directions else None
    if (
        first is None
        or len(directions) < len(ends)
        or any(abs(first.side(tip)) > ON_LINE_MM for tip in tips)
    ):
        return Line.at_angle(foot, line.angle_deg + 90.0)
    return first


def _corner_below(line: Line, edge: _Edge, at: float) -> Point | None:
    """The other end of the side that ends on the line in a place."""
    for p, q in _sides(edge.patch.points):
        for foot, other in ((p, q), (q, p)):
            on_line = abs(line.side(foot)) <= ON_LINE_MM
            if on_line and abs(_along(line, foot) - at) <= _SAME_MM and line.side(other) < -WELD_MM:
                return other
    return None


def _cut(strip: Polygon, before: Line | None, after: Line | None) -> Iterator[Polygon]:
    """The parts of a strip between two lines that run up through it."""
    parts: tuple[Polygon, ...] = (strip,)
    if before is not None:
        parts = tuple(part for whole in parts for part in clip(whole, before.reversed()))
    if after is not None:
        parts = tuple(part for whole in parts for part in clip(whole, after))
    yield from (part for part in parts if area(part) > 1e-6)


def _touches(part: Polygon, line: Line, edge: _Edge) -> bool:
    middle = _along(line, centroid(part))
    on_line = [_along(line, p) for p in part if abs(line.side(p)) <= ON_LINE_MM]
    return (
        math.isfinite(middle)
        and bool(on_line)
        and _overlap((min(on_line), max(on_line)), (edge.low, edge.high)) > _SAME_MM
    )


def _clean(polygon: Polygon) -> Polygon:
    return drop_collinear(tuple(map(snap_point, polygon)))


def _sides(points: Polygon) -> Iterator[tuple[Point, Point]]:
    for p, q in zip(points, points[1:] + points[:1], strict=True):
        if distance(p, q) > WELD_MM:
            yield p, q


def _along(line: Line, point: Point) -> float:
    return line.ux * point[0] + line.uy * point[1]


def _place(line: Line, at: float) -> Point:
    return (at * line.ux - line.offset * line.uy, at * line.uy + line.offset * line.ux)


def _span(line: Line, p: Point, q: Point) -> tuple[float, float]:
    a, b = _along(line, p), _along(line, q)
    return (min(a, b), max(a, b))


def _overlap(a: tuple[float, float], b: tuple[float, float]) -> float:
    return min(a[1], b[1]) - max(a[0], b[0])
