"""The fit of a plan in words a woodworker can act on."""

from __future__ import annotations

from collections.abc import Sequence

from seamwright.app.step_words import sizes_text
from seamwright.fit import Advice, Duty, Matter, Relation, Setting, Size, Sort, StackUp, Study, What
from seamwright.lengths import Unit
from seamwright.pictures import Ruler, degrees
from seamwright.plan import Machine

MACHINES = {
    Machine.PLANER: "Planer",
    Machine.RIP_FENCE: "Rip fence",
    Machine.SLED: "Sled",
    Machine.RESAW_FENCE: "Resaw fence",
    Machine.CARRIER: "Carrier",
    Machine.SHOOTING_BOARD: "Shooting board",
    Machine.SANDER: "Drum sander",
}
_ADVICE = {
    Advice.MEASURE: "cut one, measure it with a calliper, correct the setting, then cut the rest",
    Advice.PAIR: "cut a test pair and put the cut faces together: a gap shows twice the error",
    Advice.LONG: "leave 1/32″ (0.8 mm) and trim after the glue-up",
    Advice.PINS: "hold the parts in line with pins or a stop while the clamps close",
}
MODEL_WORDS = (
    "Worked out from your shop file's [accuracy], or its defaults, which are common practice "
    "without a source; measure your own (see 'shop show')."
)


def size_words(size: Size) -> str:
    """A size by name."""
    if size.what == What.WIDTH.value:
        return f"width of {size.part}"
    if size.what == What.LENGTH.value:
        return f"stop for {size.part}"
    return f"cut {size.index + 1} of {size.part}"


def rule_words(rule: Relation) -> str:
    """A relation as a sum.

    >>> a, b = Size("S5", "width"), Size("S4", "width")
    >>> rule_words(Relation(terms=((a, 1.0), (b, -2.0)), places=(), closes=False))
    'width of S5 = 2 × width of S4'
    """
    first, *others = rule.terms
    told = ""
    for size, factor in sorted(others, key=lambda term: term[1]):
        sign = " + " if factor < 0.0 else " − "
        told += (sign if told or sign == " − " else "") + _times(abs(factor)) + size_words(size)
    return f"{size_words(first[0])} = {told.strip() or 'as drawn'}"


def _times(factor: float) -> str:
    if abs(factor - 1.0) < 1e-4:
        return ""
    for root, name in ((2.0, "√2"), (0.5, "√½"), (3.0, "√3")):
        if abs(factor * factor - root) < 1e-4:
            return f"{name} × "
    return f"{factor:.4g} × "


def chain_lines(looked: Study) -> list[str]:
    """Which sizes are free, and which must follow which."""
    lines = [
        f"{rule_words(rule)}  ({_count(len(rule.places), 'point')} "
        f"{'hangs' if len(rule.places) == 1 else 'hang'} on it)"
        for rule in looked.relations.rules
    ]
    free = [
        size_words(size)
        for size in looked.relations.sizes
        if looked.relations.duty(size) is Duty.FREE
    ]
    if free:
        lines.append(f"Nothing hangs on: {', '.join(free)}")
    return lines


def _count(number: int, thing: str) -> str:
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def chance_words(share: float) -> str:
    """A chance as a person says it.

    >>> chance_words(0.0004), chance_words(0.043), chance_words(0.57), chance_words(0.9999)
    ('less than 1 in 100', '4 in 100', '57 in 100', 'more than 99 in 100')
    """
    if share < 0.01:
        return "less than 1 in 100"
    if share > 0.995:
        return "more than 99 in 100"
    return f"{100.0 * share:.0f} in 100"


def stack_lines(stack: StackUp, ruler: Ruler) -> list[str]:
    """What is to be expected before anything is cut."""
    if not stack.points:
        return ["No seams meet inside this board: nothing can miss."]
    gap = small_words(stack.gap_mm, ruler)
    half, most = (small_words(mm, ruler) for mm in stack.worst_mm)
    lines = [
        f"Of {_count(len(stack.points), 'point')} where seams meet, all come within {gap}: "
        f"{chance_words(stack.chance)}",
        f"The widest miss on a board: {half} on half of all boards, up to {most} on 19 in 20",
        f"All joints close to {gap} without planing: {chance_words(stack.chance_closed)}",
    ]
    if stack.matters:
        lines.append("What matters most, and what to do:")
        lines += [f"  {line}" for matter in stack.matters for line in matter_lines(matter, ruler)]
        if len(stack.matters) > 1:
            lines.append(f"With all of this done: {chance_words(stack.chance_advised)}")
    lines.append(
        f"{stack.trials:,} boards tried to first order, {stack.real:,} of them with every cut "
        f"crossed as it would lie; the two differ by {stack.apart_mm:.2f} mm at the most"
    )
    return lines


def matter_lines(matter: Matter, ruler: Ruler) -> list[str]:
    """A setting that matters, and what to do about it."""
    return [
        f"{setting_words(matter.setting, ruler)}: {100.0 * matter.share:.0f} % of all spread",
        f"  {advice_words(matter)} (then all points meet: {chance_words(matter.chance)})",
    ]


def advice_words(matter: Matter) -> str:
    """What to do about a setting."""
    if matter.advice is Advice.GAUGE:
        return f"set the stop from a real {matter.gauge}, not from a ruler"
    return _ADVICE[matter.advice]


def setting_words(setting: Setting, ruler: Ruler) -> str:
    """A setting and the steps it serves."""
    steps = steps_words(setting.steps)
    if setting.sort is Sort.HAND or setting.machine is None:
        return f"Lining up the parts by eye, {steps}"
    machine = MACHINES[setting.machine]
    if setting.sort is Sort.ANGLE:
        return f"{machine} at {degrees(setting.angle_deg)}, the angle itself, {steps}"
    where = f" ({degrees(setting.angle_deg)})" if abs(setting.angle_deg - 90.0) > 1e-6 else ""
    return f"{machine} at {ruler.both(setting.size_mm)}{where}, {steps}"


def steps_words(steps: Sequence[int]) -> str:
    """Step numbers as a list.

    >>> steps_words((3,)), steps_words((1, 2, 8))
    ('step 3', 'steps 1, 2 and 8')
    """
    if len(steps) == 1:
        return f"step {steps[0]}"
    return f"steps {', '.join(map(str, steps[:-1]))} and {steps[-1]}"


def small_words(mm: float, ruler: Ruler) -> str:
    """A small length in both units, finely.

    >>> small_words(0.396875, Ruler()), small_words(1.0, Ruler(unit=Unit.MM))
    ('.016″ (0.40 mm)', '1.00 mm (.039″)')
    """
    inch, metric = f"{mm / 25.4:.3f}″".lstrip("0"), f"{mm:.2f} mm"
    return f"{inch} ({metric})" if ruler.unit is Unit.INCH else f"{metric} ({inch})"


def change_words(old_mm: float, new_mm: float, ruler: Ruler) -> str:
    """An old size and the new one."""
    return f"{sizes_text(ruler, new_mm)} instead of {sizes_text(ruler, old_mm)}"
