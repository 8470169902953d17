"""One step of a plan in words a woodworker can act on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from seamwright.design import Drawing
from seamwright.lengths import Unit
from seamwright.papers import HELD, holding_words
from seamwright.pictures import Ruler, degrees
from seamwright.plan import (
    Laminate,
    Machine,
    Mill,
    Plan,
    Resaw,
    SetUp,
    Slice,
    Step,
    Trim,
    glue_lines,
    host,
    long_sticks,
    set_ups,
    settings,
)

_WHAT = {
    Machine.PLANER: "planer at",
    Machine.RIP_FENCE: "rip fence at",
    Machine.SLED: "sled, stop at",
    Machine.RESAW_FENCE: "resaw fence at",
    Machine.CARRIER: "carrier at",
    Machine.SHOOTING_BOARD: "shooting board at",
    Machine.SANDER: "drum sander at",
}
_THING = {
    Machine.PLANER: "planer",
    Machine.RIP_FENCE: "fence",
    Machine.SLED: "stop",
    Machine.RESAW_FENCE: "fence",
    Machine.CARRIER: "carrier's stop",
    Machine.SHOOTING_BOARD: "shooting board's stop",
    Machine.SANDER: "drum sander",
}
_SHORT = {
    Machine.SLED: "sled",
    Machine.CARRIER: "carrier",
    Machine.SHOOTING_BOARD: "shooting board",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class StepWords:
    """A step as it is told.

    Attributes:
        number: from 1.
        title: what is done, to what, how often.
        lines: settings and what to mind, in order.
    """

    number: int
    title: str
    lines: tuple[str, ...]


def step_words(plan: Plan, drawing: Drawing) -> tuple[StepWords, ...]:
    """Every step of a plan in words, in working order; sizes in both units, the drawing's first."""
    ruler = Ruler(unit=drawing.unit)
    return tuple(
        StepWords(
            number=number,
            title=_title(step, drawing, ruler),
            lines=(*_settings(set_ups(step), new, ruler, step), *_minding(step, plan, ruler)),
        )
        for number, (step, new) in enumerate(zip(plan.steps, settings(plan), strict=True), start=1)
    )


def sizes_text(ruler: Ruler, *lengths_mm: float) -> str:
    """Several lengths of one thing, in the leading unit and then in the other.

    >>> sizes_text(Ruler(), 34.925, 22.0)
    '1-3/8″ × 55/64″ (34.9 × 22.0 mm)'
    """
    other = replace(ruler, unit=Unit.MM if ruler.unit is Unit.INCH else Unit.INCH)
    return f"{ruler.sizes(*lengths_mm)} ({other.sizes(*lengths_mm)})"


def _title(step: Step, drawing: Drawing, ruler: Ruler) -> str:
    if isinstance(step, Mill):
        sizes = sizes_text(ruler, step.length_mm, step.width_mm, step.depth_mm)
        return f"Mill {_times(step.count, step.makes)} of {drawing.wood_name(step.wood)}: {sizes}"
    if isinstance(step, Slice):
        each = f", {step.per_bar} from each" if step.bars > 1 else ""
        taken, made = _times(step.bars, step.takes), _times(step.count, step.makes)
        done = f"Saw {taken} apart into" if step.apart else f"Slice {taken} into"
        return f"{done} {made}{each}"
    if isinstance(step, Trim):
        return _trim_title(step)
    if isinstance(step, Laminate):
        each = "each " if step.count > 1 else ""
        return f"Glue up {_times(step.count, step.makes)}, {each}from {_parts(step)}"
    if isinstance(step, Resaw):
        taken, made = _times(step.billets, step.takes), _times(step.count, step.makes)
        return f"Resaw {taken} into {made}: {step.leaves} leaves from each"
    deep = ruler.both(step.depth_mm)
    work = "Sand" if step.set_up.machine is Machine.SANDER else "Plane"
    return f"{work} {_times(step.count, step.takes)} to {step.makes}: {deep} deep"


def _times(count: int, kind: str) -> str:
    return kind if count == 1 else f"{count} × {kind}"


def _many(count: int, thing: str) -> str:
    return f"{count} {thing}" if count == 1 else f"{count} {thing}s"


def _parts(step: Laminate) -> str:
    """The parts of one lamination, each kind once; their order is a drawing, on the sheet."""
    counts = Counter(placed.part for placed in step.parts)
    listed = [f"{count} of {kind}" for kind, count in counts.items()]
    return listed[0] if len(listed) == 1 else ", ".join(listed[:-1]) + " and " + listed[-1]


