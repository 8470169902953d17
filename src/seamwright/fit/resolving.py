"""At the bench: what is made stays as it is, and the rest of the plan is chosen again.

Sizes that are made are what they measure. The others change as little as they can so that faces
close, seams meet and the board keeps its outline; sizes of the border change most lightly, so that
it takes up the difference, and all parts of a kind change alike, so that the pattern keeps its
symmetry. That is a small least squares problem with equations and bounds.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from seamwright.fit.constrained import least_squares
from seamwright.fit.joints import Floats
from seamwright.fit.meeting import central_slopes, inside_rim
from seamwright.fit.operations import Trimming
from seamwright.fit.shapes import direction
from seamwright.fit.sizes import Size, What
from seamwright.fit.stackup import GAP_MM, Study
from seamwright.fit.wedges import bottom_mm, narrowing
from seamwright.geometry import Point, convex_hull
from seamwright.plan import Laminate, Mill, Slice, Trim

_BORDER, _FREE, _MADE_SOFT = 0.05, 1.0, 20.0
_MEET, _CENTRE, _STILL = 30.0, 10.0, 1e-4
_LEAST_TRIM_MM = 0.3
_BLUNT_MM = 0.2
"""A corner that a cut goes through as drawn may be left blunt by this where nothing else helps:
half of what seams may miss each other by."""
_ON_MM = 1e-3
_CLOSED_MM = 1e-6
_IDLE = 1e-6
_POINT_MM = 0.01
"""A wedge drawn with a far edge shorter than this comes to a point."""


class _Exact(Enum):
    """What is asked for exactly; the first that can be had is taken."""

    ALL = "points meet and faces close"
    FACES = "faces close"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """What is made and cannot be changed.

    Attributes:
        made: deviation of every size that is made from its drawn one [mm].
        heights: laminations that were measured: kind to deviation of their height [mm]; what is
            in them then counts as what it became in the clamps.
        parts: kinds that are made, whether they have a size of their own or not.
    """

    made: Mapping[Size, float]
    heights: Mapping[str, float]
    parts: frozenset[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Resolved:
    """The rest of a plan chosen again.

    Attributes:
        sizes: deviation of every size from its drawn one, made ones included [mm].
        shift: of the pattern within the drawn outline [mm].
        widest_mm: widest miss of points that should meet [mm].
        where: place of the widest miss, in the drawing's frame [mm].
        open_mm: widest opening of faces that should close [mm].
        outline_mm: how far a corner of the board is from where it was drawn, at most [mm].
    """

    sizes: Mapping[Size, float]
    shift: Point
    widest_mm: float
    where: Point
    open_mm: float
    outline_mm: float

    def mends(self, gap_mm: float = GAP_MM) -> bool:
        """Whether all points meet and all faces close to within a gap."""
        return self.widest_mm <= gap_mm + 1e-9 and self.open_mm <= gap_mm + 1e-9

    @property
    def closes(self) -> bool:
        """Whether all faces close as tightly as drawn."""
        return self.open_mm <= _CLOSED_MM * 100.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Levers:
    """What each size does, to first order, which with angles as drawn is all there is.

    Attributes:
        sizes: the sizes.
        corners: of the board (corners × sizes), x + iy.
        taken_off: for each cut of each trim how far corners reach past it that are sawn off, and
            how far others lie inside that touch it as drawn: (kind, cut, drawn [mm], row).
        heights: of each lamination (row of sizes).
        tops: of pieces that lie head to tail the shorter edge: (kind, drawn [mm], row).
        border: sizes of which only the border is made.
        hull: corners of the board's outline.
        trimmed: whether the board is trimmed to its outline at the end.
    """

    sizes: tuple[Size, ...]
    corners: NDArray[np.complex128]
    taken_off: tuple[tuple[str, int, float, Floats], ...]
    heights: Mapping[str, Floats]
    tops: tuple[tuple[str, float, Floats], ...]
    border: frozenset[Size]
    hull: tuple[int, ...]
    trimmed: bool


def levers(looked: Study) -> Levers:
    """What each size of a plan does to its board."""
    program, sizes = looked.program, looked.relations.sizes
    cuts = [
        (op.makes, k, len(cut.beyond) + len(cut.touching))
        for op in program.operations
        if isinstance(op, Trimming)
        for k, cut in enumerate(op.cuts)
        if len(cut.beyond) or len(cut.touching)
    ]
    wedges = [s for s in looked.plan.steps if isinstance(s, Slice) and s.head_to_tail]
    glued = [step for step in looked.plan.steps if isinstance(step, Laminate)]

    def carried_out(values: Floats) -> NDArray[Any]:
        run = program.run(looked.relations.matrix @ values)
        off = [run.taken_off[kind, k] for kind, k, _ in cuts]
        high = [_height(step, run.points[step.makes][:, 0]) for step in glued]
        high += [run.points[step.takes][:, 0].imag.max(axis=0) for step in wedges]
        return np.concatenate([program.corners(run), *off, *[h[None] for h in high]])

    found = central_slopes(carried_out, len(sizes))
    drawn = carried_out(np.zeros((len(sizes), 1)))[:, 0].real
    at = len(program.shape.points)
    taken_off = []
    for kind, k, count in cuts:
        taken_off += [(kind, k, float(drawn[i]), found[i].real) for i in range(at, at + count)]
        at += count
    maker = looked.plan.maker(looked.plan.board)
    return Levers(
        sizes=sizes,
        corners=found[: len(program.shape.points)],
        taken_off=tuple(taken_off),
        heights={step.makes: found[at + i].real for i, step in enumerate(glued)},
        tops=_tops(looked, wedges, drawn[at + len(glued) :].tolist(), found[at + len(glued) :]),
        border=_border(looked),
        hull=_hull(looked),
        trimmed=isinstance(maker, Trim),
    )


def _height(step: Laminate, points: NDArray[np.complexfloating[Any, Any]]) -> Floats:
    across = (points * direction(step.seams_deg).conjugate()).imag
    return np.asarray(across.max(axis=0) - across.min(axis=0))


def _tops(
    looked: Study, wedges: list[Slice], high: list[float], rows: NDArray[Any]
) -> tuple[tuple[str, float, Floats], ...]:
    """Lengths along the far edge, from the heights of the bars and what each size does to them."""
    kerf = looked.plan.shop.saws.table_kerf_mm
    sizes = looked.relations.sizes
    found = []
    for step, height, row in zip(wedges, high, rows, strict=True):
        drawn = bottom_mm(step, kerf) + height * narrowing(step)
        change = row.real * narrowing(step)
        change[sizes.index(Size(step.makes, What.LENGTH.value))] += 1.0
        found.append((step.makes, drawn, change))
    return tuple(found)


def _border(looked: Study) -> frozenset[Size]:
    """Sizes of sticks and slices that lie along the rim only, and of the last trim."""
    shape = looked.program.shape
    inside = inside_rim(shape.points)
    rim: dict[Size, bool] = {}
    for piece in shape.pieces:
        touches = sum(not inside[i] for i in piece.at) >= 2
        for size in (
            Size(piece.stick, What.WIDTH.value),
            Size(piece.sliced, What.LENGTH.value),
        ):
            rim[size] = rim.get(size, True) and touches
    last = looked.plan.board
    return frozenset(
        size
        for size in looked.relations.sizes
        if rim.get(size, False) or (size.part == last and size.what == What.STAYS.value)
    )


def _hull(looked: Study) -> tuple[int, ...]:
    points = looked.program.shape.points
    hull = convex_hull([(float(p.real), float(p.imag)) for p in points])
    return tuple(int(np.argmin(np.abs(points - complex(x, y)))) for x, y in hull)


def resolve(looked: Study, measured: Measured, known: Levers | None = None) -> Resolved | None:
    """Choose the sizes that are not made yet; None where no choice keeps the limits.

    Faces are closed exactly where that is possible, and as far as it is where it is not.

    Args:
        looked: from ``study``.
        measured: what is made.
        known: from ``levers``, where at hand.
    """
    known = known or levers(looked)
    found = None
    for blunt_mm in (0.0, _BLUNT_MM):
        for exact in _Exact:
            solved = _solved(looked, known, measured, exact, blunt_mm)
            if solved is not None:
                choice = _resolved(looked, known, solved)
                if choice.mends():
                    return choice
                found = found or choice
                break
    return found


def _resolved(looked: Study, known: Levers, solved: Floats) -> Resolved:
    count = len(known.sizes)
    values, shift = solved[:count], complex(solved[count], solved[count + 1])
    drift = np.abs(looked.meetings.drift @ (looked.relations.matrix @ values))
    gaps = np.abs(looked.meetings.gap_rows @ (looked.relations.matrix @ values))
    worst = int(np.argmax(drift)) if len(drift) else -1
    moved = np.abs(known.corners[list(known.hull)] @ values + shift)
    return Resolved(
        sizes={
            size: float(value) if abs(value) > 1e-9 else 0.0
            for size, value in zip(known.sizes, values, strict=True)
        },
        shift=(shift.real, shift.imag),
        widest_mm=float(drift[worst]) if worst >= 0 else 0.0,
        where=looked.meetings.places[worst] if worst >= 0 else (0.0, 0.0),
        open_mm=float(gaps.max(initial=0.0)),
        outline_mm=float(moved.max(initial=0.0)),
    )


def _solved(
    looked: Study, known: Levers, measured: Measured, exact: _Exact, blunt_mm: float
) -> Floats | None:
    """Sizes, and the pattern's shift in x and y, as one vector."""
    closed, met = exact is not _Exact.NOTHING, exact is _Exact.ALL
    count = len(known.sizes)
    matrix = looked.relations.matrix
    drift = looked.meetings.drift @ matrix
    gaps = looked.meetings.gap_rows @ matrix
    weights, wanted = _wishes(known, measured)
    rows, aims = [weights], [wanted]
    if not met:
        rows += [_MEET * _wide(drift.real), _MEET * _wide(drift.imag)]
        aims.append(np.zeros(2 * len(drift)))
    if not closed:
        rows.append(_MEET * _wide(gaps))
        aims.append(np.zeros(len(gaps)))
    middle = known.corners[np.unique(looked.meetings.pairs)] if len(drift) else known.corners
    # the pattern stays in the middle, so that the border is as wide on one side as on the other
    rows.append(_CENTRE * _placed(middle.mean(axis=0, keepdims=True)))
    outline = _placed(known.corners[list(known.hull)])
    equal, given = _equations(known, measured)
    if closed:
        equal.append(_wide(gaps))
        given.append(np.zeros(len(gaps)))
    if met:
        equal += [_wide(drift.real), _wide(drift.imag)]
        given.append(np.zeros(2 * len(drift)))
    if known.trimmed and looked.plan.board not in measured.parts:
        equal.append(outline)
        given.append(np.zeros(len(outline)))
    else:
        rows.append(_FREE * outline)
    size = count + 2
    a = np.concatenate([r.reshape(-1, size) for r in rows])
    b = np.concatenate([*aims, np.zeros(len(a) - sum(map(len, aims)))])
    return least_squares(
        a,
        b,
        (_clean(np.concatenate([np.zeros((0, size)), *equal])), np.concatenate(given)),
        _bounds(looked, known, measured, blunt_mm),
    )


