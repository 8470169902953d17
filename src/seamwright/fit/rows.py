"""Rows of parts laid out with saw gaps, and fillers pushed into the corners between them.

The parts of the row are laid on a straight edge along x with a spacer of the drawn gap between
them. A filler that touches two faces of different directions lies where both are touched; one at
an end touches one face only and is lined up there by eye.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from seamwright.fit.joints import Complexes, Reals, motion_of, moved, turned_piece
from seamwright.fit.program import Run
from seamwright.fit.shapes import Indices, Points, Shape, direction
from seamwright.plan import Laminate

_TOUCH_MM = 0.01
_CONTACT_MM = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Touch:
    """One face of a part against one of an earlier part.

    Attributes:
        other: number of the earlier part.
        theirs, ours: the two corners at the ends of either face, in one direction.
        across: unit direction square to the face, from the earlier part.
        pairs: corners that should meet, as places in ``theirs`` and ``ours``.
    """

    other: int
    theirs: Indices
    ours: Indices
    across: complex
    pairs: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """How a part of a row finds its place.

    Attributes:
        touches: faces it is pushed against: one or two.
        spaced: number of the part it is laid beside with a gap; −1 for none.
        right, left: corners of that part, and of this one, with the gap between them.
        theirs_low, ours_low: corners on the straight edge.
        gap_mm: the gap as drawn; for the first part where its left end lies.
        low_mm: for the first part where the straight edge lies.
    """

    touches: tuple[Touch, ...] = ()
    spaced: int = -1
    right: int = 0
    left: int = 0
    theirs_low: int = 0
    ours_low: int = 0
    gap_mm: float = 0.0
    low_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A glue-up in two directions, ready to be carried out.

    Attributes:
        makes, count: kind and number.
        taken: for each part its kind and which single ones.
        motions: as drawn: turn, turned over first, place.
        seats: how each part finds its place.
        along: errors of the hand.
        edges: corners on each of the row's two long edges: parts that stand proud of them leave
            joints open later on.
    """

    makes: str
    count: int
    taken: tuple[tuple[str, Indices], ...]
    motions: tuple[tuple[complex, bool, complex], ...]
    seats: tuple[Seat, ...]
    along: tuple[slice, ...]
    edges: tuple[Indices, Indices]

    def edge_corners(self) -> list[int]:
        """For each row of the open edges its corner."""
        return [int(i) for edge in self.edges for i in edge[1:]]

    def carry_out(self, run: Run) -> None:
        """Glue up."""
        laid: list[Complexes] = []
        places = []
        for i, seat in enumerate(self.seats):
            kind, numbers = self.taken[i]
            points = run.points[kind][:, numbers]
            turn, over, shift = self.motions[i]
            lies = (points.conj() if over else points) * np.asarray(turn, dtype=run.kind)
            lies = lies + np.asarray(shift, dtype=run.kind)
            moved_by = np.zeros(lies.shape[1:], dtype=run.kind)
            if seat.touches:
                lies, moved_by = _pushed(lies, seat.touches, laid)
            elif seat.spaced >= 0:
                other = laid[seat.spaced]
                x = other[seat.right].real + seat.gap_mm - lies[seat.left].real
                y = other[seat.theirs_low].imag - lies[seat.ours_low].imag
                moved_by = (x + 1j * y).astype(run.kind)
                lies = lies + moved_by
            elif not i:
                # the row is sawn apart from its first end, so that is where it is measured from
                x = seat.gap_mm - lies[seat.left].real
                moved_by = (x + 1j * (seat.low_mm - lies[seat.ours_low].imag)).astype(run.kind)
                lies = lies + moved_by
            if len(seat.touches) < 2 and i:
                by_hand = run.errors[self.along[i]] * _slide(seat, run)
                lies = lies + by_hand
                moved_by = moved_by + by_hand
            laid.append(lies)
            places.append((turn, over, shift + complex(moved_by[0, 0])))
        run.places[self.makes] = tuple(places)
        made = np.concatenate(laid)
        run.open_mm[self.makes] = np.concatenate(
            [made[edge[1:]].imag - made[edge[0]].imag for edge in self.edges]
        )
        run.put(self.makes, made)


def _slide(seat: Seat, run: Run) -> Complexes:
    way = seat.touches[0].across * -1j if seat.touches else 1.0
    return np.asarray(way, dtype=run.kind)


