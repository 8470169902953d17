"""Which slices come off which bar."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from seamwright.planner.problem import Pool, bars_needed


@dataclass(frozen=True, slots=True)
class Wanted:
    """Slices wanted from a pool.

    Attributes:
        node: number of the node they become.
        pitch_mm: bar used up by one [mm].
        count: how many.
    """

    node: int
    pitch_mm: float
    count: int


Load = tuple[tuple[int, int], ...]
"""(node, slices) along one bar, in cutting order."""


def pack(pool: Pool, wanted: Sequence[Wanted]) -> list[tuple[Load, int]]:
    """Share slices out over as few bars as were paid for, as evenly as they go.

    Args:
        pool: the bars.
        wanted: slices in cutting order; their node numbers differ.
    Returns:
        (load, how many bars have it); the loads together are exactly what is wanted.
    """
    total = sum(w.pitch_mm * w.count for w in wanted)
    bars = bars_needed(pool, total)
    if bars <= 1:
        return [(tuple((w.node, w.count) for w in wanted), 1)]
    # two neighbouring bars together hold more than the room of one, and every bar but the last has
    # less than the longest slice to spare: cutting order needs no more bars than were paid for
    low, high = max(total / bars, *(w.pitch_mm for w in wanted)), pool.room_mm
    best = _filled(wanted, high)
    for _ in range(40):
        middle = (low + high) / 2.0
        trial = _filled(wanted, middle)
        if len(trial) <= len(best):
            best, high = trial, middle
        else:
            low = middle
    counted: dict[Load, int] = {}
    for load in best:
        counted[load] = counted.get(load, 0) + 1
    return list(counted.items())


def _filled(wanted: Sequence[Wanted], room_mm: float) -> list[Load]:
    """Fill one bar after the other in cutting order; every slice has room in an empty one."""
    loads: list[Load] = []
    current: list[tuple[int, int]] = []
    left = room_mm
    for want in wanted:
        rest = want.count
        while rest:
            fits = min(rest, int(left / want.pitch_mm + 1e-9))
            if fits:
                current.append((want.node, fits))
                left -= fits * want.pitch_mm
                rest -= fits
            if rest:
                loads.append(tuple(current))
                current, left = [], room_mm
    loads.append(tuple(current))
    return loads
