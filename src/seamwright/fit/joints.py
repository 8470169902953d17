"""Gluing with real parts: each is pushed against its neighbour and lined up by eye.

A part turns until its face lies on the face it is glued to, is pushed against it, and is moved
along it until the points that should meet miss each other by nothing on the average. Where a face
has more than two corners it is laid against the line that fits them best.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from seamwright.fit.shapes import Corners, Indices, Points, Shape, direction
from seamwright.geometry import Motion
from seamwright.plan import Laminate

Floats = NDArray[np.float64]
Reals = NDArray[np.floating]
Complexes = NDArray[np.complexfloating]

_TOUCH_MM = 0.01
_CONTACT_MM = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """Corners of a part on one glue line, and the line that fits them best.

    Attributes:
        at: indices of the corners, each place once.
        away: how far along the seam they are from the pivot, as drawn [mm].
        level, slope: weights that give height at the pivot and slope from heights.
        told: which corners are asked how far they stand off the fitted line; none where two
            corners make the face, since those are always on it.
    """

    at: Indices
    away: Floats
    level: Floats
    slope: Floats
    told: Indices


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """Where two parts of a lamination meet.

    Attributes:
        first, second: numbers of the parts; for a contact that sets a part in its place the first
            one lies there already.
        pivot: middle of the contact, along and across [mm].
        length_mm: of the contact.
        faces: of the first and of the second part.
        pairs: corners of both that should meet, as places in the two faces, in two columns.
    """

    first: int
    second: int
    pivot: complex
    length_mm: float
    faces: tuple[Face, Face]
    pairs: Indices


@dataclass(frozen=True, slots=True, kw_only=True)
class Gluing:
    """A lamination as drawn.

    Attributes:
        motions: nominal turn (a complex factor, from the part's frame into that of the seams),
            whether it is turned over first, and place.
        starts: where each part's points begin in what is made.
        reference: number of the part that is laid down first: the largest.
        places: contacts that set parts in place, in order.
        others: contacts that are then there or not: they close a ring.
        along: direction of the seams.
        fence: number and lower face of the part that then lies on the saw's fence, where what is
            made is sawn apart; None elsewhere.
    """

    motions: tuple[tuple[complex, bool, complex], ...]
    starts: tuple[int, ...]
    reference: int
    places: tuple[Contact, ...]
    others: tuple[Contact, ...]
    along: complex
    fence: tuple[int, Face] | None = None


def motion_of(motion: Motion) -> tuple[complex, bool, complex]:
    """A motion as a factor, whether the part is turned over first, and a shift."""
    return direction(motion.turn_deg), motion.over, complex(motion.x_mm, motion.y_mm)


def moved(points: Points, motion: tuple[complex, bool, complex]) -> Points:
    """Points after a motion."""
    turn, over, shift = motion
    return np.asarray((points.conj() if over else points) * turn + shift)


def gluing(
    step: Laminate, shapes: Sequence[Shape], *, sawn_apart: bool = False
) -> tuple[Gluing, Shape]:
    """A lamination worked out as drawn.

    Args:
        step: the step.
        shapes: one for each of its parts.
        sawn_apart: whether it goes to the saw's fence next, seams along it.
    """
    along = direction(step.seams_deg)
    lying = [motion_of(placed.at) for placed in step.parts]
    motions = tuple((m[0] * along.conjugate(), m[1], m[2] * along.conjugate()) for m in lying)
    laid = [moved(shape.points, m) for shape, m in zip(shapes, motions, strict=True)]
    contacts = _contacts(laid)
    reference = int(np.argmax([len(points) for points in laid]))
    placing, others = _tree(contacts, len(laid), reference)
    starts = np.concatenate([[0], np.cumsum([len(points) for points in laid])])
    pieces = tuple(
        turned_piece(piece, placed.at, int(start))
        for shape, placed, start in zip(shapes, step.parts, starts, strict=False)
        for piece in shape.pieces
    )
    return (
        Gluing(
            motions=motions,
            starts=tuple(int(start) for start in starts[:-1]),
            reference=reference,
            places=tuple(placing),
            others=tuple(others),
            along=along,
            fence=_lowest(laid) if sawn_apart else None,
        ),
        Shape(points=np.concatenate(laid) * along, pieces=pieces),
    )


def turned_piece(piece: Corners, at: Motion, start: int) -> Corners:
    """A piece of a part set in its place; its corners follow from a start."""
    ring = piece.at[::-1] if at.over else piece.at
    return Corners(
        at=tuple(start + i for i in ring),
        wood=piece.wood,
        grain_deg=at.undirected_deg(piece.grain_deg),
        stick=piece.stick,
        sliced=piece.sliced,
    )


def _lowest(laid: Sequence[Points]) -> tuple[int, Face]:
    """The part at the lower edge, and its face there."""
    low = [float(points.imag.min()) for points in laid]
    number = int(np.argmin(low))
    at = _on(laid[number], low[number])
    reach = laid[number][at].real
    span = (float(reach.min()), float(reach.max()))
    return number, _face(laid[number], at, span, 0.0)


def _contacts(laid: Sequence[Points]) -> list[Contact]:
    low = [float(points.imag.min()) for points in laid]
    high = [float(points.imag.max()) for points in laid]
    found: list[Contact] = []
    for i, one in enumerate(laid):
        for j, other in enumerate(laid):
            if i == j or abs(high[i] - low[j]) > _TOUCH_MM:
                continue
            a, b = _on(one, high[i]), _on(other, low[j])
            if len(a) < 1 or len(b) < 1:
                continue
            start = max(float(one[a].real.min()), float(other[b].real.min()))
            end = min(float(one[a].real.max()), float(other[b].real.max()))
            if end - start > _CONTACT_MM:
                pivot = complex((start + end) / 2.0, high[i])
                found.append(_contact(i, j, (one, other), (a, b), (start, end), pivot))
    return found


def _contact(
    i: int,
    j: int,
    points: tuple[Points, Points],
    on: tuple[Indices, Indices],
    reach: tuple[float, float],
    pivot: complex,
) -> Contact:
    faces = tuple(_face(p, at, reach, pivot.real) for p, at in zip(points, on, strict=True))
    one, other = faces
    pairs = np.argwhere(np.abs(one.away[:, None] - other.away[None, :]) <= _TOUCH_MM)
    return Contact(
        first=i,
        second=j,
        pivot=pivot,
        length_mm=reach[1] - reach[0],
        faces=(one, other),
        pairs=pairs,
    )


def _on(points: Points, level: float) -> Indices:
    return np.flatnonzero(np.abs(points.imag - level) <= _TOUCH_MM)


def _face(points: Points, at: Indices, reach: tuple[float, float], pivot: float) -> Face:
    start, end = reach[0] - _TOUCH_MM, reach[1] + _TOUCH_MM
    # corners of several pieces at one place count each: one of them may stand proud of the other
    ordered = at[np.argsort(points[at].real, kind="stable")]
    inside = [int(i) for i in ordered if start <= points[i].real <= end]
    enough = len(inside) >= 2 and np.ptp(points[inside].real) > _TOUCH_MM
    used = np.array(inside if enough else ordered, dtype=np.int64)
    away = points[used].real - pivot
    weights = np.linalg.pinv(np.stack([np.ones_like(away), away], axis=1))
    told = np.arange(len(used) if len(used) > 2 else 0)
    return Face(at=used, away=away, level=weights[0], slope=weights[1], told=told)


def _tree(
    contacts: list[Contact], parts: int, reference: int
) -> tuple[list[Contact], list[Contact]]:
    """Contacts that set parts in place one after another, longest first, and the others."""
    placed = {reference}
    left = sorted(contacts, key=lambda c: -c.length_mm)
    order: list[Contact] = []
    while len(placed) < parts:
        found = next((c for c in left if (c.first in placed) != (c.second in placed)), None)
        if found is None:
            break
        left.remove(found)
        if found.second in placed:
            found = replace(
                found,
                first=found.second,
                second=found.first,
                faces=found.faces[::-1],
                pairs=found.pairs[:, ::-1],
            )
        order.append(found)
        placed.add(found.second)
    return order, left
