"""What each choice is worth, and what is worth changing, in words and for programs."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict

from seamwright.app.asking import Difference, Near, NearMisses, Why, Worth
from seamwright.app.documents import Document
from seamwright.app.joining import Joined
from seamwright.app.plan_words import hours
from seamwright.app.planning import PlanReport
from seamwright.app.press_words import told_steps
from seamwright.app.step_words import StepWords
from seamwright.design import Resized
from seamwright.geometry import bounds
from seamwright.pictures import Ruler
from seamwright.plan import Laminate, Resaw, Slice, Step, inputs, outputs
from seamwright.planner import Sort

_LITRE_MM3 = 1e6
_SOME_WOOD_MM3 = 5e4
_NAMED = 3
_STRIPS = re.compile(r"(sash|stone|left|right|top|bottom) \d+")


def worth_words(worth: Worth, report: PlanReport) -> str:
    """One choice and what doing without it costs, in a sentence."""
    what = choice_words(worth, report)
    if worth.without is None:
        return f"{what}: none of the other ways compared would do in this shop."
    if worth.without.minutes < -0.5:
        less = hours(-worth.without.minutes)
        return (
            f"{what}: without it the board costs {less} less, for more can be worked in one go "
            "then; that is known only once the choice is made."
        )
    if worth.without.minutes < 0.5:
        return f"{what}: another way costs the same."
    return f"{what}: without it {_costs(worth.without)}."


def choice_words(worth: Worth, report: PlanReport) -> str:
    """What a choice is, with the numbers of its steps."""
    told = {words.number: words for words in told_steps(report)}
    steps = [told[number] for number in choice_steps(worth, report)]
    if worth.decided.sort is Sort.RESAW:
        count = worth.decided.leaves
        return f"Billets of {count} leaves, resawn ({_numbered(steps)})"
    if worth.decided.sort is Sort.STRIP_SET:
        return f"The strip set for {_listed(worth.decided.parts)} ({_numbered(steps)})"
    first = steps[0].title if steps else _listed(worth.decided.parts)
    return f"{first} ({_numbered(steps)})" if steps else first


def choice_steps(worth: Worth, report: PlanReport) -> tuple[int, ...]:
    """Numbers, from 1, of the steps a choice stands behind."""
    plan, parts = report.plan, set(worth.decided.parts)
    numbers = {number for number, step in enumerate(plan.steps, 1) if step.makes in parts}
    before = {kind for number in numbers for kind in inputs(plan.steps[number - 1])}
    if worth.decided.sort is Sort.RESAW:
        numbers |= {n for n, s in enumerate(plan.steps, 1) if s.makes in before and _resaws(s)}
    while before and worth.decided.sort is Sort.STRIP_SET:
        makers = {n for n, s in enumerate(plan.steps, 1) if before & set(outputs(s))}
        numbers |= {n for n in makers if isinstance(plan.steps[n - 1], Laminate)}
        sliced = {n for n in makers if isinstance(plan.steps[n - 1], Slice)}
        before = {kind for n in sliced for kind in inputs(plan.steps[n - 1])}
    return tuple(sorted(numbers))


def near_words(near: Near, ruler: Ruler) -> str:
    """One change and what it saves, in a sentence."""
    return f"{change_words(near.change, ruler)}: saves {_gain(near.saved)}."


def change_words(change: Resized | Joined, ruler: Ruler) -> str:
    """What is to be changed in the drawing.

    The words are the trade's where the patches are sashing, cornerstones or a border.
    """
    if isinstance(change, Joined):
        return _joining(change)
    what = _patches(change.changed)
    if not change.like:
        return f"Bring the seams into line that are {ruler.both(change.was_mm)} apart"
    like = _patches(change.like)
    return (
        f"Make {what} {ruler.both(change.to_mm)} instead of {ruler.both(change.was_mm)}, "
        f"like {like}"
    )


def _joining(change: Joined) -> str:
    """Seams that are left out, with one of the pieces that come of it."""
    goes = _count(-change.seams, "seam")
    how = "end to end, aslant or side by side" if change.along else "end to end or aslant"
    one = _patches(change.pieces[0])
    return (
        f"Make one piece of what is of one wood and one grain and meets {how} "
        f"({goes}, such as {one})"
    )


def board_change(near: Near, report: PlanReport, ruler: Ruler) -> str:
    """What becomes of the board's size."""
    was, now = (bounds(d.outline) for d in (report.drawing, near.change.drawing))
    sizes = [(box[2] - box[0], box[3] - box[1]) for box in (was, now)]
    if max(abs(a - b) for a, b in zip(*sizes, strict=True)) < 1e-6:
        return "The board keeps its size."
    return f"The board becomes {ruler.sizes(*sizes[1])} instead of {ruler.sizes(*sizes[0])}."


def why_lines(why: Why) -> Iterator[str]:
    """What each choice is worth, the most first, as it stands in a terminal."""
    yield "What each choice of the plan is worth: it is forbidden, and all the rest chosen again."
    yield ""
    firm = [worth for worth in why.worths if worth.without is not None]
    if not firm:
        yield "  Every choice is without another way."
    for worth in firm:
        yield f"  {worth_words(worth, why.report)}"
    only = [part for worth in why.worths if worth.without is None for part in worth.decided.parts]
    if only:
        yield ""
        yield f"No other of the ways compared makes {_listed(sorted(only, key=_by_number))}."
    yield ""
    if not all(worth.without.sure for worth in firm if worth.without):
        yield "Some of it is the best found in the time given; more time may lessen the figures."
    yield "Minutes are your shop's, wood at its worth."
    yield "Worths do not add up: two choices may stand in for each other."
    yield "Every plan compared was carried out on virtual wood and makes the drawing."


