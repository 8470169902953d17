"""What bars of a profile save: sticks milled as one, several bars in one clamping."""

from __future__ import annotations

import math
from collections import Counter

from seamwright.plan import Shop
from seamwright.planner.options import Bar
from seamwright.planner.settings import sections


def alike(bar: Bar, depth_mm: float, shop: Shop) -> tuple[tuple[int, float], ...]:
    """Sections that several sticks of a bar have: how many, minutes saved by each parted off."""
    m, extra, kerf = shop.minutes, shop.allowances, shop.saws.table_kerf_mm
    if depth_mm > shop.saws.table_depth_mm + 1e-9:
        return ()
    rough = 2.0 * extra.rough_face_mm
    found = []
    for strip, count in Counter(sections(bar)).items():
        wood = (strip.width_mm + rough) * (depth_mm + rough) * m.wood_litre / 1e6
        saved = m.stick - m.slice + wood * (extra.rough_length_mm - kerf)
        if count > 1 and saved > 0.0:
            found.append((count, saved))
    return tuple(found)


def parting(same: tuple[tuple[int, float], ...], shop: Shop) -> tuple[tuple[int, float], ...]:
    """(sticks milled as one, longest bar for which they fit [mm]), from two on."""
    limits, kerf = shop.limits, shop.saws.table_kerf_mm
    rows = []
    for together in range(2, max((count for count, _ in same), default=1) + 1):
        longest = (limits.stick_length_mm + kerf) / together - kerf
        if longest < limits.stick_min_length_mm - 1e-9:
            break
        rows.append((together, longest))
    return tuple(rows)


def bars_in_a_clamping(bar: Bar, shop: Shop) -> int:
    """Strip sets side by side in one clamping: as many as clamps and open time allow."""
    limits = shop.limits
    by_reach = int(limits.clamp_reach_mm // bar.height_mm)
    return max(1, min(by_reach, limits.seams_per_glue_up // (len(bar.strips) - 1)))


def most_bars(room_mm: float, pitch_mm: float, pitches_mm: set[float]) -> int:
    """Bars that are sure to hold slices of a total pitch [mm], laid on bars one after the other.

    One pitch alone: as many as fit. Several: a bar has less than the longest to spare, and two
    neighbouring bars together hold more than the room of one.
    """
    if pitch_mm <= room_mm + 1e-6:
        return 1
    sure = max(room_mm - max(pitches_mm), room_mm / 2.0)
    if len(pitches_mm) == 1:
        (pitch,) = pitches_mm
        sure = pitch * int((room_mm + 1e-6) / pitch)
    return max(2, math.ceil(pitch_mm / sure - 1e-9))
