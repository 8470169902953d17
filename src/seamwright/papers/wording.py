"""The words on the sheets: short, in the order of work, as one woodworker tells another."""

from __future__ import annotations

from collections import Counter

from seamwright.design import Drawing
from seamwright.papers.holding import HELD, holding_words
from seamwright.papers.templates.shapes import blocks_of
from seamwright.pictures import Ruler, Solid, Solids, box, degrees
from seamwright.plan import (
    ClampingBlock,
    Hold,
    Laminate,
    LongStick,
    Machine,
    Mill,
    Plan,
    Resaw,
    Slice,
    Step,
    Surface,
    Trim,
    host,
    inputs,
    long_sticks,
)

_HANDHOLD_MM = 25.0
"""A remainder shorter than this is only an offcut."""


def title(step: Step, drawing: Drawing) -> str:
    """A step's heading."""
    if isinstance(step, Mill):
        return f"Mill {step.makes} of {drawing.wood_name(step.wood)}"
    if isinstance(step, Slice):
        return f"{'Saw apart' if step.apart else 'Slice'} {step.takes} into {step.makes}"
    if isinstance(step, Trim):
        ripped = f"Rip {step.takes} into {step.makes}"
        return ripped if step.each > 1 else f"Trim {step.takes} to {step.makes}{HELD[step.hold]}"
    if isinstance(step, Laminate):
        return f"Glue up {step.makes}"
    if isinstance(step, Resaw):
        return f"Resaw {step.takes} into {step.makes}"
    work = "Sand" if step.set_up.machine is Machine.SANDER else "Plane"
    return f"{work} {step.takes} to {step.makes}"


def used_in(plan: Plan, kind: str) -> tuple[int, ...]:
    """Numbers of the steps that use a kind up, from 1."""
    return tuple(n for n, step in enumerate(plan.steps, start=1) if kind in inputs(step))


def part_size(solid: Solid, ruler: Ruler) -> str:
    """Width by height by depth, in the leading unit."""
    x0, y0, x1, y1 = box(solid)
    return ruler.sizes(x1 - x0, y1 - y0, solid.depth_mm)


def doing(
    step: Step, *, plan: Plan, drawing: Drawing, solids: Solids, ruler: Ruler
) -> tuple[str, ...]:
    """The work of a step, in order."""
    if isinstance(step, Mill):
        return _milling(step, plan, drawing, ruler)
    if isinstance(step, Slice):
        return _slicing(step, plan, solids[step.takes], ruler)
    if isinstance(step, Trim):
        return _trimming(step, plan, ruler)
    if isinstance(step, Laminate):
        return _gluing(step, plan, solids, ruler)
    if isinstance(step, Resaw):
        return _resawing(step, ruler)
    sanded = step.set_up.machine is Machine.SANDER
    return _sanding(step, ruler) if sanded else _planing(step, ruler)


def _milling(step: Mill, plan: Plan, drawing: Drawing, ruler: Ruler) -> tuple[str, ...]:
    allow = plan.shop.allowances
    wood = drawing.wood_name(step.wood)
    wide = ruler.about(step.width_mm + 2.0 * allow.rough_face_mm)
    longs = long_sticks(step, plan)
    if not longs:
        off = " and ".join(host(step, plan))
        return (
            f"Comes off the long sticks of {off}: part {step.count} × {step.makes} there, "
            f"{ruler.first(step.length_mm)} long. Chalk the arrow and “{step.makes}” on each.",
        )
    cut = []
    for long in longs:
        rough = ruler.about(long.length_mm + allow.rough_length_mm)
        cut.append(f"{long.times} {_pieces(long.times)} of {wood}, rough {rough} long")
    told = (
        f"Cut {', and '.join(cut)}, {wide} wide, grain along the length.",
        "Joint one face and one edge square to it; plane to depth, then rip to width. Ends need "
        f"not be square yet. Chalk the arrow and “{step.makes}” on every show face.",
    )
    if step.is_shared:
        return (*told, *_marking(step, longs, plan, ruler))
    if step.together == 1:
        return told
    return (
        *told,
        f"Mark off {step.count} × {step.makes}, each {ruler.first(step.length_mm)} long, with a "
        "saw kerf between two; chalk arrow and name on each, then part at the marks. Where the "
        "wood at hand is shorter, mill them one by one.",
    )


def _marking(step: Mill, longs: tuple[LongStick, ...], plan: Plan, ruler: Ruler) -> tuple[str, ...]:
    """How long sticks for several kinds are marked off and parted."""
    lengths = {s.makes: s.length_mm for s in plan.steps if isinstance(s, Mill)}
    told = []
    for long in longs:
        held = ", then ".join(
            f"{h.count} × {h.kind}, {ruler.first(lengths[h.kind])} long" for h in long.holds
        )
        told.append(f"{_on(long, longs)}{held}")
    return (
        f"Mark off, a saw kerf between two: {'; '.join(told)}. Chalk arrow and name on each before "
        "you part them at the marks. Where the wood at hand is shorter, mill them one by one.",
        *(
            [f"{step.parted} more come off the long sticks of {' and '.join(host(step, plan))}."]
            if step.parted
            else []
        ),
    )


