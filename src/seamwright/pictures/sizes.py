"""Sizes as a sheet shows them: shop fraction first or millimetres first, always both."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from seamwright.lengths import INCH_MM, ShopFraction, Unit, decimal_text, exact_mm, shop_fraction

_THOUSANDTHS = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruler:
    """How lengths are written.

    Attributes:
        unit: the unit that stands first and large.
        denominator: finest mark on the inch rule: 2, 4, 8, 16, 32 or 64.
    """

    unit: Unit = Unit.INCH
    denominator: int = 64

    def inch(self, mm: float) -> str:
        """Nearest mark of an inch rule, such as ``1-3/8″``.

        >>> Ruler().inch(34.925), Ruler().inch(0.1), Ruler().inch(22.0)
        ('1-3/8″', '0″', '55/64″')
        """
        return _marked(shop_fraction(mm, self.denominator))

    def off(self, mm: float) -> str:
        """What the mark leaves out, in thousandths of an inch; "" where it rounds to nothing.

        >>> Ruler().off(22.0), Ruler().off(34.925)
        ('+ .007″', '')
        """
        rest = shop_fraction(mm, self.denominator).remainder_mm
        thousandths = math.floor(abs(rest) / INCH_MM * _THOUSANDTHS + Fraction(1, 2))
        if not thousandths:
            return ""
        return f"{'+' if rest > 0 else '−'} .{thousandths:03d}″"

    def mm(self, mm: float) -> str:
        """Millimetres to one place, half away from zero.

        >>> Ruler().mm(25.35), Ruler().mm(22.0)
        ('25.4 mm', '22.0 mm')
        """
        return f"{decimal_text(exact_mm(mm), 1)} mm"

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

    def typed(self, mm: float) -> str:
        """A length as it may be typed again; exact where the rule's marks are not.

        >>> Ruler().typed(34.925), Ruler().typed(22.0), Ruler(unit=Unit.MM).typed(22.0)
        ('1-3/8', '0.866142', '22')
        """
        if self.unit is Unit.MM:
            return f"{mm:.6f}".rstrip("0").rstrip(".")
        return f"{mm / 25.4:.6f}" if self.off(mm) else self.inch(mm).rstrip("″")

    def rest(self, mm: float) -> str:
        """What stands small beside `first`: the part a mark leaves out, and the other unit.

        >>> Ruler().rest(22.0), Ruler(unit=Unit.MM).rest(22.0), Ruler().rest(34.925)
        ('+ .007″ · 22.0 mm', '55/64″ + .007″', '34.9 mm')
        """
        off = self.off(mm)
        if self.unit is Unit.INCH:
            return f"{off} · {self.mm(mm)}" if off else self.mm(mm)
        return f"{self.inch(mm)} {off}".rstrip()

    def sizes(self, *lengths_mm: float) -> str:
        """Several lengths of one part in the leading unit.

        >>> Ruler().sizes(34.925, 22.0), Ruler(unit=Unit.MM).sizes(34.925, 22.0)
        ('1-3/8″ × 55/64″', '34.9 × 22.0 mm')
        """
        if self.unit is Unit.INCH:
            return " × ".join(self.inch(mm) for mm in lengths_mm)
        return " × ".join(self.mm(mm).removesuffix(" mm") for mm in lengths_mm) + " mm"

    def about(self, mm: float) -> str:
        """The length rounded up to the next 1/8 in and the next whole millimetre, for rough work.

        >>> Ruler().about(75.0), Ruler(unit=Unit.MM).about(75.2)
        ('3″ (75 mm)', '76 mm (3″)')
        """
        eighths = Fraction(math.ceil(exact_mm(mm) * 8 / INCH_MM), 8)
        inch = _marked(shop_fraction(eighths * INCH_MM, 8))
        whole = f"{math.ceil(exact_mm(mm))} mm"
        return f"{inch} ({whole})" if self.unit is Unit.INCH else f"{whole} ({inch})"


def _marked(mark: ShopFraction) -> str:
    """The mark in figures with a true double prime."""
    return mark.text.replace('"', "″")


def degrees(angle_deg: float) -> str:
    """An angle to two places, without idle zeros.

    >>> degrees(45.0), degrees(22.5), degrees(26.56505)
    ('45°', '22.5°', '26.57°')
    """
    return f"{angle_deg:.2f}".rstrip("0").rstrip(".") + "°"
