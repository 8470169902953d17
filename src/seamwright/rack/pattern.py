"""How one board is cut, on the grid."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from seamwright.rack.places import Spans


class Strip(NamedTuple):
    """A strip on the grid: where across, and its blanks as (start along, blank).

    A named tuple, as millions are made.
    """

    y: int
    width: int
    blanks: tuple[tuple[int, int], ...]


class Section(NamedTuple):
    """A section on the grid: pitch along, strips, side leftovers as spans across [units].

    A leftover span ends where the next flaw or the edge begins; both ends are pitches.
    """

    a: int
    b: int
    strips: tuple[Strip, ...]
    kept: Spans


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """How one board is cut, on the grid.

    Attributes:
        sections: left to right.
        head, rest: cells where the leftover at the near end stops and the one at the far end
            starts; None where there is none.
        credit: what its leftovers give back.
        counts: blanks cut, by blank index.
    """

    sections: tuple[Section, ...]
    head: int | None
    rest: int | None
    credit: float
    counts: tuple[int, ...]
