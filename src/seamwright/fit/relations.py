"""Sizes as relations: which are free, which must equal a real part, which close a ring.

With angles as drawn every corner of the board is a linear function of the sizes, so what one
millimetre on each size does to the meeting points says all there is to say. From those rows the
fewest and shortest are picked that imply the rest.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from seamwright.fit.joints import Floats
from seamwright.fit.meeting import Meetings, main_direction
from seamwright.fit.program import Program
from seamwright.fit.sizes import Size, What
from seamwright.geometry import Point

SIZED = (What.WIDTH.value, What.LENGTH.value, What.STAYS.value)
_NOTHING = 1e-6
_NICE = (1.0, 2.0, 0.5, 3.0, 4.0, 1.5, 2.0**0.5, 2.0**-0.5)


class Duty(Enum):
    """What a size owes to others."""

    FREE = "free"
    """Nothing hangs on it."""
    EQUAL = "must equal a real part"
    RING = "closes a ring"


@dataclass(frozen=True, slots=True, kw_only=True)
class Relation:
    """Sizes that must balance: the sum of factor times deviation must be nothing.

    Attributes:
        terms: sizes with their factors; the first one is 1.
        places: where on the board it shows, in the drawing's frame [mm].
        closes: whether it is about a face that must close, else about points that meet.
    """

    terms: tuple[tuple[Size, float], ...]
    places: tuple[Point, ...]
    closes: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Relations:
    """All relations of a plan.

    Attributes:
        sizes: every size that can be chosen, in working order.
        rules: the fewest relations that imply all others.
        matrix: from sizes to the errors of a program (errors × sizes).
    """

    sizes: tuple[Size, ...]
    rules: tuple[Relation, ...]
    matrix: Floats

    def duty(self, size: Size) -> Duty:
        """What a size owes to others."""
        about = [rule for rule in self.rules if any(size == term for term, _ in rule.terms)]
        if not about:
            return Duty.FREE
        return Duty.EQUAL if all(len(rule.terms) <= 2 for rule in about) else Duty.RING


def relations(program: Program, meetings: Meetings) -> Relations:
    """The relations between the sizes of a plan.

    Args:
        program, meetings: of the plan.
    """
    sizes = tuple(
        dict.fromkeys(slots.size for slots in program.slots if slots.size.what in SIZED)
    )
    matrix = np.zeros((program.errors, len(sizes)))
    for slots in program.slots:
        if slots.size in sizes:
            matrix[slots.rows, sizes.index(slots.size)] = 1.0
    drift = meetings.drift @ matrix
    along = main_direction(drift)
    rows = np.concatenate([(drift * along.conj()[:, None]).real, meetings.gap_rows @ matrix])
    places = (*meetings.places, *meetings.gap_places)
    found = _grouped(rows, places, len(meetings.places))
    return Relations(sizes=sizes, rules=_fewest(found, sizes), matrix=matrix)


def _grouped(
    rows: Floats, places: tuple[Point, ...], pairs: int
) -> list[tuple[Floats, list[Point], bool]]:
    """Rows that say the same, with all the places they say it of."""
    groups: dict[bytes, tuple[Floats, list[Point], bool]] = {}
    for i, row in enumerate(rows):
        big = float(np.abs(row).max(initial=0.0))
        if big < _NOTHING:
            continue
        unit = np.where(np.abs(row) < _NOTHING * big, 0.0, row / big)
        unit = unit * np.sign(unit[np.flatnonzero(unit)[0]])
        key = (np.round(unit, 4) + 0.0).tobytes() + bytes([i >= pairs])
        groups.setdefault(key, (unit, [], i >= pairs))[1].append(places[i])
    return list(groups.values())


def _fewest(
    found: list[tuple[Floats, list[Point], bool]], sizes: tuple[Size, ...]
) -> tuple[Relation, ...]:
    """Shortest rows first, each kept only where those before do not imply it."""
    order = sorted(found, key=lambda g: (int((np.abs(g[0]) > _NOTHING).sum()), g[2], -len(g[1])))
    basis: list[NDArray[np.float64]] = []
    kept: list[Relation] = []
    for row, places, closes in order:
        rest = row / np.linalg.norm(row)
        for known in basis:
            rest = rest - (rest @ known) * known
        size = float(np.linalg.norm(rest))
        if size < 1e-5:
            continue
        basis.append(rest / size)
        kept.append(
            Relation(
                terms=_terms(row, sizes),
                places=tuple(dict.fromkeys((round(x, 1), round(y, 1)) for x, y in places)),
                closes=closes,
            )
        )
    return tuple(kept)


def _terms(row: Floats, sizes: tuple[Size, ...]) -> tuple[tuple[Size, float], ...]:
    at = [int(i) for i in np.flatnonzero(np.abs(row) > _NOTHING)]
    least = min(at, key=lambda i: _oddness(row / row[i]))
    scaled = row / row[least]
    ordered = [least, *(i for i in at if i != least)]
    return tuple((sizes[i], round(float(scaled[i]), 6)) for i in ordered)


def _oddness(scaled: Floats) -> float:
    """How far from easy factors a row is."""
    factors = np.abs(scaled[np.abs(scaled) > _NOTHING])
    return float(sum(min(abs(f - nice) + 0.01 * nice for nice in _NICE) for f in factors))
