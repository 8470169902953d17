"""Sizes as relations: which are free, which must equal a real part, which close a ring.

With angles as drawn every corner of the board is a linear function of the sizes, so what one
millimetre on each size does to the meeting points says all there is to say. Solved for the sizes
that are made last, those rows become rules: each gives one size from sizes made before it.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np

from seamwright.fit.joints import Floats
from seamwright.fit.meeting import Meetings, main_direction
from seamwright.fit.program import Program
from seamwright.fit.sizes import Size, What
from seamwright.geometry import Point

SIZED = (What.WIDTH.value, What.LENGTH.value, What.STAYS.value)
_NOTHING = 1e-6
_LEAST = 1e-5


class Duty(Enum):
    """What a size owes to others."""

    FREE = "free"
    """Nothing hangs on it."""
    LEADS = "leads"
    """Free to choose; others must follow it."""
    EQUAL = "must equal a real part"
    RING = "closes a ring"


@dataclass(frozen=True, slots=True, kw_only=True)
class Relation:
    """Sizes that must balance: the sum of factor times deviation must be nothing.

    Attributes:
        terms: sizes with their factors; the first one has the factor 1 and is made last.
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
        rules: as few as say everything; each follows another size.
        matrix: from sizes to the errors of a program (errors × sizes).
    """

    sizes: tuple[Size, ...]
    rules: tuple[Relation, ...]
    matrix: Floats

    def duty(self, size: Size) -> Duty:
        """What a size owes to others."""
        for rule in self.rules:
            if rule.terms[0][0] == size:
                return Duty.EQUAL if len(rule.terms) == 2 else Duty.RING
        leads = any(size == term for rule in self.rules for term, _ in rule.terms)
        return Duty.LEADS if leads else Duty.FREE


def relations(program: Program, meetings: Meetings) -> Relations:
    """The relations between the sizes of a plan.

    Args:
        program, meetings: of the plan.
    """
    sizes = tuple(dict.fromkeys(slots.size for slots in program.slots if slots.size.what in SIZED))
    matrix = np.zeros((program.errors, len(sizes)))
    for slots in program.slots:
        if slots.size in sizes:
            matrix[slots.rows, sizes.index(slots.size)] = 1.0
    drift = meetings.drift @ matrix
    along = main_direction(drift)
    rows = np.concatenate([(drift * along.conj()[:, None]).real, meetings.gap_rows @ matrix])
    places = (*meetings.places, *meetings.gap_places)
    found = _grouped(rows, places, len(meetings.places))
    return Relations(sizes=sizes, rules=_rules(found, sizes), matrix=matrix)


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


def _rules(
    found: list[tuple[Floats, list[Point], bool]], sizes: tuple[Size, ...]
) -> tuple[Relation, ...]:
    """The rows solved for the sizes made last: each rule gives one of them from earlier ones."""
    if not found:
        return ()
    reduced = _reduced(np.array([row[::-1] for row, _, _ in found]))[:, ::-1]
    rules = []
    for row in reduced[::-1]:
        at = [int(i) for i in np.flatnonzero(np.abs(row) > _LEAST)]
        last = at[-1]
        about = [group for group in found if abs(group[0][last]) > _NOTHING]
        places = [(round(x, 1), round(y, 1)) for _, spots, _ in about for x, y in spots]
        rules.append(
            Relation(
                terms=tuple((sizes[i], round(float(row[i]), 6)) for i in (last, *at[:-1])),
                places=tuple(dict.fromkeys(places)),
                closes=all(closes for _, _, closes in about),
            )
        )
    return tuple(rules)


def _reduced(rows: Floats) -> Floats:
    """Reduced row echelon form; what is nothing but rounding counts as nothing."""
    rows = rows.copy()
    done = 0
    for column in range(rows.shape[1]):
        if done == len(rows):
            break
        best = done + int(np.argmax(np.abs(rows[done:, column])))
        if abs(rows[best, column]) < _LEAST:
            rows[done:, column] = 0.0
            continue
        rows[[done, best]] = rows[[best, done]]
        rows[done] /= rows[done, column]
        others = np.arange(len(rows)) != done
        rows[others] -= np.outer(rows[others, column], rows[done])
        done += 1
    return np.asarray(rows[:done])
