"""A length as a rule shows it: whole inches, a fraction, and what is left over."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from math import floor

from seamwright.lengths.units import INCH_MM, Unit, exact_mm

RULE_DENOMINATORS = (2, 4, 8, 16, 32, 64)
"""Bottoms of the fractions on a shop rule."""


class Remainder(Enum):
    """How the text of a length says what its fraction leaves out."""

    THOUSANDTHS = "thousandths"
    """In thousandths of an inch."""
    MM = "mm"
    """In hundredths of a millimetre."""
    SILENT = "silent"
    """Not at all: for places where the exact size stands beside it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopFraction:
    """The nearest mark of an inch rule: ``sign * (whole + numerator/denominator)`` in.

    Attributes:
        sign: -1, 0 or 1; 0 where the nearest mark is zero.
        whole: whole inches, 0 or more.
        numerator: top of the fraction, reduced; 0 where there is none.
        denominator: bottom of the fraction, reduced; 1 where there is none.
        remainder_mm: exact length minus the shown mark [mm].
    """

    sign: int
    whole: int
    numerator: int
    denominator: int
    remainder_mm: Fraction

    @property
    def shown_mm(self) -> Fraction:
        """The length of the mark itself [mm], exactly."""
        return self.sign * (self.whole + Fraction(self.numerator, self.denominator)) * INCH_MM

    @property
    def is_exact(self) -> bool:
        """Whether nothing is left over."""
        return self.remainder_mm == 0

    @property
    def text(self) -> str:
        """The mark in plain figures, such as ``1-3/8"``."""
        minus = "-" if self.sign < 0 else ""
        if not self.numerator:
            return f'{minus}{self.whole}"'
        whole = f"{self.whole}-" if self.whole else ""
        return f'{minus}{whole}{self.numerator}/{self.denominator}"'


def shop_fraction(length_mm: Fraction | float, denominator: int = 64) -> ShopFraction:
    """The nearest mark on an inch rule, ties away from zero, and the exact remainder.

    >>> shop_fraction(22).text, float(shop_fraction(22).remainder_mm)
    ('55/64"', 0.171875)

    Args:
        length_mm: length [mm].
        denominator: finest division of the rule: 2, 4, 8, 16, 32 or 64.
    Raises:
        ValueError: there is no such rule, or the length is not finite.
    """
    if denominator not in RULE_DENOMINATORS:
        raise ValueError(f"a rule has no {denominator}ths; use one of {RULE_DENOMINATORS}")
    exact = exact_mm(length_mm)
    steps = floor(abs(exact) * denominator / INCH_MM + Fraction(1, 2))
    sign = 0 if steps == 0 else (1 if exact > 0 else -1)
    whole, rest = divmod(steps, denominator)
    part = Fraction(rest, denominator)
    return ShopFraction(
        sign=sign,
        whole=whole,
        numerator=part.numerator,
        denominator=part.denominator,
        remainder_mm=exact - sign * Fraction(steps, denominator) * INCH_MM,
    )


def inch_text(
    length_mm: Fraction | float,
    *,
    denominator: int = 64,
    remainder: Remainder = Remainder.THOUSANDTHS,
) -> str:
    """A length in inches as a woodworker reads it, with what the fraction leaves out.

    >>> inch_text(9.525), inch_text(22), inch_text(395.6, remainder=Remainder.MM)
    ('3/8"', '55/64" + 0.007"', '15-37/64" - 0.08 mm')
    """
    mark = shop_fraction(length_mm, denominator)
    if mark.is_exact or remainder is Remainder.SILENT:
        return mark.text
    unit_mm, places, sign = (
        (INCH_MM, 3, '"') if remainder is Remainder.THOUSANDTHS else (Fraction(1), 2, " mm")
    )
    amount = decimal_text(abs(mark.remainder_mm) / unit_mm, places)
    if not amount.strip("0."):
        half = decimal_text(Fraction(5, 10 ** (places + 1)), places + 1)
        return f"{mark.text} (within {half}{sign})"
    return f"{mark.text} {'+' if mark.remainder_mm > 0 else '-'} {amount}{sign}"


def mm_text(length_mm: Fraction | float, *, places: int = 1) -> str:
    """A length in millimetres to the nearest tenth (or ``places``), half away from zero.

    >>> mm_text(9.525), mm_text(9.525, places=2), mm_text(22)
    ('9.5 mm', '9.53 mm', '22.0 mm')
    """
    return f"{decimal_text(exact_mm(length_mm), places)} mm"


def length_text(length_mm: Fraction | float, *, unit: Unit, denominator: int = 64) -> str:
    """A length in the unit of a design: shop fraction with remainder, or tenths of a mm.

    >>> length_text(34.925, unit=Unit.INCH), length_text(34.925, unit=Unit.MM)
    ('1-3/8"', '34.9 mm')
    """
    if unit is Unit.INCH:
        return inch_text(length_mm, denominator=denominator)
    return mm_text(length_mm)


def decimal_text(value: Fraction, places: int) -> str:
    """A fraction as a decimal with so many places, half away from zero, never "-0".

    >>> decimal_text(Fraction(-1, 16), 3), decimal_text(Fraction(-1, 10**6), 3)
    ('-0.063', '0.000')
    """
    steps = floor(abs(value) * 10**places + Fraction(1, 2))
    minus = "-" if value < 0 and steps else ""
    whole, rest = divmod(steps, 10**places)
    return f"{minus}{whole}.{rest:0{places}d}" if places else f"{minus}{whole}"