def _clean(rows: Floats) -> Floats:
    """Without what is rounding only."""
    return np.where(np.abs(rows) < _IDLE, 0.0, rows)


def _wide(rows: Floats) -> Floats:
    """Rows over the sizes, made rows over sizes and shift."""
    return np.concatenate([rows, np.zeros((len(rows), 2))], axis=1)


def _placed(corners: NDArray[np.complex128]) -> Floats:
    """Rows that say where corners come to lie in the drawing."""
    ones, nothing = np.ones((len(corners), 1)), np.zeros((len(corners), 1))
    x = np.concatenate([corners.real, ones, nothing], axis=1)
    y = np.concatenate([corners.imag, nothing, ones], axis=1)
    return np.concatenate([x, y])


def _soft(known: Levers, measured: Measured) -> set[int]:
    """Made sizes that were changed in the clamps: those in laminations measured afterwards."""
    return {
        int(i)
        for part in measured.heights
        for i in np.flatnonzero(np.abs(known.heights[part]) > _STILL)
    }


def _wishes(known: Levers, measured: Measured) -> tuple[Floats, Floats]:
    """How little each size should change."""
    count = len(known.sizes)
    soft = _soft(known, measured)
    weights = np.zeros(count + 2)
    wanted = np.zeros(count + 2)
    for i, size in enumerate(known.sizes):
        if size in measured.made:
            weights[i] = _MADE_SOFT if i in soft else _FREE
            wanted[i] = weights[i] * measured.made[size]
        else:
            weights[i] = _BORDER if size in known.border else _FREE
    weights[count:] = _STILL
    return np.diag(weights), wanted