def _on(long: LongStick, longs: tuple[LongStick, ...]) -> str:
    if len(longs) == 1 and long.times == 1:
        return ""
    many = "each" if len(longs) == 1 else "one" if long.times == 1 else f"each of {long.times}"
    return f"on {many} "


def _slicing(step: Slice, plan: Plan, bar: Solid, ruler: Ruler) -> tuple[str, ...]:
    tail = box(bar)[2] - step.cuts[-1].at_mm
    cuts = len(step.cuts)
    if step.apart:
        return _sawing_apart(step, plan)
    told = [
        "Chalk the triangle over the whole bar and one arrow on each slice, as drawn, "
        "before the first cut.",
        "Reference edge to the fence, show face up. "
        + ("The end is true already." if step.squared else "Cut 1 takes off the end."),
    ]
    start = 1 if step.squared else 2
    first = f"Cuts {start} to {cuts}:" if cuts > start else f"Cut {start}:"
    if step.second_set_up is not None:
        told.append(
            f"{first} change between the two settings after every cut, or set two stops; the cuts "
            "lean as drawn, and each one frees one piece."
        )
    elif step.head_to_tail:
        told.append(
            f"{first} before every cut roll the bar over about its length; fence and angle "
            "stay. The cuts then lean to and fro as drawn, and each one frees one piece."
        )
    else:
        told.append(f"{first} end against the stop; each one frees one {step.makes}.")
    if step.bars > 1:
        told.append(f"The same for all {step.bars} bars, without touching the stop.")
    if step.rest:
        following = used_in(plan, step.rest)
        number = f"in step {following[0]}" if following else "later"
        told.append(f"What remains of the bar is {step.rest}: it is sliced on {number}.")
    elif tail > _HANDHOLD_MM:
        told.append(f"The tail, about {ruler.about(tail)}, stays uncut: it keeps your hands away.")
    told.append("Stack the slices in the triangle's order.")
    return tuple(told)


def _sawing_apart(step: Slice, plan: Plan) -> tuple[str, ...]:
    cuts = len(step.cuts)
    if not plan.is_filled_row(step.takes):
        return (
            "A straight long edge to the fence, show face up. Chalk arrow and triangle on every "
            "part first.",
            f"Cut 1 takes the uneven end off. Cuts 2 to {cuts}: end against the stop; each one "
            f"frees one {step.makes}.",
            "Hold down the part you keep; the last offcut is small: never reach for it.",
        )
    return (
        "Long edge to the fence, show face up. Chalk arrow and triangle on every part first.",
        "Cut 1 takes the outer halves of the end fillers off.",
        f"Cuts 2 to {cuts}: end against the stop, set from a real part; the blade runs in the gap "
        "and parts the fillers in the middle.",
        "Hold down the part you keep; the last offcut is small: never reach for it.",
    )


def _trimming(step: Trim, plan: Plan, ruler: Ruler) -> tuple[str, ...]:
    if step.each > 1:
        return (
            "Chalk the triangle over the whole lamination, and an arrow on each part that comes "
            "off. Show face up, the edge that is true against the rip fence.",
            f"Rip {step.makes} off at the fence, {step.each - 1} "
            f"time{'' if step.each == 2 else 's'}, always the freshly sawn edge to the fence next; "
            f"what is left over is the last {step.makes}.",
            "The last one must come out as wide as the first: measure it, and leave the fence.",
        )
    held = holding_words(step, plan.shop, ruler)
    told = ["Show face up, arrow as drawn.", *(f"{words}." for words in held)]
    if step.hold is Hold.LONG_END:
        last = len(step.cuts)
        first = f"Cuts 1 to {last - 1} shape the end; " if last > 1 else ""
        told.append(f"{first}{'c' if first else 'C'}ut {last} is the last one and frees the part.")
    elif len(step.cuts) == 1:
        told.append("Cut along the line; the grey part falls away.")
    else:
        told.append(
            f"Cuts 1 to {len(step.cuts)} in order; the grey parts fall away. Make one cut on all "
            "parts before you change the setting."
        )
    told.append(
        "“What stays” is measured square to the cut. Test the first one against its neighbour "
        "before you cut the rest."
    )
    return tuple(told)


