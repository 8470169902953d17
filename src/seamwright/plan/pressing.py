"""Clamps and glue for one glue-up.

Pressure spreads from a clamp at about 45° on either side: through wood and caul of depth d it
reaches 2·d of a glue line. So a line of length L needs ceil(L / (2·d)) clamps, d measured from
where the clamp presses, through caul and wood, to the glue line that lies nearest to it.

Reference:
    The 45° rule is common practice, no source. Spread rates and extras: the shop's own, see
    ``shop_defaults.toml``.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from seamwright.design import Patch
from seamwright.geometry import Line, Polygon, angle_between
from seamwright.plan.shop import Clamps
from seamwright.plan.shop_file import shop_values
from seamwright.plan.steps import Laminate
from seamwright.seams import SeamClass, find_seams, grade

_ALONG_DEG = 0.01
_MM2_PER_M2 = 1e6


@dataclass(frozen=True, slots=True, kw_only=True)
class Gluing:
    """What a shop glues with.

    Attributes:
        caul_mm: depth of the cauls between clamps and work.
        clamps: clamps on hand that reach across a board.
        spread_g_m2: glue on one glue line [g/m²].
        extra_pct: glue mixed or poured beyond that [%].
        end_grain_pct: glue on a line with end grain in it, against one without [%].
    """

    caul_mm: float
    clamps: int
    spread_g_m2: float
    extra_pct: float
    end_grain_pct: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Pressing:
    """What one clamping of one glue-up takes.

    Attributes:
        clamps: clamps across the seams; 0 where parts are pushed into corners, which need one
            along each push.
        length_mm: length of the glue-up along its seams.
        least_mm: wood between the outer face and the glue line nearest to it.
        caul_mm: depth of the cauls that were counted with.
        glue_g: glue for all its lines, the extra included.
        end_grain: whether a glue line has end grain in it.
    """

    clamps: int
    length_mm: float
    least_mm: float
    caul_mm: float
    glue_g: float
    end_grain: bool

    def caul_for(self, clamps: int) -> float:
        """Depth of cauls [mm] with which so many clamps would do."""
        return max(0.0, self.length_mm / (2.0 * clamps) - self.least_mm)


def read_gluing(text: str = "") -> Gluing:
    """The gluing in a shop file; what it leaves out, or an empty text, keeps the default.

    Raises:
        ShopError: with every fault found in the file.

    >>> read_gluing("[gluing]\\nclamps = 5").clamps
    5
    """
    values = shop_values(text)
    return Gluing(
        caul_mm=values["gluing.caul"],
        clamps=round(values["gluing.clamps"]),
        spread_g_m2=values["gluing.spread"],
        extra_pct=values["gluing.extra"],
        end_grain_pct=values["gluing.end_grain"],
    )


def clamps_needed(length_mm: float, depth_mm: float) -> int:
    """Clamps for a glue line at a depth below where they press, pressure spreading at 45°.

    >>> clamps_needed(600.0, 75.0), clamps_needed(601.0, 75.0)
    (4, 5)
    """
    return max(1, math.ceil(length_mm / (2.0 * depth_mm) - 1e-9))


def cauls_for(length_mm: float, least_mm: float, clamps: Clamps) -> float | None:
    """Depth of the cauls with which the clamps on hand press a glue-up.

    Args:
        length_mm: of the glue-up along its seams.
        least_mm: wood between the outer face and the glue line nearest to it.
        clamps: of the shop.
    Returns:
        The shop's own depth where that does; the least depth that would where deeper ones may be
        made [mm]; None where the clamps are too few.

    >>> eight = Clamps(count=8, caul_mm=40.0, caul_most_mm=100.0, caul_minutes=15.0)
    >>> [cauls_for(length, 10.0, eight) for length in (800.0, 1600.0, 2000.0)]
    [40.0, 90.0, None]
    """
    if not clamps.count or clamps_needed(length_mm, least_mm + clamps.caul_mm) <= clamps.count:
        return clamps.caul_mm
    deep = length_mm / (2.0 * clamps.count) - least_mm
    return deep if deep <= clamps.caul_most_mm else None


class LyingPiece(Protocol):
    """A piece of wood in a part."""

    @property
    def points(self) -> Polygon:
        """Its outline [mm]."""
        ...

    @property
    def grain_deg(self) -> float:
        """Direction of its grain [°]."""
        ...


class LyingPart(Protocol):
    """A part as it lies on the bench."""

    @property
    def pieces(self) -> Sequence[LyingPiece]:
        """The pieces it is glued up from, in its frame."""
        ...

    @property
    def depth_mm(self) -> float:
        """From the show face to the back [mm]."""
        ...


def pressing(step: Laminate, parts: Mapping[str, LyingPart], gluing: Gluing) -> Pressing:
    """Clamps and glue of one glue-up.

    Args:
        step: the glue-up.
        parts: the kinds it is glued up from.
        gluing: the shop's cauls, clamps and glue.
    """
    depth_mm = min(parts[placed.part].depth_mm for placed in step.parts)
    pieces = [
        [
            (placed.at.polygon(piece.points), placed.at.undirected_deg(piece.grain_deg))
            for piece in parts[placed.part].pieces
        ]
        for placed in step.parts
    ]
    owner = [number for number, part in enumerate(pieces) for _ in part]
    patches = [
        Patch(name=str(i), points=points, wood="", grain_deg=grain)
        for i, (points, grain) in enumerate(piece for part in pieces for piece in part)
    ]
    lines = [seam for seam in find_seams(patches) if owner[seam.left] != owner[seam.right]]
    grams = 0.0
    for seam in lines:
        end = grade(seam.weaker_deg) is SeamClass.END_GRAIN
        share = gluing.end_grain_pct / 100.0 if end else 1.0
        grams += seam.length_mm * depth_mm / _MM2_PER_M2 * gluing.spread_g_m2 * share
    along = Line.at_angle((0.0, 0.0), step.seams_deg)
    corners = [point for patch in patches for point in patch.points]
    across = [along.side(p) for p in corners]
    lengths = [along.ux * x + along.uy * y for x, y in corners]
    at = [
        along.side(seam.start)
        for seam in lines
        if angle_between(Line.through(seam.start, seam.end).undirected_deg, step.seams_deg)
        < _ALONG_DEG
    ]
    length = max(lengths) - min(lengths)
    least = min((min(s - min(across), max(across) - s) for s in at), default=0.0)
    pushed = step.corner_deg is not None or not at
    caul = step.caul_mm or gluing.caul_mm
    return Pressing(
        clamps=0 if pushed else clamps_needed(length, max(least + caul, 1.0)),
        length_mm=length,
        least_mm=least,
        caul_mm=caul,
        glue_g=grams * (1.0 + gluing.extra_pct / 100.0),
        end_grain=any(grade(seam.weaker_deg) is SeamClass.END_GRAIN for seam in lines),
    )
