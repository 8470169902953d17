"""Whether a glue-up closes with the clamps the shop has."""

from __future__ import annotations

import math
from collections.abc import Sequence

from seamwright.bench.model import GlueLine
from seamwright.bench.notes import Notes, mm
from seamwright.bench.tolerance import TOUCH_MM
from seamwright.geometry import Line
from seamwright.plan import Laminate, Shop


def check_clamps(
    step: Laminate,
    lines: Sequence[GlueLine],
    seam: Line,
    across: Sequence[float],
    along: Sequence[float],
    *,
    shop: Shop,
    notes: Notes,
) -> None:
    """Clamps for the line nearest to a face, its pressure spreading at 45° through caul and wood.

    Args:
        step: the glue-up.
        lines: its glue lines.
        seam: the direction of the seams, through the origin.
        across, along: how far the parts reach square to the seams and along them [mm].
        shop: clamps and cauls.
        notes: where findings go.
    """
    clamps = shop.clamps
    if not clamps.count or not lines:
        return
    if step.corner_deg is not None:
        return
    caul = step.caul_mm or clamps.caul_mm
    if caul > clamps.caul_most_mm + TOUCH_MM:
        notes.unsafe(
            "B324",
            f"is pressed over cauls {mm(caul)} deep; the shop makes them up to "
            f"{mm(clamps.caul_most_mm)}",
        )
    low, high = min(across), max(across)
    levels = [seam.side(line.start) for line in lines]
    depth = caul + min(min(level - low, high - level) for level in levels)
    length = max(along) - min(along)
    needed = math.ceil((length - TOUCH_MM) / (2.0 * max(depth, 1.0)))
    if needed > clamps.count:
        notes.unsafe(
            "B323",
            f"is {mm(length)} long and needs {needed} clamps over cauls {mm(caul)} deep; "
            f"the shop has {clamps.count}",
        )