def _equations(known: Levers, measured: Measured) -> tuple[list[Floats], list[Floats]]:
    count = len(known.sizes)
    soft = _soft(known, measured)
    fixed = [i for i, s in enumerate(known.sizes) if s in measured.made and i not in soft]
    unit = np.eye(count + 2)[fixed]
    values = np.array([measured.made[known.sizes[i]] for i in fixed])
    pointed = [
        row for kind, drawn, row in known.tops if kind not in measured.parts and drawn < _POINT_MM
    ]
    parts = list(measured.heights)
    high = np.array([known.heights[part] for part in parts]).reshape(-1, count)
    points = _wide(np.array(pointed).reshape(-1, count))
    told = np.array([measured.heights[part] for part in parts])
    return [unit, _wide(high), points], [values, told, np.zeros(len(points))]


def _bounds(
    looked: Study, known: Levers, measured: Measured, blunt_mm: float
) -> tuple[Floats, Floats]:
    """What every trim must take off, and the least widths of sticks and slices."""
    rows: list[Floats] = []
    least: list[float] = []
    for kind, _, drawn, row in known.taken_off:
        if kind not in measured.parts and np.abs(row).max() > _IDLE:
            rows.append(np.append(row, (0.0, 0.0)))
            # a corner that lies on the cut as drawn must not come to lie short of it, or by a
            # hair only: then it is left blunt
            least.append(min(_LEAST_TRIM_MM - drawn, 0.0) - (blunt_mm if drawn < _ON_MM else 0.0))
    for kind, drawn, row in known.tops:
        if kind not in measured.parts and drawn >= _POINT_MM:
            rows.append(np.append(row, (0.0, 0.0)))
            least.append(min(_POINT_MM - drawn, 0.0))
    limits = looked.plan.shop.limits
    unit = np.eye(len(known.sizes) + 2)
    for i, size in enumerate(known.sizes):
        if size in measured.made or size.what == What.STAYS.value:
            continue
        step = looked.plan.maker(size.part)
        if isinstance(step, Mill):
            drawn, lowest = step.width_mm, limits.stick_min_width_mm
        elif isinstance(step, Slice):
            drawn, lowest = step.set_up.size_mm, limits.slice_min_mm
        else:
            continue
        rows.append(unit[i])
        least.append(min(lowest, drawn) - drawn)
    return np.array(rows).reshape(-1, len(known.sizes) + 2), np.array(least)
