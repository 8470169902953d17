"""Sizes of a plan, and the errors that real parts have in them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from seamwright.plan import Laminate, Mill, Slice, Step, Trim


class What(Enum):
    """What of a part is meant."""

    WIDTH = "width"
    """Of a stick, from the rip fence."""
    LENGTH = "length"
    """Of a slice, along the reference edge of its bar."""
    STAYS = "what stays"
    """Of a trimmed part, square to the cut."""
    ANGLE = "angle"
    """Of one cut."""
    ALONG = "place"
    """Of a part in a glue-up, along the seams."""


@dataclass(frozen=True, slots=True, order=True)
class Size:
    """One size of all parts of a kind.

    Attributes:
        part: id of the kind.
        what: value of ``What``.
        index: number of the cut or part, from 0.
    """

    part: str
    what: str
    index: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Slots:
    """A run of errors, one for each single part or cut.

    Attributes:
        size: what they are errors of.
        step: number of the step, from 1.
        start, count: where they lie in the vector of all errors.
    """

    size: Size
    step: int
    start: int
    count: int

    @property
    def rows(self) -> slice:
        """Where they lie."""
        return slice(self.start, self.start + self.count)


def main_size(step: Step) -> str:
    """What is measured after a step, in words."""
    if isinstance(step, Mill):
        return "width of the sticks"
    if isinstance(step, Slice):
        return "stop to face, as the sheet gives it"
    if isinstance(step, Trim):
        return "what stays, square to the cut"
    if isinstance(step, Laminate):
        return "height across the seams"
    return "thickness"
