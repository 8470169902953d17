"""Strength at a moisture other than 12 %."""

from __future__ import annotations

MEETING_PCT = 25.0
"""Moisture at which green and dry strength meet, where a wood has no own value."""


def strength_at_moisture(
    dry: float, green: float, *, moisture_pct: float, meeting_pct: float = MEETING_PCT
) -> float:
    """Strength at a moisture from that at 12 % and green, in the unit of the two.

    Not for work to failure, impact, or tension across the grain.

    Args:
        dry, green: strength at 12 % and green, more than 0.
        moisture_pct: 0 to ``meeting_pct``; above it the strength is the green one.

    Reference:
        Wood Handbook, FPL-GTR-282 (2021), eq. 5-3, p. 5-34.

    >>> round(strength_at_moisture(103_000, 66_000, moisture_pct=8.0, meeting_pct=24.0), -2)
    119500.0
    """
    if moisture_pct >= meeting_pct:
        return green
    power = (12.0 - moisture_pct) / (meeting_pct - 12.0)
    strength: float = dry * (dry / green) ** power
    return strength
