"""The usual cautions at each machine, short; the machine's manual rules.

All are common practice. Nothing here replaces the manual, local codes or training.
"""

from __future__ import annotations

from seamwright.geometry import angle_between
from seamwright.pictures import Ruler, Solid, box
from seamwright.plan import Hold, Laminate, Machine, Mill, Resaw, Shop, Slice, Step, Surface, Trim

GENERAL = (
    "Read and follow the manual of each machine and your local rules; they overrule these sheets.",
    "Keep every guard, riving knife and hold-down in place. If a cut seems to need a guard off, "
    "do not make that cut: find another way.",
    "Wear eye and ear protection, collect the dust, and know which of your woods irritate.",
    "Unplug before changing a blade. Wait for the blade to stop before you reach in.",
    "If you are not used to a cut, have someone who is show you first.",
)

MILLING = (
    "Nothing shorter than the machine's least length over jointer or planer; mill long, cut later.",
    "Push blocks at the jointer; a push stick at the rip fence; stand out of the line of kickback.",
)

_SANDING = (
    "Drum sander: thin passes, dust collection on and a mask; hands stay out of the infeed; never "
    "anything shorter or thinner than its manual allows.",
)
_NARROW_MM = 38.1
"""Rips narrower than 1-1/2 in are for the push stick (common practice)."""
_MIXED_DEG = 5.0
_SMALL_MM = 76.2
"""About 3 in: hands stay at least this far from a cutter (common practice)."""


def for_step(step: Step, taken: Solid | None, shop: Shop, ruler: Ruler) -> tuple[str, ...]:
    """What to look out for at one step.

    Args:
        step: the step.
        taken: the part it takes, None for milling and glue-ups.
        shop: limits of its machines.
        ruler: how sizes are written.
    """
    if isinstance(step, Mill):
        return _milling(step, ruler)
    if isinstance(step, Slice):
        return _slicing(step, taken, ruler)
    if isinstance(step, Trim):
        return _trimming(step, taken, ruler)
    if isinstance(step, Resaw):
        return (
            "Tall fence and feather board. Push block for the last stretch, hands off the line "
            "of the blade. Guides just above the wood.",
        )
    if isinstance(step, Surface):
        sanded = step.set_up.machine is Machine.SANDER
        return _SANDING if sanded else _planing(taken, shop, ruler)
    assert isinstance(step, Laminate)
    return ("Gloves for glue, and mind fingers between bar and wood.",)


def _milling(step: Mill, ruler: Ruler) -> tuple[str, ...]:
    parting = (
        ("Parting: long end held against the fence of the sled, the far end carried; no stop.",)
        if step.together > 1 or step.is_shared
        else ()
    )
    if step.width_mm >= _NARROW_MM:
        return parting
    return (
        *parting,
        f"Narrower than {ruler.about(_NARROW_MM)}: push stick, never fingers, between fence and "
        "blade; or rip it off on the free side, the wide part against the fence.",
    )


def _slicing(step: Slice, taken: Solid | None, ruler: Ruler) -> tuple[str, ...]:
    told = ["Hold-down on the bar; the stop must be clear of the piece once it is cut off."]
    if step.set_up.size_mm < _SMALL_MM:
        told.append(
            f"Small pieces: hands at least {ruler.about(_SMALL_MM)} from the blade; "
            "let the blade stop before you pick one up."
        )
    if taken is not None and box(taken)[2] - box(taken)[0] < 305.0:
        told.append(f"The bar is short (under {ruler.about(304.8)}): clamp it to the sled.")
    return tuple(told)


def _trimming(step: Trim, taken: Solid | None, ruler: Ruler) -> tuple[str, ...]:
    if step.hold is Hold.HAND:
        return (
            "Hand saw: part held against the bench hook, fingers behind the saw. Band saw: guides "
            "just above the wood, a push stick, and only as small as its manual allows.",
            "Plane away from the hand that holds the part; a sharp iron cuts fingers too.",
        )
    if step.hold is Hold.CARRIER:
        return (
            "Carrier: both clamps tight, hands on its handles only, guard and riving knife as the "
            "saw's manual says; let the blade stop before you open the clamps.",
        )
    if step.hold is Hold.LONG_END:
        return (
            f"Long end clamped to the sled; hands at least {ruler.about(_SMALL_MM)} from the "
            "blade. The freed part lies still until the blade has stopped: never reach for it.",
        )
    if step.each > 1:
        return (
            "Riving knife and guard on, push stick for the last hand's width; never stand in line "
            "with the part between fence and blade.",
        )
    told = ["Sled with the part clamped or held down; offcut free to fall away, never trapped."]
    if taken is not None:
        x0, y0, x1, y1 = box(taken)
        if min(x1 - x0, y1 - y0) < 2.0 * _SMALL_MM:
            told.append(
                f"Small part: hold it with a toggle clamp, hands {ruler.about(_SMALL_MM)} away."
            )
    return tuple(told)


def _is_mixed(solid: Solid) -> bool:
    """Whether the grain of a part runs more than one way."""
    first = solid.pieces[0].grain_deg
    return any(angle_between(piece.grain_deg, first) > _MIXED_DEG for piece in solid.pieces)


def _planing(taken: Solid | None, shop: Shop, ruler: Ruler) -> tuple[str, ...]:
    told = ["Light passes, both faces in turn. Scrape off all dry glue first."]
    if taken is not None:
        x0, y0, x1, y1 = box(taken)
        least = shop.limits.stick_min_length_mm
        if max(x1 - x0, y1 - y0) < least:
            told.append(
                f"Shorter than {ruler.about(least)}: not through the planer by itself; "
                "use a drum sander, a carrier with stops, or a hand plane."
            )
    if taken is not None and _is_mixed(taken):
        told.append("Grain does not run the feed way everywhere: expect tear-out, or sand instead.")
    return tuple(told)
