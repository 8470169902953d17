"""Rough hardwood sizes in quarters of an inch, and the thickness left once both faces are planed.

Reference:
    Surfaced thicknesses are the published hardwood size tables that follow the National Hardwood
    Lumber Association's rules (surfaced two sides).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from seamwright.errors import Fault
from seamwright.rack.boards import RackError

INCH_MM = 25.4


@dataclass(frozen=True, slots=True, kw_only=True)
class Quarter:
    """A rough size.

    Attributes:
        name: as the trade writes it, "5/4".
        rough_in: nominal rough thickness [in].
        milled_in: surfaced two sides [in].
    """

    name: str
    rough_in: Fraction
    milled_in: Fraction

    @property
    def rough_mm(self) -> float:
        """Nominal rough thickness [mm]."""
        return float(self.rough_in) * INCH_MM

    @property
    def milled_mm(self) -> float:
        """Thickness surfaced two sides [mm]."""
        return float(self.milled_in) * INCH_MM


def _size(name: str, rough: str, milled: str) -> Quarter:
    return Quarter(name=name, rough_in=Fraction(rough), milled_in=Fraction(milled))


QUARTERS = (
    _size("4/4", "1", "13/16"),
    _size("5/4", "5/4", "17/16"),
    _size("6/4", "3/2", "21/16"),
    _size("8/4", "2", "7/4"),
    _size("12/4", "3", "11/4"),
    _size("16/4", "4", "15/4"),
)


def quarter(name: str) -> Quarter:
    """The size of this name.

    Raises:
        RackError: no such size.
    Example:
        >>> round(quarter("8/4").milled_mm, 2)
        44.45
    """
    for size in QUARTERS:
        if size.name == name.strip():
            return size
    known = ", ".join(size.name for size in QUARTERS)
    raise RackError(Fault("R111", f"thickness {name!r}", "is no quarter size", f"use {known}"))


def quarter_for(milled_mm: float) -> Quarter | None:
    """The thinnest rough size that planes down to a thickness, or None above 16/4."""
    return next((q for q in QUARTERS if q.milled_mm >= milled_mm - 1e-6), None)


def quarter_of(rough_mm: float) -> Quarter | None:
    """The rough size a measured board is sold as: the thickest it reaches within 1/16 inch.

    Kiln-dried boards may measure up to 1/16 inch under their nominal size.
    """
    under = INCH_MM / 16
    return max(
        (q for q in QUARTERS if rough_mm >= q.rough_mm - under - 1e-6),
        key=lambda q: q.rough_mm,
        default=None,
    )
