"""Look at the bench from a raised place, without perspective."""

from __future__ import annotations

from dataclasses import dataclass, field

from seamwright.geometry import Point, cos_deg, sin_deg

Place = tuple[float, float, float]
"""x, y and height above the bench [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Camera:
    """An orthographic view.

    Attributes:
        round_deg: how far to the right of straight ahead the viewer stands [°].
        raised_deg: how high, 0 on the bench, 90 straight above [°].
    """

    round_deg: float = 24.0
    raised_deg: float = 38.0
    _rows: tuple[Place, Place] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        c, s = cos_deg(self.round_deg), sin_deg(self.round_deg)
        up = sin_deg(self.raised_deg)
        rows = ((c, s, 0.0), (-s * up, c * up, cos_deg(self.raised_deg)))
        object.__setattr__(self, "_rows", rows)

    @property
    def towards(self) -> Place:
        """Unit vector from the bench to the viewer."""
        level = cos_deg(self.raised_deg)
        return (
            sin_deg(self.round_deg) * level,
            -cos_deg(self.round_deg) * level,
            sin_deg(self.raised_deg),
        )

    def seen(self, place: Place) -> Point:
        """Where a place appears: to the right and up [mm]."""
        x, y, z = place
        (a, b, _), (c, d, e) = self._rows
        return (a * x + b * y, c * x + d * y + e * z)
