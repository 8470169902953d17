"""Whether a part that is trimmed is large enough for what holds it: sled, long end, jig or hand."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from seamwright.bench.model import Piece, Solid
from seamwright.bench.notes import Notes, mm
from seamwright.bench.shapes import longest_mm, thinnest_mm
from seamwright.bench.tolerance import TOUCH_MM
from seamwright.geometry import distance
from seamwright.plan import Hold, Shop, Trim


def check_trimming(
    step: Trim, part: Solid, made: Solid, last_off: Sequence[Piece], *, shop: Shop, notes: Notes
) -> None:
    """A part to be trimmed against the least its way of holding allows.

    Args:
        step: the step.
        part, made: before and after.
        last_off: what falls off with the last cut.
        shop: limits and jigs.
        notes: where findings go.
    """
    small, depth = shop.small_parts, shop.saws.table_depth_mm
    if step.hold is Hold.SLED:
        _check_size(part, shop.limits.part_min_mm, f"is trimmed from {part.kind}", "sled", notes)
    elif step.hold is Hold.LONG_END:
        _check_long_end(step, made, last_off, shop, notes)
    elif step.hold is Hold.CARRIER:
        depth -= small.carrier_base_mm
        _check_jig(small.carriers, "carrier", notes)
        _check_size(part, small.carrier_min_mm, f"is trimmed from {part.kind}", "carrier", notes)
    else:
        depth = small.hand_depth_mm
        _check_jig(small.shooting_boards, "shooting board", notes)
        _check_size(made, small.hand_min_mm, "is shot by hand", "shooting board", notes)
        long = max(distance(a, b) for a, b in pairwise((*made.hull, made.hull[0])))
        if long > small.hand_long_mm + TOUCH_MM:
            notes.unsafe(
                "B316",
                f"has an edge of {mm(long)} shot by hand; the shooting board takes "
                f"{mm(small.hand_long_mm)}",
            )
    if part.depth_mm > depth + TOUCH_MM:
        what = "the plane covers" if step.hold is Hold.HAND else "the saw cuts"
        what += " in the carrier" if step.hold is Hold.CARRIER else ""
        notes.unsafe(
            "B312",
            f"is trimmed from {part.kind}, {mm(part.depth_mm)} deep; {what} {mm(depth)}",
        )


def _check_size(part: Solid, least_mm: float, is_worked: str, holder: str, notes: Notes) -> None:
    thin = thinnest_mm(part.hull)
    if thin < least_mm - TOUCH_MM:
        notes.unsafe(
            "B311",
            f"{is_worked}, {mm(thin)} at its thinnest; the {holder} holds parts from "
            f"{mm(least_mm)}",
        )


def _check_jig(count: int, name: str, notes: Notes) -> None:
    if count < 1:
        notes.unsafe("B313", f"needs a {name}; the shop has none")


def _check_long_end(
    step: Trim, made: Solid, last_off: Sequence[Piece], shop: Shop, notes: Notes
) -> None:
    """The blank is held by what the last cut takes off, so that must be as long as a bar's tail."""
    held = longest_mm(tuple(p for piece in last_off for p in piece.points)) if last_off else 0.0
    least = shop.allowances.tail_mm
    if held < least - TOUCH_MM:
        notes.unsafe(
            "B314",
            f"is cut off {step.takes} with {mm(held)} left to hold; the shop keeps {mm(least)}",
        )
    thin = thinnest_mm(made.hull)
    if thin < shop.limits.slice_min_mm - TOUCH_MM:
        notes.unsafe(
            "B315",
            f"is cut off {step.takes} and is {mm(thin)} at its thinnest; the sled needs at least "
            f"{mm(shop.limits.slice_min_mm)}",
        )
