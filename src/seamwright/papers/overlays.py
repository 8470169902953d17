"""From finished face to finished board: backing, press, flush-trimming and sanding, in words."""

from __future__ import annotations

import math
from dataclasses import dataclass

from seamwright.design import Drawing
from seamwright.pictures import Ruler, backing_picture, degrees, svg
from seamwright.plan import Backed, Gluing, Plan, face_press


@dataclass(frozen=True, slots=True, kw_only=True)
class BackingStep:
    """One step after the face is made.

    Attributes:
        title: what is done.
        lines: how, in order.
        cautions: what to look out for.
        becomes: what there is afterwards.
        cauls: pairs of cauls, in the press; else 0.
    """

    title: str
    lines: tuple[str, ...]
    cautions: tuple[str, ...]
    becomes: str
    cauls: int = 0


def backing_steps(plan: Plan, ruler: Ruler, gluing: Gluing) -> tuple[BackingStep, ...]:
    """The steps that come after the last of the plan's; none where the pattern runs through."""
    backed = plan.backed
    if backed is None:
        return ()
    count = f"{plan.copies} × " if plan.copies > 1 else ""
    return (
        _cut(backed, count, plan, ruler),
        _press(backed, count, plan, ruler, gluing),
        _flush(backed, count, ruler),
        _sand(backed, count, plan, ruler),
    )


def _cut(backed: Backed, count: str, plan: Plan, ruler: Ruler) -> BackingStep:
    size = ruler.sizes(backed.wide_mm, backed.high_mm, backed.depth_mm)
    proud = ruler.both(plan.shop.overlays.proud_mm)
    lines = [f"It stands out {proud} beyond the face all round and is trimmed flush later"]
    if backed.grain_deg is None:
        lines.append("A panel: flat, clean, sanded through any gloss so that glue takes")
    elif backed.core is not None:
        made = plan.number(backed.core)
        lines.append(
            f"Glued up in step {made}, grain {_way(backed.grain_deg)}: let it rest with the face "
            "in the same room for a week or more"
        )
    else:
        lines.append(
            f"Solid wood, grain {_way(backed.grain_deg)}: glue it up wide enough, plane it flat "
            "and let it rest with the face in the same room for a week or more; these steps do not "
            "make it"
        )
    veneer = ruler.both(backed.counter_mm)
    if backed.counter is not None:
        made = plan.number(backed.counter)
        lines.append(f"The balancing veneer for its other side is {backed.counter}, of step {made}")
    else:
        lines.append(
            f"Buy the balancing veneer for its other side as a sheet, about {veneer} thick, and "
            "cut it to the size of the backing, its grain the way most of the face runs"
        )
    title = f"Cut the backing, {count}{backed.material}: {size}"
    if backed.core is not None:
        title = f"Lay out the backing, {count}{backed.material}: {size}"
    return BackingStep(
        title=title,
        lines=tuple(lines),
        cautions=("Large panels: support both ends of the cut; guard and riving knife on.",),
        becomes="the backing, over-size",
    )


def _press(
    backed: Backed, count: str, plan: Plan, ruler: Ruler, gluing: Gluing
) -> BackingStep:  # fmt: skip
    press = face_press(backed, plan.shop, gluing)
    caul = ruler.both(plan.shop.clamps.caul_mm)
    platen = ruler.both(plan.shop.overlays.platen_mm)
    pairs = f"{press.cauls} pair{'s' if press.cauls > 1 else ''} of cauls {caul} deep"
    return BackingStep(
        title=f"Press {count}face and balancing veneer to the backing",
        lines=(
            f"{pairs} across the shorter side, over a flat platen {platen} deep above and below: "
            f"{press.clamps} clamps, one at either end of each pair",
            f"About {math.ceil(press.glue_g)} g of glue{' for each' if count else ''}, rolled thin "
            "on the backing only; both sides in one go, so that it stays flat",
            "Waxed paper between platen and wood; pin the face in two corners outside its edge so "
            "that it cannot swim",
            "Tighten from the middle pair outwards; leave it in the press as the glue's label says",
        ),
        cautions=("Gloves for glue. The stack is heavy: lift it with two, mind fingers.",),
        becomes="the face on its backing",
        cauls=press.cauls,
    )


def _flush(backed: Backed, count: str, ruler: Ruler) -> BackingStep:
    return BackingStep(
        title=f"Trim {count}backing and veneer flush with the face",
        lines=(
            "Against the face's own edge: a bearing-guided flush bit, or a block plane and a fine "
            "saw; ends across the grain first, so that a chipped corner comes off with the sides",
            f"The board is then {ruler.both(backed.thick_mm)} thick in all, once it is sanded",
        ),
        cautions=(
            "Router: feed against the turn of the bit, board clamped down, guard and dust hood on; "
            "light cuts. Its manual goes before these lines.",
        ),
        becomes="the board at its outline",
    )


def _sand(backed: Backed, count: str, plan: Plan, ruler: Ruler) -> BackingStep:
    off = ruler.both(plan.shop.overlays.finish_mm)
    return BackingStep(
        title=f"Sand {count}face to its thickness, {ruler.both(backed.face_mm)}",
        lines=(
            f"{off} was left for this: no more, the face is thin; count your passes and look at "
            "the edge",
            "Grain that runs several ways shows scratches: end with a fine grit and a hand block",
        ),
        cautions=("Dust collection and a mask; see which of your woods irritate.",),
        becomes="the finished board",
    )


def _way(grain_deg: float) -> str:
    return {90.0: "up", 0.0: "across"}.get(grain_deg) or f"at {degrees(grain_deg)}"


def backing_cards(
    plan: Plan, drawing: Drawing, *, ruler: Ruler, gluing: Gluing, room_mm: float
) -> list[dict[str, object]]:
    """The steps as the layout of the bench sheets shows them."""
    backed = plan.backed
    if backed is None:
        return []
    steps = backing_steps(plan, ruler, gluing)
    first, last = len(plan.steps) + 1, len(plan.steps) + len(steps)
    cards: list[dict[str, object]] = []
    for number, step in enumerate(steps, start=first):
        picture = backing_picture(
            backed,
            drawing.outline,
            step.cauls,
            ruler=ruler,
            width_mm=room_mm,
            height_mm=84.0 if step.cauls else 62.0,
        )
        cards.append(
            {
                "number": str(number),
                "title": step.title,
                "makes": f"{plan.copies} × board",
                "drawing": {"svg": svg(picture), "alt": picture.title, "width": picture.width_mm},
                "settings": _settings(step),
                "inset": None,
                "compact": False,
                "doing": [f"{line}." for line in step.lines],
                "cautions": step.cautions,
                "ticks": [{"name": "done", "count": min(plan.copies, 60)}],
                "blanks": [],
                "becomes": step.becomes,
                "next": "" if number == last else f"used in step {number + 1}",
            }
        )
    return cards


def _settings(step: BackingStep) -> list[dict[str, str]]:
    if not step.cauls:
        return []
    pairs = f"{step.cauls} pair{'s' if step.cauls > 1 else ''}"
    return [
        {"name": "cauls, over and under", "first": pairs, "second": "", "note": ""},
        {"name": "clamps", "first": str(2 * step.cauls), "second": "or more", "note": ""},
    ]
