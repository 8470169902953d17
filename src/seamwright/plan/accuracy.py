"""How true a shop works and how much it spoils: read from the same file as its profile.

They say nothing about which plan is best and are no part of a plan; the fit of real parts and the
spares are worked out from them.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any

from seamwright.plan.shop_file import shop_values


@dataclass(frozen=True, slots=True, kw_only=True)
class Accuracy:
    """Standard deviations of a shop's settings and cuts.

    Attributes:
        fence_mm, stop_mm, gauge_mm: one error for all parts of a setting of the rip fence, of the
            sled's stop set by a rule, and of either set from a real part.
        strip_mm, slice_mm: from one part of a setting to the next.
        square_deg, slant_deg: one error for all cuts of a setting, square or at another angle.
        lean_deg: angle from cut to cut.
        place_mm: a part lined up by eye in a glue-up.
        thickness_mm, planed_mm: after planing, for all parts of a setting, and part to part.
        resaw_mm, leaf_mm: of the resaw fence for all leaves of a setting, and leaf to leaf.
        flush_mm: a part standing off the flat bed of a glue-up.
    """

    fence_mm: float
    strip_mm: float
    stop_mm: float
    gauge_mm: float
    slice_mm: float
    square_deg: float
    slant_deg: float
    lean_deg: float
    place_mm: float
    thickness_mm: float
    planed_mm: float
    resaw_mm: float
    leaf_mm: float
    flush_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Losses:
    """How many of a hundred are spoilt [%]."""

    stick_pct: float
    slice_pct: float
    trim_pct: float
    glue_up_pct: float


def read_accuracy(text: str = "") -> Accuracy:
    """The accuracy in a shop file; what it leaves out, or an empty text, keeps the default.

    Raises:
        ShopError: with every fault found in the file.

    >>> read_accuracy("[accuracy]\\nstop = 0.3").stop_mm
    0.3
    """
    return Accuracy(**_section(Accuracy, "accuracy", text))


def read_losses(text: str = "") -> Losses:
    """The scrap rates in a shop file.

    Raises:
        ShopError: with every fault found in the file.
    """
    return Losses(**_section(Losses, "losses", text))


def _section(kind: type[Accuracy | Losses], name: str, text: str) -> dict[str, Any]:
    values = shop_values(text)
    return {
        field.name: float(values[f"{name}.{field.name.rpartition('_')[0]}"])
        for field in fields(kind)
    }
