"""Strength between along and across the grain."""

from __future__ import annotations

from seamwright.geometry import cos_deg, sin_deg


def at_grain_angle(
    along: float, across: float, *, angle_deg: float, exponent: float = 2.0
) -> float:
    """Strength (or stiffness) at an angle to the grain, in the unit of its two ends.

    Args:
        along, across: values at 0° and 90°, more than 0.
        angle_deg: between load and grain, folded to 0 to 90.
        exponent: 2 is the classical form; 1.5 to 2 fits tension.

    Reference:
        Hankinson (1921): N = P·Q / (P·sinⁿθ + Q·cosⁿθ), as given in the Wood Handbook ch. 5.

    >>> round(at_grain_angle(109.0, 5.5, angle_deg=30.0), 4)
    19.1076
    """
    sine, cosine = abs(sin_deg(angle_deg)), abs(cos_deg(angle_deg))
    weakened: float = along * sine**exponent + across * cosine**exponent
    return along * across / weakened