def near_lines(misses: NearMisses) -> Iterator[str]:
    """Changes worth making, the largest gain first, as they stand in a terminal."""
    ruler = Ruler(unit=misses.report.drawing.unit)
    if not misses.found:
        tried = _tried(misses.tried) if misses.tried else "no sizes come so near"
        yield f"No small change makes this board cheaper to build ({tried})."
        return
    for near in misses.found:
        yield near_words(near, ruler)
        yield f"  {board_change(near, misses.report, ruler)}"
    yield ""
    yield f"{_tried(misses.tried)}, each carried out on virtual wood."
    yield "Write a changed design with: seamwright near FILE --take 1 --write NEW.toml"


def why_document(why: Why) -> Document:
    """What ``seamwright why --json`` prints."""
    return {
        "schema": 1,
        "cost": why.report.best.cost,
        "choices": [
            {
                "sort": worth.decided.sort.value,
                "parts": list(worth.decided.parts),
                "leaves": worth.decided.leaves,
                "steps": list(choice_steps(worth, why.report)),
                "words": worth_words(worth, why.report),
                "without": None if worth.without is None else asdict(worth.without),
            }
            for worth in why.worths
        ],
    }


def near_document(misses: NearMisses) -> Document:
    """What ``seamwright near --json`` prints."""
    ruler = Ruler(unit=misses.report.drawing.unit)
    return {
        "schema": 1,
        "cost": misses.report.best.cost,
        "tried": misses.tried,
        "changes": [
            {
                "words": near_words(near, ruler),
                **_changed(near.change),
                "cost": near.report.best.cost,
                "saved": asdict(near.saved),
                "design": near.text,
            }
            for near in misses.found
        ],
    }


def _changed(change: Resized | Joined) -> Document:
    """What is changed, for programs."""
    if isinstance(change, Joined):
        names = [name for piece in change.pieces for name in piece]
        return {"sort": "seams", "was_mm": None, "to_mm": None, "patches": names, "like": []}
    return {
        "sort": "size",
        "was_mm": change.was_mm,
        "to_mm": change.to_mm,
        "patches": list(change.changed),
        "like": list(change.like),
    }


def _tried(number: int) -> str:
    return "1 change was planned" if number == 1 else f"{number} changes were planned"


def _resaws(step: Step) -> bool:
    return isinstance(step, Resaw)


def _costs(more: Difference) -> str:
    """What a plan costs more than ours: minutes, then what else differs."""
    words = f"the board costs {hours(more.minutes)} more"
    also = [
        _count(more.glue_ups, "glue-up"),
        _count(more.set_ups, "set-up"),
        _wood(more.wood_mm3),
    ]
    listed = [one for one in also if one]
    return f"{words} ({', '.join(listed)})" if listed else words


def _count(number: int, thing: str) -> str:
    if not number:
        return ""
    plural = thing if abs(number) == 1 else thing + "s"
    return f"{abs(number)} {'more' if number > 0 else 'fewer'} {plural}"


def _wood(more_mm3: float) -> str:
    if abs(more_mm3) < _SOME_WOOD_MM3:
        return ""
    return f"{abs(more_mm3) / _LITRE_MM3:.1f} l {'more' if more_mm3 > 0 else 'less'} wood"


def _gain(saved: Difference) -> str:
    """What is saved, then what it costs, where it costs anything."""
    gains = [hours(saved.minutes)]
    costs: list[str] = []
    for number, thing in ((saved.glue_ups, "glue-up"), (saved.set_ups, "set-up")):
        if number:
            plural = thing if abs(number) == 1 else thing + "s"
            (gains if number > 0 else costs).append(f"{abs(number)} {plural}")
    if abs(saved.wood_mm3) >= _SOME_WOOD_MM3:
        wood = f"{abs(saved.wood_mm3) / _LITRE_MM3:.1f} l of wood"
        (gains if saved.wood_mm3 > 0 else costs).append(wood)
    text = _listed(gains)
    if costs:
        text += f" for {_listed(costs)} more"
    return text if saved.sure else f"{text} (best found in the time given)"


def _patches(names: Sequence[str]) -> str:
    """Patches by what they are, or by name."""
    strips = {match[1] for match in map(_STRIPS.fullmatch, names) if match}
    if len([name for name in names if _STRIPS.fullmatch(name)]) == len(names):
        if strips == {"sash"}:
            return "the sashing"
        if strips == {"stone"}:
            return "the cornerstones"
        if "sash" not in strips and "stone" not in strips:
            return "the border" + (f" ({_listed(sorted(strips))})" if len(strips) < 4 else "")
    shown = [f"patch {name}" if name.isdigit() else name for name in names[:_NAMED]]
    more = len(names) - len(shown)
    return _listed([*shown, f"{more} more"] if more else shown)


def _by_number(part: str) -> tuple[str, int]:
    return (part.rstrip("0123456789"), int(re.sub(r"\D", "", part) or 0))


def _numbered(steps: Sequence[StepWords]) -> str:
    numbers = [str(step.number) for step in steps]
    return f"{'step' if len(numbers) == 1 else 'steps'} {_listed(numbers)}"


def _listed(words: Iterable[str]) -> str:
    listed = list(words)
    return listed[0] if len(listed) == 1 else ", ".join(listed[:-1]) + " and " + listed[-1]
