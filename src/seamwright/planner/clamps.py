"""Whether the clamps on hand press a glue-up, with the shop's cauls or with deeper ones.

A glue line nearer to the face the clamps press on needs clamps closer together, so a long glue-up
with a thin outer part needs many. Where they are more than the shop has, deeper cauls may do; where
those would be too deep the parts are glued in another order, and strip sets are made shorter.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from seamwright.plan import Clamps, Shop, cauls_for, clamps_needed
from seamwright.planner.options import Bar, Join, Kind
from seamwright.planner.settings import glue_stages


def caul_of(join: Join, clamps: Clamps) -> float | None:
    """Depth of the cauls with which a glue-up closes [mm]; None where the clamps are too few."""
    if join.corner_deg is not None:
        enough = not clamps.count or len(join.parts) - 1 <= clamps.count
        return clamps.caul_mm if enough else None
    return cauls_for(join.along_mm, join.least_mm, clamps)


def longest_glued_mm(bar: Bar, shop: Shop) -> float:
    """Longest strip set of a profile that the clamps on hand press with the shop's cauls [mm]."""
    count = shop.clamps.count
    if not count or len(bar.strips) < 2:
        return math.inf
    widths = [strip.width_mm for strip in bar.strips]
    # in stages any strip may lie on the outside once
    outer = widths if glue_stages(len(widths), shop) > 1 else (widths[0], widths[-1])
    return 2.0 * count * (min(outer) + shop.clamps.caul_mm)


def too_few(kinds: Sequence[Kind], clamps: Clamps) -> tuple[int, float, float] | None:
    """What would do where clamps on hand close no glue-up of some part.

    Returns:
        Clamps that would do, over which length [mm], and how deep cauls would have to be with
        those on hand [mm]; of the part that needs most. None where clamps are no reason.
    """
    worst: tuple[int, float, float] | None = None
    for kind in kinds:
        joins = [o for o in kind.options if isinstance(o, Join) and o.corner_deg is None]
        if not joins or any(caul_of(join, clamps) is not None for join in joins):
            continue
        needed = [
            (
                clamps_needed(join.along_mm, join.least_mm + clamps.caul_mm),
                join.along_mm,
                join.along_mm / (2.0 * clamps.count) - join.least_mm,
            )
            for join in joins
        ]
        least = min(needed)
        worst = least if worst is None else max(worst, least)
    return worst
