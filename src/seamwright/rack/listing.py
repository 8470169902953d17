"""Patterns of all places that lose little, as one table; sections are worked out when asked for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from seamwright.rack.grid import Floats
from seamwright.rack.kernels.arrays import Counts, Numbers
from seamwright.rack.kernels.lists import ranked
from seamwright.rack.problem import Column, Problem
from seamwright.rack.proper import Listed, Whole


class Part(NamedTuple):
    """Patterns of one place, those that lose least first, each with other counts.

    Attributes:
        cost: what each costs at most; sections pushed together may give back a little more.
        loss: what each loses at the prices it was found at.
        gives: counts of rows, a line for each.
        which, number: where each is found: of ``listed``, and there.
    """

    place: int
    cost: Floats
    loss: Floats
    gives: Counts
    whole: Whole
    listed: tuple[Listed, ...]
    which: Numbers
    number: Numbers

    def first(self, number: int) -> Part:
        """The first patterns only."""
        few = slice(number)
        return self._replace(
            cost=self.cost[few],
            loss=self.loss[few],
            gives=self.gives[few],
            which=self.which[few],
            number=self.number[few],
        )

    def column(self, problem: Problem, n: int) -> Column:
        """One of the patterns as a column."""
        listed = self.listed[int(self.which[n])]
        return problem.closed(self.place, self.whole.sections(listed, int(self.number[n])))


def part_of(
    place: int, whole: Whole, listed: Sequence[Listed], *, cost: float, par: float, paid: Floats
) -> Part:
    """What was listed for one place, at least one view of it, put together.

    Args:
        place: which.
        whole, listed: the search and what it found.
        cost: of using the place.
        par: worth of a pattern that loses nothing.
        paid: what a unit of each row is worth.
    """
    worth = np.concatenate([found.worth for found in listed])
    keys = np.concatenate([found.keys for found in listed])
    which = np.repeat(np.arange(len(listed)), [len(found.worth) for found in listed])
    number = np.concatenate([np.arange(len(found.worth)) for found in listed])
    order = ranked(worth, keys)
    gives = whole.limits.counts(keys[order])
    return Part(
        place=place,
        cost=cost + gives @ paid - worth[order],
        loss=par - worth[order],
        gives=gives,
        whole=whole,
        listed=tuple(listed),
        which=which[order],
        number=number[order],
    )


def least_of(parts: tuple[Part, ...], most: int) -> tuple[Part, ...]:
    """The patterns that lose least, ``most`` of them at most."""
    losses = np.concatenate([np.zeros(0), *(part.loss for part in parts)])
    if len(losses) <= most:
        return parts
    top = float(np.partition(losses, most)[most])
    return tuple(part.first(int(np.searchsorted(part.loss, top))) for part in parts)
