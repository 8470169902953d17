"""Shop lengths in words and figures: 1-3/8 in, 35 mm.

A length is an exact fraction of millimetres; it is rounded only where it is shown.

>>> parse_length("1' 2 1/2\\"")
Fraction(3683, 10)
>>> inch_text(parse_length("22 mm")), mm_text(parse_length('7/8"'))
('55/64" + 0.007"', '22.2 mm')
"""

from seamwright.lengths.parse import parse_length
from seamwright.lengths.shop import (
    RULE_DENOMINATORS,
    Remainder,
    ShopFraction,
    decimal_text,
    inch_text,
    length_text,
    mm_text,
    shop_fraction,
)
from seamwright.lengths.units import FOOT_MM, INCH_MM, Unit, exact_mm

__all__ = [
    "FOOT_MM",
    "INCH_MM",
    "RULE_DENOMINATORS",
    "Remainder",
    "ShopFraction",
    "Unit",
    "decimal_text",
    "exact_mm",
    "inch_text",
    "length_text",
    "mm_text",
    "parse_length",
    "shop_fraction",
]
