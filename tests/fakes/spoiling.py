"""Plans spoilt in every way that we could think of."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from seamwright.plan import (
    Laminate,
    Mill,
    Placed,
    Plan,
    Resaw,
    Slice,
    Step,
    Surface,
    Trim,
)

Spoilt = Iterator[tuple[str, Step]]
SHIFT = 0.2


def spoilt_mill(step: Mill) -> Spoilt:
    yield "wood", replace(step, wood="B" if step.wood == "A" else "A")
    yield "unknown wood", replace(step, wood="Z")
    yield "wider", replace(step, width_mm=step.width_mm + SHIFT)
    yield "narrower", replace(step, width_mm=step.width_mm - SHIFT)
    yield "deeper", replace(step, depth_mm=step.depth_mm + SHIFT)
    yield "too short", replace(step, length_mm=130.0)
    yield "no length", replace(step, length_mm=0.0)


def spoilt_slice(step: Slice) -> Spoilt:
    for i, cut in enumerate(step.cuts[1:], start=1):
        moved = replace(cut, at_mm=cut.at_mm + SHIFT)
        yield f"cut {i} moved", replace(step, cuts=(*step.cuts[:i], moved, *step.cuts[i + 1 :]))
        turned = replace(cut, angle_deg=cut.angle_deg + 0.2)
        yield f"cut {i} turned", replace(step, cuts=(*step.cuts[:i], turned, *step.cuts[i + 1 :]))
    longer = tuple(
        replace(cut, at_mm=cut.at_mm + (i + step.squared) * SHIFT)
        for i, cut in enumerate(step.cuts)
    )
    yield "slice length", replace(step, cuts=longer)
    yield "stop", replace(step, set_up=replace(step.set_up, size_mm=step.set_up.size_mm + 1.0))
    yield "angle set", replace(step, set_up=replace(step.set_up, angle_deg=80.0))
    yield "cut dropped", replace(step, cuts=step.cuts[:-1])
    yield "cuts backwards", replace(step, cuts=step.cuts[::-1])
    yield "bars", replace(step, bars=step.bars + 1)
    yield (
        "past the end",
        replace(step, cuts=tuple(replace(cut, at_mm=cut.at_mm + 240.0) for cut in step.cuts)),
    )
    if step.head_to_tail:
        yield "not turned", replace(step, head_to_tail=False)
    if step.rest:
        yield "rest forgotten", replace(step, rest="")
    if step.apart:
        yield "held by a tail", replace(step, apart=False)


def spoilt_trim(step: Trim) -> Spoilt:
    for i, cut in enumerate(step.cuts):
        for name, changed in (
            ("moved", replace(cut, x_mm=cut.x_mm + SHIFT)),
            ("turned", replace(cut, angle_deg=cut.angle_deg + 0.3)),
            ("the other side", replace(cut, angle_deg=(cut.angle_deg + 180.0) % 360.0)),
        ):
            yield (
                f"cut {i} {name}",
                replace(step, cuts=(*step.cuts[:i], changed, *step.cuts[i + 1 :])),
            )
        yield f"cut {i} dropped", replace(step, cuts=(*step.cuts[:i], *step.cuts[i + 1 :]))


def spoilt_laminate(step: Laminate) -> Spoilt:
    def with_part(i: int, placed: Placed) -> Laminate:
        return replace(step, parts=(*step.parts[:i], placed, *step.parts[i + 1 :]))

    for i, placed in enumerate(step.parts):
        at = placed.at
        yield f"part {i} right", with_part(i, replace(placed, at=replace(at, x_mm=at.x_mm + SHIFT)))
        yield f"part {i} up", with_part(i, replace(placed, at=replace(at, y_mm=at.y_mm + SHIFT)))
        turned = replace(at, turn_deg=at.turn_deg + 0.2)
        yield f"part {i} turned", with_part(i, replace(placed, at=turned))
        yield f"part {i} forgotten", replace(step, parts=(*step.parts[:i], *step.parts[i + 1 :]))
        yield f"part {i} unknown", with_part(i, replace(placed, part="X9"))
        yield f"part {i} twice", replace(step, parts=(*step.parts, placed))
        for j, other in enumerate(step.parts):
            if other.part != placed.part:
                yield f"part {i} is {other.part}", with_part(i, replace(placed, part=other.part))
                if i < j:
                    swapped = list(step.parts)
                    swapped[i] = replace(placed, part=other.part)
                    swapped[j] = replace(other, part=placed.part)
                    yield f"parts {i} and {j} swapped", replace(step, parts=tuple(swapped))
    if step.corner_deg is not None:
        yield (
            "pressed from aside",
            replace(step, seams_deg=step.corner_deg, corner_deg=step.seams_deg),
        )
        yield "only one seam closed", replace(step, corner_deg=None)
        yield "corner turned", replace(step, corner_deg=(step.corner_deg + 10.0) % 180.0)
    yield "no clamping", replace(step, clampings=0)
    yield "seams turned", replace(step, seams_deg=(step.seams_deg + 10.0) % 180.0)
    yield "no parts", replace(step, parts=())


def spoilt(step: Step) -> Spoilt:
    if isinstance(step, Mill):
        yield from spoilt_mill(step)
    elif isinstance(step, Slice):
        yield from spoilt_slice(step)
    elif isinstance(step, Trim):
        yield from spoilt_trim(step)
    elif isinstance(step, Laminate):
        yield from spoilt_laminate(step)
    elif isinstance(step, Resaw):
        yield "leaves", replace(step, leaves=3, count=3)
        yield "fence", replace(step, set_up=replace(step.set_up, size_mm=step.set_up.size_mm + 1))
    elif isinstance(step, Surface):
        yield "thinner", replace(step, depth_mm=step.depth_mm - SHIFT)
        yield "thicker", replace(step, depth_mm=step.depth_mm + 50.0)
        yield "planer", replace(step, set_up=replace(step.set_up, size_mm=step.depth_mm + 1.0))
    yield "count less one", replace(step, count=step.count - 1)
    yield "count below nothing", replace(step, count=-1)
    yield "another name", replace(step, makes="X8")
    yield "no name", replace(step, makes="")
    for size in ("width_mm", "depth_mm"):
        if hasattr(step, size):
            yield f"{size} not a number", replace(step, **{size: float("nan")})


def spoilt_plans(plan: Plan) -> Iterator[tuple[str, Plan]]:
    for i, step in enumerate(plan.steps):
        yield f"step {i + 1} dropped", replace(plan, steps=(*plan.steps[:i], *plan.steps[i + 1 :]))
        yield f"step {i + 1} twice", replace(plan, steps=(*plan.steps[: i + 1], *plan.steps[i:]))
        for name, changed in spoilt(step):
            steps = (*plan.steps[:i], changed, *plan.steps[i + 1 :])
            yield f"step {i + 1} {step.verb} {step.makes}: {name}", replace(plan, steps=steps)
    yield "all backwards", replace(plan, steps=plan.steps[::-1])
    yield "no step", replace(plan, steps=())
    yield "another board", replace(plan, board=plan.steps[0].makes)
    for kerf in (-SHIFT, SHIFT, -10.0, 1e6, float("nan"), float("inf")):
        saws = plan.shop.saws
        wider = replace(
            saws,
            table_kerf_mm=saws.table_kerf_mm + kerf,
            resaw_kerf_mm=saws.resaw_kerf_mm + kerf,
        )
        yield f"kerf {kerf:+}", replace(plan, shop=replace(plan.shop, saws=wider))