def _gluing(step: Laminate, plan: Plan, solids: Solids, ruler: Ruler) -> tuple[str, ...]:
    if step.corner_deg is not None:
        return _pushing(step, plan, solids, ruler)
    over = sum(1 for placed in step.parts if placed.at.over)
    sawn_apart = any(isinstance(user, Slice) and user.apart for user in plan.users(step.makes))
    told = [
        f"Lay {len(step.parts)} parts out dry as drawn, every arrow as shown" + _face_down(over),
        "Dry fit: joints closed by hand, edges flush. Then chalk the triangle over all parts."
        if not sawn_apart
        else "Dry fit: joints closed by hand. The ends stay uneven, as drawn: they are sawn off. "
        "Then chalk the triangle over all parts.",
        "Glue, bring together in the triangle's order, press flat with cauls, clamp across.",
        "Wipe, leave in the clamps as the glue's label says; scrape before you machine.",
    ]
    if step.caul_mm:
        told.insert(
            2,
            f"Saw a pair of straight cauls {ruler.both(step.caul_mm)} deep: over shallower ones "
            f"your {plan.shop.clamps.count} clamps do not press the whole line.",
        )
    needed = blocks_of(step, solids)
    if needed:
        told.insert(2, f"Clamping blocks from offcuts: {_blocks(needed, ruler)}.")
    if step.is_shared:
        told.insert(0, _beside(step, plan))
    elif step.count > 1:
        equal = f"{step.count} equal glue-ups."
        if step.clampings < step.count:
            side = -(-step.count // step.clampings)
            equal += f" {side} side by side in a clamping, waxed paper between them."
        told.insert(0, equal)
    return tuple(told)


def _beside(step: Laminate, plan: Plan) -> str:
    """What lies in the clamps beside a strip set of another kind."""
    equal = f"{step.count} equal glue-ups. " if step.count > 1 else ""
    if not step.lots:
        first = " and ".join(host(step, plan))
        number = plan.number(host(step, plan)[0])
        return f"{equal}Clamped beside {first}, in step {number}: glue it in the same go."
    lots = [
        f"{f'{lot.times} times ' if lot.times > 1 else ''}"
        + " and ".join(f"{held.count} × {held.kind}" for held in lot.holds)
        for lot in step.lots
    ]
    return (
        f"{equal}In the clamps lie, waxed paper between them: {'; then '.join(lots)}. "
        "Spread and lay out all of it before the first clamp is tightened."
    )


def _pushing(step: Laminate, plan: Plan, solids: Solids, ruler: Ruler) -> tuple[str, ...]:
    """Parts pushed into corners, one by one or as the fillers of a row."""
    over = sum(1 for placed in step.parts if placed.at.over)
    row = any(isinstance(user, Slice) and user.apart for user in plan.users(step.makes))
    told = [
        f"Lay {len(step.parts)} parts out dry as drawn, every arrow as shown" + _face_down(over),
        "Dry fit: every pushed part must close both its seams by hand. Plane or re-cut now, "
        "not with glue on.",
    ]
    if row:
        gap = ruler.both(plan.shop.saws.table_kerf_mm)
        told.append(
            f"Leave a gap of {gap}, the width of the kerf, between neighbours: spacers of that "
            "thickness, waxed, taken out before the glue sets."
        )
        told.append(
            "Glue both slopes of every filler and push it home. A straight caul along the row, a "
            "stop block clamped at each end so that the end fillers cannot slide out."
        )
    else:
        told.append(
            "Glue both faces of the corner, push the part home along its middle; one clamp along "
            "the arrows, or one for each seam."
        )
    needed = blocks_of(step, solids)
    if needed:
        told.append(f"Clamping blocks from offcuts: {_blocks(needed, ruler)}.")
    told.append("Wipe, leave in the clamps as the glue's label says; scrape before you machine.")
    if step.count > 1:
        told.insert(0, f"{step.count} equal glue-ups.")
    return tuple(told)


def _blocks(needed: tuple[ClampingBlock, ...], ruler: Ruler) -> str:
    """Equal blocks together: how many, their slope, how long and high."""
    counted = Counter(block.size for block in needed)
    return "; ".join(
        f"{count} at {degrees(lean)}, {ruler.sizes(long, high)}"
        for (lean, long, high), count in counted.items()
    )


def _face_down(over: int) -> str:
    if not over:
        return "."
    return (
        "; the one with a dashed arrow lies face down."
        if over == 1
        else f"; the {over} with a dashed arrow lie face down."
    )


def _resawing(step: Resaw, ruler: Ruler) -> tuple[str, ...]:
    return (
        "Draw the slanted line over the edge: leaves laid back in order show it whole.",
        f"Fence at {ruler.first(step.set_up.size_mm)}; the same reference face to the fence, "
        "planed again before each cut if it needs it.",
        f"Saw {step.leaves} leaves from each billet; chalk arrow and number on each show face.",
    )


def _planing(step: Surface, ruler: Ruler) -> tuple[str, ...]:
    return (
        "Scrape off glue. About the same off each face, in light passes.",
        f"All {step.count} at the same last setting, {ruler.both(step.depth_mm)}."
        if step.count > 1
        else f"Last setting {ruler.both(step.depth_mm)}.",
        "Chalk the arrow again where the planer took it.",
    )


def _sanding(step: Surface, ruler: Ruler) -> tuple[str, ...]:
    return (
        "Scrape off glue. Too thin for the planer: through the drum sander on a flat carrier "
        "board, held by a strip glued ahead of it or by double-sided tape.",
        f"Both faces in turn, in light passes; last setting {ruler.both(step.depth_mm)}"
        + (f", all {step.count} at the same one." if step.count > 1 else "."),
        "Chalk the arrow again where the sander took it.",
    )


def _pieces(count: int) -> str:
    return "piece" if count == 1 else "pieces"
