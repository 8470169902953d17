"""Angles in degrees, exact where a woodworker's angles are exact."""

from __future__ import annotations

import math
from functools import lru_cache

_EXACT_SIN = {
    0.0: 0.0,
    30.0: 0.5,
    45.0: math.sqrt(0.5),
    60.0: math.sqrt(0.75),
    90.0: 1.0,
}


@lru_cache(maxsize=1 << 13)
def sin_deg(angle_deg: float) -> float:
    """Sine of an angle [°], exact at multiples of 30 and 45.

    >>> sin_deg(180.0), sin_deg(-30.0), sin_deg(390.0)
    (0.0, -0.5, 0.5)
    """
    turned = math.fmod(angle_deg, 360.0)
    if turned < 0.0:
        turned += 360.0
    sign = 1.0
    if turned >= 180.0:
        turned, sign = turned - 180.0, -1.0
    if turned > 90.0:
        turned = 180.0 - turned
    exact = _EXACT_SIN.get(turned)
    value = math.sin(math.radians(turned)) if exact is None else exact
    return sign * value if value else 0.0


def cos_deg(angle_deg: float) -> float:
    """Cosine of an angle [°], exact at multiples of 30 and 45.

    >>> cos_deg(90.0), cos_deg(60.0), cos_deg(45.0) == sin_deg(45.0)
    (0.0, 0.5, True)
    """
    return sin_deg(angle_deg + 90.0)


def direction_deg(dx: float, dy: float) -> float:
    """Direction of a vector as an angle [°] in [0, 360), exact along the axes and diagonals.

    >>> direction_deg(1.0, 1.0), direction_deg(0.0, -2.0), direction_deg(-3.0, 0.0)
    (45.0, 270.0, 180.0)
    """
    if dx == 0.0 or dy == 0.0 or abs(dx) == abs(dy):
        return (math.atan2(_sign(dy), _sign(dx)) * 4.0 / math.pi * 45.0) % 360.0
    return math.degrees(math.atan2(dy, dx)) % 360.0


def fold_deg(angle_deg: float) -> float:
    """The same undirected line's angle, in [0, 180) [°]: grain and seams have no arrow.

    >>> fold_deg(270.0), fold_deg(-45.0), fold_deg(180.0)
    (90.0, 135.0, 0.0)
    """
    folded = angle_deg % 180.0
    return 0.0 if folded >= 180.0 - 1e-9 or folded <= 1e-9 else folded


def angle_between(a_deg: float, b_deg: float) -> float:
    """The acute angle [°], 0 to 90, between two undirected lines.

    >>> angle_between(10.0, 170.0), angle_between(90.0, 0.0)
    (20.0, 90.0)
    """
    between = abs(fold_deg(a_deg) - fold_deg(b_deg))
    return min(between, 180.0 - between)


def _sign(value: float) -> float:
    return (value > 0.0) - (value < 0.0) + 0.0