def _pushed(
    lies: Complexes, touches: Sequence[Touch], laid: Sequence[Complexes]
) -> tuple[Complexes, Complexes]:
    """A part turned so that its faces fit on the average, then pushed home."""
    lean = 0.0 * lies[0].real
    for touch in touches:
        theirs, ours = laid[touch.other][touch.theirs], lies[touch.ours]
        lean = lean + np.angle((theirs[1] - theirs[0]) * (ours[1] - ours[0]).conj())
    pivot = lies.mean(axis=0)
    turned = (lies - pivot) * np.exp(np.asarray(1j, dtype=lies.dtype) * (lean / len(touches)))
    lies = (turned + pivot).astype(lies.dtype)
    rows = []
    short = []
    for touch in touches:
        theirs, ours = laid[touch.other][touch.theirs], lies[touch.ours]
        # middle of our face against their face
        way = theirs[1] - theirs[0]
        middle = ours.mean(axis=0) - theirs[0]
        height = (middle * way.conj()).imag / np.abs(way)
        rows.append(1j * way / np.abs(way))
        short.append(-height)
    if len(touches) == 1:
        shift = rows[0] * short[0]
        pairs = touches[0].pairs
        if pairs:
            theirs, ours = laid[touches[0].other][touches[0].theirs], lies[touches[0].ours] + shift
            off = sum((theirs[a] - ours[b]) for a, b in pairs) / len(pairs)
            way = -1j * rows[0]
            shift = shift + way * (off * way.conj()).real
    else:
        shift = _both(rows, short)
    return (lies + shift).astype(lies.dtype), shift.astype(lies.dtype)


def _both(across: Sequence[Complexes], short: Sequence[Reals]) -> Complexes:
    """The shift that closes two faces at once."""
    (a, b), (p, q) = across, short
    det = a.real * b.imag - a.imag * b.real
    x = (p * b.imag - q * a.imag) / det
    y = (a.real * q - b.real * p) / det
    return np.asarray(x + 1j * y)


def seats(
    step: Laminate, shapes: Sequence[Shape]
) -> tuple[tuple[tuple[complex, bool, complex], ...], tuple[Seat, ...], Shape]:
    """A row worked out as drawn: motions, seats, and what it makes.

    Args:
        step: a lamination with a second direction.
        shapes: one for each of its parts.
    """
    motions = tuple(motion_of(placed.at) for placed in step.parts)
    laid = [moved(shape.points, m) for shape, m in zip(shapes, motions, strict=True)]
    directions = [direction(step.seams_deg), direction(step.corner_deg or 0.0)]
    found: list[Seat] = []
    for j, points in enumerate(laid):
        touches = [
            touch
            for way in directions
            for touch in [_touch(points, laid[:j], way)]
            if touch is not None
        ]
        if touches:
            found.append(Seat(touches=tuple(touches)))
        elif j:
            found.append(_spaced(j, laid))
        else:
            left, low = int(np.argmin(points.real)), int(np.argmin(points.imag))
            found.append(
                Seat(
                    left=left,
                    ours_low=low,
                    gap_mm=float(points[left].real),
                    low_mm=float(points[low].imag),
                )
            )
    starts = np.concatenate([[0], np.cumsum([len(points) for points in laid])])
    pieces = tuple(
        turned_piece(piece, placed.at, int(start))
        for shape, placed, start in zip(shapes, step.parts, starts, strict=False)
        for piece in shape.pieces
    )
    return motions, tuple(found), Shape(points=np.concatenate(laid), pieces=pieces)


def long_edges(shape: Shape) -> tuple[Indices, Indices]:
    """Corners on the lower and on the upper edge of a row as drawn."""
    y = shape.points.imag
    low = np.flatnonzero(y - y.min() <= _TOUCH_MM)
    high = np.flatnonzero(y.max() - y <= _TOUCH_MM)
    return low, high


def _touch(points: Points, others: Sequence[Points], way: complex) -> Touch | None:
    """The longest contact in a direction with an earlier part."""
    best: tuple[float, Touch] | None = None
    mine = points * way.conjugate()
    for i, other in enumerate(others):
        theirs = other * way.conjugate()
        for level in {round(float(t), 3) for t in theirs.imag}:
            a = np.flatnonzero(np.abs(theirs.imag - level) <= _TOUCH_MM)
            b = np.flatnonzero(np.abs(mine.imag - level) <= _TOUCH_MM)
            if len(a) < 2 or len(b) < 2:
                continue
            low, high = theirs.imag.min(), theirs.imag.max()
            above = mine.imag.mean() > level
            if abs(level - (high if above else low)) > _TOUCH_MM:
                continue
            start = max(theirs[a].real.min(), mine[b].real.min())
            end = min(theirs[a].real.max(), mine[b].real.max())
            if end - start <= _CONTACT_MM or (best and best[0] >= end - start):
                continue
            ends = [at[[int(np.argmin(z[at].real)), int(np.argmax(z[at].real))]]
                    for z, at in ((theirs, a), (mine, b))]  # fmt: skip
            pairs = tuple(
                (k, n) for k in (0, 1) for n in (0, 1)
                if abs(theirs[ends[0][k]] - mine[ends[1][n]]) <= _TOUCH_MM
            )  # fmt: skip
            best = (
                float(end - start),
                Touch(other=i, theirs=ends[0], ours=ends[1], across=1j * way, pairs=pairs),
            )
    return best[1] if best else None


def _spaced(j: int, laid: Sequence[Points]) -> Seat:
    """Laid beside the part before it, on the same straight edge."""
    before, points = laid[j - 1], laid[j]
    right, left = int(np.argmax(before.real)), int(np.argmin(points.real))
    return Seat(
        spaced=j - 1,
        right=right,
        left=left,
        theirs_low=int(np.argmin(before.imag)),
        ours_low=int(np.argmin(points.imag)),
        gap_mm=float(points[left].real - before[right].real),
    )
