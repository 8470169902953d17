"""Sizes as a sheet shows them: shop fraction first or millimetres first, always both."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction

from seamwright.design.model import Unit

_INCH_MM = Fraction(127, 5)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruler:
    """How lengths are written.

    Attributes:
        unit: the unit that stands first and large.
        denominator: finest mark on the inch rule, 16, 32 or 64.
    """

    unit: Unit = Unit.INCH
    denominator: int = 64

    def inch(self, mm: float) -> str:
        """Nearest mark of an inch rule, such as ``1-3/8″``.

        >>> Ruler().inch(34.925), Ruler().inch(0.1), Ruler().inch(22.0)
        ('1-3/8″', '0″', '55/64″')
        """
        whole, part, _ = self._mark(mm)
        minus = "-" if mm < 0.0 and (whole or part) else ""
        if not part:
            return f"{minus}{whole}″"
        lead = f"{whole}-" if whole else ""
        return f"{minus}{lead}{part.numerator}/{part.denominator}″"

    def off(self, mm: float) -> str:
        """What the mark leaves out, in thousandths of an inch; "" where it rounds to nothing.

        >>> Ruler().off(22.0), Ruler().off(34.925)
        ('+ .007″', '')
        """
        _, _, rest = self._mark(mm)
        thousandths = math.floor(abs(rest) / _INCH_MM * 1000 + Fraction(1, 2))
        if not thousandths:
            return ""
        return f"{'+' if rest > 0 else '−'} .{thousandths:03d}″"

    def mm(self, mm: float) -> str:
        """Millimetres to one place, half away from zero.

        >>> Ruler().mm(25.35), Ruler().mm(22.0)
        ('25.4 mm', '22.0 mm')
        """
        tenths = math.floor(abs(_exact(mm)) * 10 + Fraction(1, 2))
        minus = "-" if mm < 0.0 and tenths else ""
        return f"{minus}{tenths // 10}.{tenths % 10} mm"

    def first(self, mm: float) -> str:
        """The length in the unit that leads."""
        return self.inch(mm) if self.unit is Unit.INCH else self.mm(mm)

    def second(self, mm: float) -> str:
        """The length in the other unit."""
        return self.mm(mm) if self.unit is Unit.INCH else self.inch(mm)

    def both(self, mm: float) -> str:
        """Both, the leading one first.

        >>> Ruler().both(22.0), Ruler(unit=Unit.MM).both(22.0)
        ('55/64″ + .007″ (22.0 mm)', '22.0 mm (55/64″ + .007″)')
        """
        inch = " ".join(part for part in (self.inch(mm), self.off(mm)) if part)
        if self.unit is Unit.INCH:
            return f"{inch} ({self.mm(mm)})"
        return f"{self.mm(mm)} ({inch})"

    def about(self, mm: float) -> str:
        """The length rounded up to the next 1/8 in and the next whole millimetre, for rough work.

        >>> Ruler().about(75.0), Ruler(unit=Unit.MM).about(75.2)
        ('3″ (75 mm)', '76 mm (3″)')
        """
        eighths = math.ceil(_exact(mm) * 8 / _INCH_MM)
        inch = replace(self, denominator=8).inch(float(eighths * _INCH_MM / 8))
        whole = f"{math.ceil(_exact(mm))} mm"
        return f"{inch} ({whole})" if self.unit is Unit.INCH else f"{whole} ({inch})"

    def _mark(self, mm: float) -> tuple[int, Fraction, Fraction]:
        exact = abs(_exact(mm))
        steps = math.floor(exact * self.denominator / _INCH_MM + Fraction(1, 2))
        whole, part = divmod(steps, self.denominator)
        rest = exact - Fraction(steps, self.denominator) * _INCH_MM
        return whole, Fraction(part, self.denominator), rest if mm >= 0.0 else -rest


def degrees(angle_deg: float) -> str:
    """An angle to two places, without idle zeros.

    >>> degrees(45.0), degrees(22.5), degrees(26.56505)
    ('45°', '22.5°', '26.57°')
    """
    return f"{angle_deg:.2f}".rstrip("0").rstrip(".") + "°"


def _exact(mm: float) -> Fraction:
    return Fraction(round(mm * 10**9), 10**9)
