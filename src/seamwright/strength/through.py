"""Through lines: straight lines across the board that little long grain bridges."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np
import shapely

from seamwright.geometry import Line, Point, cos_deg, distance, sin_deg
from seamwright.seams import SeamClass
from seamwright.strength.arrays import Floats, Ints
from seamwright.strength.board import Board
from seamwright.strength.grain import SeamGrain
from seamwright.strength.seams import SeamRun

BRIDGING_DEG = 30.0
"""Grain within this of square to the line bridges it."""
HOLD_MM = 10.0
"""A piece bridges a line only if it reaches this far beyond it on both sides."""
_SAME_DEG, _SAME_MM = 0.02, 0.1
"""Seams closer than this in direction and place lie on one line."""
_FEW = 0.35
_WEAK = 0.2
_LONG_ENOUGH = 0.6
"""Of the board's shorter side: a line that only cuts off a corner is no through line."""


class Stretch(Enum):
    """What a line meets on its way across."""

    BRIDGED = "long grain runs across"
    CROSS = "wood, but its grain does not cross"
    LONG_SEAM = "seam along the grain"
    WEAK_SEAM = "seam on end or slanted grain"


@dataclass(frozen=True, slots=True, kw_only=True)
class ThroughLine:
    """A line few pieces bridge.

    Attributes:
        start, end: on the board's edge [mm].
        direction_deg: in [0, 180).
        bridged: share of its length that long grain bridges.
        weak: share along end-grain and slanted seams.
        stretches: (start, end, what) along it [mm from start].
        advice: what to change.
    """

    start: Point
    end: Point
    direction_deg: float
    bridged: float
    weak: float
    stretches: tuple[tuple[float, float, Stretch], ...]
    advice: str


def through_lines(
    board: Board, seams: tuple[SeamRun, ...], grains: tuple[SeamGrain, ...], *, most: int = 12
) -> tuple[ThroughLine, ...]:
    """Lines along seams that less than a third of long grain bridges, the barest first.

    Lines on which no seam is weak are left out: a plank of one piece splits along them as easily.
    """
    inside = _inner(board)
    lines = []
    for members in _collinear(seams):
        if all(grains[i].kind is SeamClass.LONG_GRAIN for i in members):
            continue
        lines.append(_followed(inside, [(seams[i], grains[i]) for i in members]))
    least = _LONG_ENOUGH * float(np.ptp(board.nodes, axis=0).min())
    bare = [
        line
        for line in lines
        if line.bridged < _FEW and line.weak >= _WEAK and distance(line.start, line.end) >= least
    ]
    # rounded: lines that mirror each other are equally bare, whatever the last digit says
    bare.sort(key=lambda line: (round(line.bridged, 6), -round(line.weak, 6), line.start))
    return tuple(bare[:most])


def bridged_share(
    board: Board, direction_deg: float, count: int = 48
) -> tuple[tuple[float, float], ...]:
    """Share of long grain that bridges lines in a direction: (offset [mm], share) across the board.

    The offset is the signed distance of the line from the origin, as ``Line.offset``.
    """
    inside = _inner(board)
    x, y = board.nodes.T
    offsets = cos_deg(direction_deg) * y - sin_deg(direction_deg) * x
    low, high = float(offsets.min()), float(offsets.max())
    out = []
    for i in range(count):
        offset = low + (high - low) * (i + 0.5) / count
        line = Line(cos_deg(direction_deg), sin_deg(direction_deg), offset)
        stretches = _stretches(inside, line, {})
        total = sum(b - a for a, b, _ in stretches)
        good = sum(b - a for a, b, what in stretches if what is Stretch.BRIDGED)
        out.append((offset, good / total if total else 0.0))
    return tuple(out)


@dataclass(frozen=True, slots=True)
class _Inside:
    """The pieces a hair smaller, so that a line along a seam meets neither side, laid end to end.

    Attributes:
        starts, ends: (n, 2) points of all outlines.
        piece: (n,) whose.
        first: (pieces,) where each begins.
        grain: (pieces,) its grain direction [°].
    """

    starts: Floats
    ends: Floats
    piece: Ints
    first: Ints
    grain: Floats


def _inner(board: Board) -> _Inside:
    shrunk = shapely.buffer(np.array(board.shapes), -1e-3, join_style="mitre")
    rings = shapely.get_exterior_ring(
        [part if part.geom_type == "Polygon" else max(part.geoms, key=shapely.area)
         for part in shrunk]
    )  # fmt: skip
    points, owner = shapely.get_coordinates(rings, return_index=True)
    same = owner[:-1] == owner[1:]
    piece = owner[:-1][same]
    return _Inside(
        points[:-1][same],
        points[1:][same],
        piece,
        np.searchsorted(piece, np.arange(len(board.shapes))),
        np.array([patch.grain_deg for patch in board.drawing.patches]),
    )


