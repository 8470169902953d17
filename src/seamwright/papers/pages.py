"""Page sizes, and the room on them."""

from __future__ import annotations

from enum import Enum


class Page(Enum):
    """Paper in the printer, upright."""

    LETTER = "letter"
    A4 = "a4"

    @property
    def width_mm(self) -> float:
        """Width [mm]."""
        return 215.9 if self is Page.LETTER else 210.0

    @property
    def height_mm(self) -> float:
        """Height [mm]."""
        return 279.4 if self is Page.LETTER else 297.0

    @property
    def room_mm(self) -> tuple[float, float]:
        """Width and height inside the margins of a bench sheet [mm]."""
        return (self.width_mm - 28.0, self.height_mm - 27.0)
