"""What comes after the face of an overlay is made: backing, pressing, flush-trimming, sanding.

Pressure spreads from the cauls at about 45° through a stiff plate (the platen) onto the face, as it
does in any glue-up; each pair of cauls, one over and one under, is closed by a clamp at either end.

Reference:
    All of it is common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass

from seamwright.plan.pressing import Gluing, clamps_needed
from seamwright.plan.shop import Shop

_MM2_PER_M2 = 1e6


@dataclass(frozen=True, slots=True, kw_only=True)
class Backed:
    """What the finished face is glued to.

    Attributes:
        material: name of the panel or of the wood.
        depth_mm: thickness of the backing alone.
        wide_mm, high_mm: its size as it is cut, standing out all round.
        face_mm: thickness of the finished face.
        counter_mm: thickness of the balancing veneer on its other side.
        grain_deg: direction of the grain of solid wood [°]; None for a panel.
        core: id of the kind the steps make as its backing; None where that is bought.
        counter: id of the kind the steps make as its balancing veneer; None where that is bought.
    """

    material: str
    depth_mm: float
    wide_mm: float
    high_mm: float
    face_mm: float
    counter_mm: float
    grain_deg: float | None = None
    core: str | None = None
    counter: str | None = None

    @property
    def made(self) -> tuple[str, ...]:
        """Kinds the steps make for pressing, one for each board."""
        return tuple(kind for kind in (self.core, self.counter) if kind is not None)

    @property
    def thick_mm(self) -> float:
        """Thickness of the finished board [mm]."""
        return self.face_mm + self.depth_mm + self.counter_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A sheet that is bought for a board.

    Attributes:
        name: of the panel, or what it is.
        wide_mm, high_mm, depth_mm: its size as it is cut.
    """

    name: str
    wide_mm: float
    high_mm: float
    depth_mm: float

    @property
    def m2(self) -> float:
        """Its area [m²]."""
        return self.wide_mm * self.high_mm / _MM2_PER_M2


def bought(backed: Backed | None) -> tuple[Sheet | None, Sheet | None]:
    """The panel and the balancing veneer that are bought for each board; None for what is made."""
    if backed is None:
        return None, None
    size = {"wide_mm": backed.wide_mm, "high_mm": backed.high_mm}
    panel = Sheet(name=backed.material, depth_mm=backed.depth_mm, **size)
    veneer = Sheet(name="balancing veneer", depth_mm=backed.counter_mm, **size)
    return (
        panel if backed.core is None else None,
        veneer if backed.counter is None and backed.counter_mm else None,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class FacePress:
    """What pressing one face takes.

    Attributes:
        cauls: pairs of cauls across the board.
        clamps: clamps that close them.
        glue_g: glue for both sides of the backing, the extra included.
    """

    cauls: int
    clamps: int
    glue_g: float


def pairs_of_cauls(backed: Backed, shop: Shop) -> int:
    """Pairs of cauls that press a face, set across its shorter side."""
    long = max(backed.wide_mm, backed.high_mm)
    return clamps_needed(long, max(shop.clamps.caul_mm + shop.overlays.platen_mm, 1.0))


def clamps_to_press(backed: Backed, shop: Shop) -> int:
    """Clamps that press a face: one at either end of each pair of cauls."""
    return 2 * pairs_of_cauls(backed, shop)


def face_press(backed: Backed, shop: Shop, gluing: Gluing) -> FacePress:
    """Cauls, clamps and glue for one face."""
    sides = 2 if backed.counter_mm else 1
    spread = backed.wide_mm * backed.high_mm / _MM2_PER_M2 * gluing.spread_g_m2
    return FacePress(
        cauls=pairs_of_cauls(backed, shop),
        clamps=clamps_to_press(backed, shop),
        glue_g=sides * spread * (1.0 + gluing.extra_pct / 100.0),
    )


def backing_minutes(shop: Shop) -> float:
    """Minutes for one board from its finished face on; none where nothing is backed."""
    work = shop.overlays
    return work.backings * (work.cut + work.press + work.flush + work.sand)
