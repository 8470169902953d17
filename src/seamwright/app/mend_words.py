"""What measured sizes change, in words a woodworker can act on."""

from __future__ import annotations

from collections.abc import Sequence

from seamwright.app.fit_words import chance_words, small_words, steps_words
from seamwright.app.fitting import FitReport
from seamwright.app.making_again import wood_lines
from seamwright.app.mending import Change, Mended, Verdict
from seamwright.app.thick_words import deep_lines
from seamwright.fit import Remake, Shortage, ShortBar, Spare, planned_mm
from seamwright.pictures import Ruler

_HEADS = {
    Verdict.AS_PLANNED: "Nothing has to change.",
    Verdict.MENDED: "The rest of the plan is chosen again. Carried out on virtual wood with the "
    "measured sizes, it makes the board.",
    Verdict.NEARLY: "What is made does not quite match. The rest is chosen so that it shows least; "
    "it cannot be proven, because some faces stay open: plane them flush before gluing.",
    Verdict.REMAKE: "This cannot be mended by what is still to be cut.",
    Verdict.LOST: "This cannot be mended, and no one or two steps made again would do. "
    "Begin again with what was cut first.",
}


def mended_lines(report: FitReport, ruler: Ruler) -> list[str]:
    """What changes now, and what that costs in accuracy."""
    mended = report.mended
    if mended is None:
        return []
    lines = [_HEADS[mended.verdict]]
    if mended.refused:
        lines.append(f"Why: {mended.refused}")
    lines += [change_words(change, ruler) for change in mended.changes]
    for bar in mended.rewritten.bars if mended.rewritten else ():
        lines += bar_lines(bar, ruler)
    lines += _cost_lines(report, mended, ruler)
    drawn_mm = planned_mm(report.plan)[report.plan.board]
    lines += deep_lines(mended, report.thick_now, drawn_mm, ruler)
    if mended.remake is not None:
        lines.append(remake_words(mended.remake))
    lines += [line for short in mended.shortages for line in shortage_lines(short, ruler)]
    if report.wood:
        lines.append("Wood for what is made again:")
        lines += [f"  {line}" for line in wood_lines(report.wood, ruler)]
    return lines


def bar_lines(bar: ShortBar, ruler: Ruler) -> list[str]:
    """A bar that is too short for all its slices, and what to do about it."""
    told = (
        f"Step {bar.step}: the bar {bar.bar} is {small_words(bar.short_mm, ruler)} too short for "
        f"all its slices; cut {bar.each} of {bar.part} from it"
    )
    if not bar.missing:
        return [f"{told}; there are spares enough"]
    lines = [f"{told}, and {bar.missing} from a new bar, in the same settings:"]
    lines += [
        f"  mill {stick.count} of {stick.makes}, {ruler.both(stick.length_mm)} long and "
        f"{ruler.both(stick.width_mm)} wide"
        for stick in bar.sticks
    ]
    return lines


def change_words(change: Change, ruler: Ruler) -> str:
    """One setting that changes."""
    return (
        f"Step {change.step}, {change.part}: {change.what} {ruler.both(change.new_mm)} "
        f"instead of {ruler.both(change.old_mm)}"
    )


def _cost_lines(report: FitReport, mended: Mended, ruler: Ruler) -> list[str]:
    found = mended.resolved
    if found is None:
        return []
    lines = []
    if mended.border_mm > 0.02 and mended.rewritten is not None:
        lines.append(f"The border takes it up: up to {small_words(mended.border_mm, ruler)}")
    if found.widest_mm > 0.005:
        x, y = found.where
        lines.append(
            f"Widest miss of points that should meet: {small_words(found.widest_mm, ruler)}, "
            f"{ruler.both(x)} from the left and {ruler.both(y)} up"
        )
    if found.open_mm > 0.005:
        lines.append(f"Widest opening of a joint: {small_words(found.open_mm, ruler)}")
    if found.outline_mm > 0.02:
        lines.append(
            f"The board comes out up to {small_words(found.outline_mm, ruler)} off its drawn size"
        )
    if report.chance is not None and mended.verdict is not Verdict.REMAKE:
        lines.append(
            f"All points come within {small_words(mended.gap_mm, ruler)} now: "
            f"{chance_words(report.chance)}; as planned it was {chance_words(report.stack.chance)}"
        )
    return lines


def remake_words(remake: Remake) -> str:
    """The least to make again."""
    return (
        f"Least to make again: {steps_words(remake.steps)}, about {remake.minutes:.0f} minutes "
        "with new sticks and their wood; then it can be mended"
    )


def shortage_lines(short: Shortage, ruler: Ruler) -> list[str]:
    """What to do about parts that were lost."""
    if not short.short:
        return [f"Step {short.step}, {short.part}: {short.lost} lost, the rest is enough"]
    told = f"Step {short.step}, {short.part}: {short.short} missing"
    if short.from_tail:
        told += f"; {short.from_tail} can be sliced from what remains of the bar"
    lines = [told]
    for kind, count, length in short.sticks:
        lines.append(f"  mill {count} more of {kind}, {ruler.both(length)} long")
    if short.sticks:
        lines.append(f"  {short.wood_mm3 / 1e6:.2f} litres of rough wood")
    return lines


def spare_lines(spares: Sequence[Spare]) -> list[str]:
    """What to make more of beforehand."""
    wanted = [spare for spare in spares if spare.more]
    if not wanted:
        return ["What the plan makes is enough 19 times in 20"]
    return [
        f"{spare.part} (step {spare.step}): {spare.more} more than the {spare.made} planned; "
        f"as planned there are enough {chance_words(spare.chance)}"
        for spare in wanted
    ]
