"""How a part is held while it is trimmed, in words: sled, long end, carrier, or by hand."""

from __future__ import annotations

from seamwright.pictures import Ruler
from seamwright.plan import Hold, Shop, Trim

HELD = {
    Hold.SLED: "",
    Hold.LONG_END: " while it is still long",
    Hold.CARRIER: " in the carrier",
    Hold.HAND: " by hand",
}
"""What a heading adds."""


def holding_words(step: Trim, shop: Shop, ruler: Ruler) -> tuple[str, ...]:
    """What holds a part and how it is worked, in order; nothing for the sled."""
    if step.hold is Hold.LONG_END:
        return (
            "Hold the blank by its long end, clamped to the sled, for every cut; the last cut "
            "frees the part",
        )
    if step.hold is Hold.CARRIER:
        return (
            "Too small for the sled alone: set the carrier's fence and stop to the part, close "
            "both toggle clamps on it; carrier and part pass the blade together",
        )
    if step.hold is Hold.HAND:
        over = ruler.both(shop.small_parts.hand_over_mm)
        return (
            f"Too small for the saw's jigs: saw {over} outside the line with a fine hand saw at a "
            "bench hook, or at the band saw where its manual allows a part this small",
            "Then plane to the line on the shooting board, the part against its stop or against a "
            "block sawn to the angle; light cuts, a sharp iron",
        )
    return ()