def _trim_title(step: Trim) -> str:
    if step.each > 1:
        taken = _times(step.count // step.each, step.takes)
        return f"Rip {taken} into {_times(step.count, step.makes)}: {step.each} from each"
    each = " each" if step.count > 1 else ""
    cuts = _many(len(step.cuts), "cut")
    how = HELD[step.hold]
    return f"Trim {_times(step.count, step.takes)} to {step.makes}{how}: {cuts}{each}"


def _settings(wanted: Sequence[SetUp], new: Sequence[SetUp], ruler: Ruler, step: Step) -> list[str]:
    """The settings in one line, then those that are taken from a real part."""
    told = list(dict.fromkeys(wanted))
    if not told:
        return []
    words = "; ".join(
        _setting(set_up, ruler, step) + ("" if set_up in new else ", set already")
        for set_up in told
    )
    matches = dict.fromkeys(
        (set_up.match, _THING[set_up.machine])
        for set_up in told
        if set_up in new and set_up.match not in {"", step.makes}
    )
    return [
        words[0].upper() + words[1:],
        *(f"Set the {thing} from a real {match}, not from a ruler" for match, thing in matches),
    ]


def _setting(set_up: SetUp, ruler: Ruler, step: Step) -> str:
    words = f"{_WHAT[set_up.machine]} {ruler.both(set_up.size_mm)}"
    if isinstance(step, Trim) and step.each == 1:
        holder = "sled" if set_up.machine is Machine.RIP_FENCE else _SHORT[set_up.machine]
        words = f"{holder}, {ruler.both(set_up.size_mm)} stays"
    if set_up.machine in _SHORT and abs(set_up.angle_deg - 90.0) > 1e-6:
        cutter = "plane" if set_up.machine is Machine.SHOOTING_BOARD else "blade"
        words += f", {cutter} at {degrees(set_up.angle_deg)} to the edge"
    return words


def _minding(step: Step, plan: Plan, ruler: Ruler) -> list[str]:
    if isinstance(step, Slice):
        return _slicing(step, plan)
    if isinstance(step, Laminate):
        return _gluing(step, plan, ruler)
    if isinstance(step, Trim):
        rips = _many(step.each - 1, "rip")
        ripping = [f"{rips} through each, the freshly sawn edge to the fence next"]
        return ripping if step.each > 1 else list(holding_words(step, plan.shop, ruler))
    if isinstance(step, Mill) and step.count == 1 and step.makes == plan.board:
        return ["This stick is the board"]
    if isinstance(step, Mill):
        return _milling(step, plan, ruler)
    return []


def _milling(step: Mill, plan: Plan, ruler: Ruler) -> list[str]:
    """What is milled as one long stick and parted."""
    told = []
    if step.is_shared:
        for long in long_sticks(step, plan):
            held = " + ".join(_times(each.count, each.kind) for each in long.holds)
            many = "One long stick" if long.times == 1 else f"{long.times} long sticks"
            each = "" if long.times == 1 else " each"
            told.append(f"{many} of {ruler.about(long.length_mm)}{each}: {held}, parted at marks")
        if step.parted:
            off = " and ".join(host(step, plan))
            told.append(f"{_times(step.parted, step.makes)} parted off the long sticks of {off}")
    elif step.together > 1:
        long = long_sticks(step, plan)[0]
        told.append(
            f"{step.together} milled in one, {ruler.about(long.length_mm)} long, then parted at "
            "marks"
        )
    return told


def _slicing(step: Slice, plan: Plan) -> list[str]:
    cuts = _many(len(step.cuts), "cut")
    if step.apart and not plan.is_filled_row(step.takes):
        each = " through each set" if step.bars > 1 else ""
        return [f"{cuts}{each}; the first and the last take the uneven ends off"]
    if step.apart:
        each = " through each row" if step.bars > 1 else ""
        return [
            f"{cuts}{each}, in the middle of the fillers: the gaps are as wide as the kerf",
            "The first and the last cut take the outer halves of the end fillers off",
        ]
    bars = " along each" if step.bars > 1 else ""
    start = "the end is true already" if step.squared else "the first squares the end"
    lines = [f"{cuts}{bars}; {start}"]
    if step.head_to_tail:
        lines.append("Pieces lie head to tail: the angle changes from cut to cut")
    if step.rest:
        users = plan.users(step.rest)
        later = f", sliced in step {plan.number(users[0].makes)}" if users else ""
        lines.append(f"What remains of the bar is {step.rest}{later}")
    return lines


def _pushing() -> list[str]:
    return [
        "Parts are pushed into corners and close two seams each: dry-fit them first, then press "
        "along the middle of the corner, or with one clamp for each seam",
        "Lay the parts in the order listed",
    ]


def _is_sawn_apart(step: Laminate, plan: Plan) -> bool:
    return any(isinstance(user, Slice) and user.apart for user in plan.users(step.makes))


def _clamped(step: Laminate, plan: Plan) -> str:
    """In how many clampings, and beside what."""
    loads = _many(step.clampings, "clamping")
    each = " each" if step.count > 1 else ""
    if step.beside:
        return f"{each}, in one clamping with {' and '.join(host(step, plan))}, side by side"
    if not step.lots:
        return f" each, {loads} in all" if step.count > 1 else f", {loads}"
    others = dict.fromkeys(h.kind for lot in step.lots for h in lot.holds if h.kind != step.makes)
    last = ", the last" if step.clampings > 1 else ""
    return f"{each}, {loads}{last} together with {' and '.join(others)}, side by side"


def _gluing(step: Laminate, plan: Plan, ruler: Ruler) -> list[str]:
    seams = _many(glue_lines(step), "seam")
    lines = [f"{seams}{_clamped(step, plan)}"]
    if _is_sawn_apart(step, plan) and not plan.is_filled_row(step.makes):
        lines.append("A set of cross strips: its ends stay uneven, they are sawn off")
    elif _is_sawn_apart(step, plan):
        kerf = ruler.both(plan.shop.saws.table_kerf_mm)
        lines.append(
            f"A row: leave a gap of {kerf} between neighbours, and clamp a stop block at each end "
            "so that the end fillers cannot slide out"
        )
    if step.caul_mm:
        lines.append(
            f"Saw a pair of cauls {ruler.both(step.caul_mm)} deep for it: over your own it would "
            f"need more clamps than the {plan.shop.clamps.count} you have"
        )
    if any(placed.at.over for placed in step.parts):
        lines.append("Some parts lie face down: see the sheet")
    if step.corner_deg is not None:
        lines += _pushing()
    elif step.angled:
        lines.append("Outer faces slant: clamp against blocks sawn to the same angle")
    return lines