def _collinear(seams: tuple[SeamRun, ...]) -> list[list[int]]:
    """Seams grouped by the straight line they lie on."""
    lines = []
    for seam in seams:
        if _is_straight(seam):
            line = Line.through(seam.path[0], seam.path[-1])
            turned = not -_SAME_DEG <= line.angle_deg < 180.0 - _SAME_DEG
            line = line.reversed() if turned else line
            # a hair under 360° is 0°
            angle = (line.angle_deg + 90.0) % 360.0 - 90.0
            lines.append((angle, line.offset, seam.number))
    return [
        [number for _, _, number in members]
        for alike in _runs(sorted(lines), key=0, gap=_SAME_DEG)
        for members in _runs(sorted(alike, key=lambda line: line[1]), key=1, gap=_SAME_MM)
    ]


_Placed = tuple[float, float, int]


def _runs(lines: list[_Placed], *, key: int, gap: float) -> list[list[_Placed]]:
    """Sorted values cut where one is further than a gap from the one before."""
    runs: list[list[_Placed]] = []
    for line in lines:
        if runs and line[key] - runs[-1][-1][key] <= gap:
            runs[-1].append(line)
        else:
            runs.append([line])
    return runs


def _is_straight(seam: SeamRun) -> bool:
    line = Line.through(seam.path[0], seam.path[-1])
    return all(abs(line.side(point)) < 0.05 for point in seam.path)


def _followed(inside: _Inside, members: list[tuple[SeamRun, SeamGrain]]) -> ThroughLine:
    longest = max((seam for seam, _ in members), key=lambda seam: seam.length_mm)
    line = Line.through(longest.path[0], longest.path[-1])
    along = {}
    for seam, grain in members:
        at = sorted(line.ux * x + line.uy * y for x, y in (seam.path[0], seam.path[-1]))
        long_grain = grain.kind is SeamClass.LONG_GRAIN
        along[at[0], at[1]] = Stretch.LONG_SEAM if long_grain else Stretch.WEAK_SEAM
    stretches = _stretches(inside, line, along)
    total = sum(b - a for a, b, _ in stretches)
    shares = {
        kind: sum(b - a for a, b, what in stretches if what is kind) / total for kind in Stretch
    }
    first, last = stretches[0][0], stretches[-1][1]
    return ThroughLine(
        start=_point(line, first),
        end=_point(line, last),
        direction_deg=line.undirected_deg,
        bridged=shares[Stretch.BRIDGED],
        weak=shares[Stretch.WEAK_SEAM],
        stretches=tuple((a - first, b - first, what) for a, b, what in stretches),
        advice=_advice(shares),
    )


def _point(line: Line, along: float) -> Point:
    """The point of a line at a distance along it."""
    x = along * line.ux - line.offset * line.uy
    y = along * line.uy + line.offset * line.ux
    return (round(x, 6) + 0.0, round(y, 6) + 0.0)


def _stretches(
    inside: _Inside,
    line: Line,
    seams_along: dict[tuple[float, float], Stretch],
) -> list[tuple[float, float, Stretch]]:
    """What the line meets, in order; (from, to, what) measured along it."""
    sides = line.ux * inside.starts[:, 1] - line.uy * inside.starts[:, 0] - line.offset
    ends = line.ux * inside.ends[:, 1] - line.uy * inside.ends[:, 0] - line.offset
    crossed = np.flatnonzero((sides > 0.0) != (ends > 0.0))
    share = sides[crossed] / (sides[crossed] - ends[crossed])
    at = inside.starts[crossed] + share[:, None] * (inside.ends[crossed] - inside.starts[crossed])
    along, owner = at @ np.array([line.ux, line.uy]), inside.piece[crossed]
    order = np.lexsort((along, owner))
    along, owner = along[order], owner[order]
    high = np.maximum.reduceat(sides, inside.first) >= HOLD_MM
    low = np.minimum.reduceat(sides, inside.first) <= -HOLD_MM
    turn = np.abs((inside.grain - line.undirected_deg + 90.0) % 180.0 - 90.0)
    bridges = high & low & (turn >= 90.0 - BRIDGING_DEG - 1e-9)
    met = [(a, b, what) for (a, b), what in seams_along.items()]
    # an outline is crossed an even number of times, so crossings pair up within each piece
    for a, b, number in zip(along[::2], along[1::2], owner[::2], strict=True):
        if b - a > 0.05:
            what = Stretch.BRIDGED if bridges[number] else Stretch.CROSS
            met.append((float(a), float(b), what))
    return sorted(met, key=lambda stretch: stretch[0])


def _advice(shares: dict[Stretch, float]) -> str:
    if shares[Stretch.WEAK_SEAM] > 0.8:
        return (
            "stagger these seams, or run one strip of long grain across the line; glued to a "
            "backing the line does no harm"
        )
    if shares[Stretch.CROSS] > shares[Stretch.WEAK_SEAM]:
        return "turn the grain of the pieces on this line so that it crosses the line"
    return "let a long-grain neighbour reach across the line, or stagger the seams on it"
