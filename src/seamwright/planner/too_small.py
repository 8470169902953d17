"""What to say of a piece that nothing in the shop holds: how small it is, and what would do."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from seamwright.plan import Hold, Shop
from seamwright.planner.cells import up
from seamwright.planner.holding import longest_edge_mm
from seamwright.planner.options import Kind, TrimDown


def hand_least_mm(made: Kind, shop: Shop, depth_mm: float) -> float:
    """Smallest side of such a part that the shop finishes by hand [mm]; infinite where it does
    not."""
    small = shop.small_parts
    large = (
        depth_mm > small.hand_depth_mm + 1e-9
        or longest_edge_mm(made.hull) > small.hand_long_mm + 1e-9
    )
    return math.inf if large or not small.shooting_boards else small.hand_min_mm


def too_small(
    made: Kind, over: Kind, shop: Shop, allowance_mm: float, depth_mm: float
) -> tuple[str, str]:
    """What is wrong with a piece too small to be trimmed, and the nearest size that would work.

    Args:
        made, over: the piece, and the block it would be trimmed from.
        shop: limits and jigs.
        allowance_mm: wood round the outline that both hold besides what is drawn.
        depth_mm: of both.
    """
    small = over.narrowest_mm
    least = shop.limits.part_min_mm
    routes = [
        _Route("", True, least - allowance_mm, small - allowance_mm),
        *_other_routes(made, over, shop, allowance_mm, depth_mm),
    ]
    limits = "".join(f", {route.limit}" for route in routes if route.limit)
    message = (
        f"is trimmed from a block {small:.1f} mm wide; parts under {least:.1f} mm are not trimmed "
        f"at the saw{limits}"
    )
    best = min(routes, key=lambda route: route.times)
    times = math.ceil(best.times * 100.0) / 100.0
    larger = "" if math.isinf(times) else f"make it {times:.2f} times as large, or "
    if limits:
        wanted = up(best.least_mm + allowance_mm)
        return message, f"{larger}move the seams round it so that it {best.has(wanted)}"
    return message, (
        f"{larger}if your sled holds smaller parts safely, lower limits.part_min to "
        f"{math.floor(small * 10.0) / 10.0:.1f} mm; a carrier or a shooting board in the shop file "
        "([small_parts]) holds smaller ones"
    )


@dataclass(frozen=True, slots=True)
class _Route:
    """One way of holding a part.

    Attributes:
        limit: what it does not hold, in words.
        of_block: whether the block it is trimmed from counts, not the piece itself.
        least_mm, now_mm: the least it holds and what the piece has [mm], as drawn.
    """

    limit: str
    of_block: bool
    least_mm: float
    now_mm: float

    def has(self, wanted: str) -> str:
        """What the piece must be, in words."""
        if self.of_block:
            return f"comes from a block {wanted} mm wide"
        return f"is {wanted} mm at its narrowest"

    @property
    def times(self) -> float:
        return self.least_mm / self.now_mm if self.now_mm > 0.0 else math.inf


def _other_routes(
    made: Kind, over: Kind, shop: Shop, allowance_mm: float, depth_mm: float
) -> Iterator[_Route]:
    limits, small = shop.limits, shop.small_parts
    narrow = made.narrowest_mm - allowance_mm
    if any(isinstance(o, TrimDown) and o.hold is Hold.LONG_END for o in made.options):
        least = limits.slice_min_mm
        words = f"under {least:.1f} mm not cut off a longer blank"
        yield _Route(words, False, least - allowance_mm, narrow)
    if small.carriers and depth_mm <= shop.saws.table_depth_mm - small.carrier_base_mm + 1e-9:
        # the block itself is ripped and sliced first
        least = max(small.carrier_min_mm, limits.stick_min_width_mm, limits.slice_min_mm)
        words = f"under {least:.1f} mm not in the carrier"
        block = over.narrowest_mm - allowance_mm
        yield _Route(words, True, least - allowance_mm, block)
    least = hand_least_mm(made, shop, depth_mm)
    if not math.isinf(least):
        words = f"under {least:.1f} mm not shot by hand"
        yield _Route(words, False, least - allowance_mm, narrow)
