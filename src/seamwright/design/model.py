"""What is wanted: the drawing of a board as patches."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from seamwright.geometry import Polygon
from seamwright.lengths import Unit

__all__ = ["BOUGHT", "Backing", "Drawing", "Kind", "Patch", "Unit"]


BOUGHT = "bought"
"""Balancing veneer that is not made."""


class Kind(Enum):
    """How the pattern is made."""

    THROUGH = "through"
    """Every piece runs from the front face to the back."""
    OVERLAY = "overlay"
    """Thin pieces glued onto a backing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Patch:
    """One piece as drawn: one wood, one grain direction.

    Attributes:
        name: short name, unique in its drawing ("7", or "turnstile 3 · 2").
        points: outline [mm], anticlockwise, in the board's frame (x right, y up), no point
            on a straight edge except where neighbours end there.
        wood: letter of the wood in ``Drawing.woods``.
        grain_deg: direction of the grain [° from x, anticlockwise], in [0, 180).
    """

    name: str
    points: Polygon
    wood: str
    grain_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Backing:
    """What an overlay is glued to.

    Attributes:
        material: name of the panel, or letter of the wood in ``Drawing.woods``.
        thickness_mm: its finished thickness, more than 0.
        grain_deg: direction of the grain of solid wood [°]; None for a panel.
        veneer: letter of the wood its balancing veneer is sawn from, ``BOUGHT`` where it is bought
            as a sheet; None for the wood that most of the face is of.
    """

    material: str
    thickness_mm: float
    grain_deg: float | None = None
    veneer: str | None = None

    @property
    def is_solid(self) -> bool:
        """Whether it is solid wood, which moves with the seasons, and not a panel."""
        return self.grain_deg is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """A checked board: patches that tile the outline.

    Attributes:
        title: the user's name for it.
        unit: unit of the design file; lengths here are always mm.
        thickness_mm: finished thickness, more than 0; of an overlay its face, without the backing.
        kind: pattern runs through, or lies on a backing.
        woods: (letter, name of the wood) in the order of the file.
        patches: the pieces, in drawing order.
        outline: the board's edge [mm], anticlockwise.
        copies: how many equal boards are wanted, 1 or more.
        backing: what an overlay is glued to; None where the file names none.
    """

    title: str
    unit: Unit
    thickness_mm: float
    kind: Kind
    woods: tuple[tuple[str, str], ...]
    patches: tuple[Patch, ...]
    outline: Polygon
    copies: int = 1
    backing: Backing | None = None

    def wood_name(self, letter: str) -> str:
        """The full name of the wood behind a letter; the letter itself where it has none."""
        return dict(self.woods).get(letter, letter)
