"""The two units a shop works in."""

from __future__ import annotations

from enum import Enum
from fractions import Fraction
from math import isfinite


class Unit(Enum):
    """The unit a design is written and shown in."""

    INCH = "in"
    MM = "mm"

    @property
    def mm(self) -> Fraction:
        """Millimetres in one of it, exactly (international inch: 25.4 mm)."""
        return INCH_MM if self is Unit.INCH else Fraction(1)


INCH_MM = Fraction(127, 5)
FOOT_MM = 12 * INCH_MM

FINEST_MM = Fraction(1, 10**9)
"""Step of the lattice floats are read on; 1/64 in is a whole number of steps."""


def exact_mm(value_mm: Fraction | float) -> Fraction:
    """A length as an exact fraction; a float is read as the nearest billionth of a millimetre.

    >>> exact_mm(0.396875) * 64 == INCH_MM
    True

    Raises:
        ValueError: not a finite number.
    """
    if isinstance(value_mm, Fraction):
        return value_mm
    if isinstance(value_mm, int):
        return Fraction(value_mm)
    if not isfinite(value_mm):
        raise ValueError(f"{value_mm} is not a length")
    return round(Fraction(value_mm) / FINEST_MM) * FINEST_MM
