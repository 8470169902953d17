"""Clamps and glue in words: for each glue-up, and for the whole plan."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from seamwright.app.planning import PlanReport
from seamwright.app.step_words import StepWords, step_words
from seamwright.papers import backing_steps
from seamwright.pictures import Ruler
from seamwright.plan import Laminate, Pressing, face_press, pressing


def told_steps(report: PlanReport) -> tuple[StepWords, ...]:
    """Every step of a plan in words, glue-ups with their clamps and glue, a backing at the end."""
    ruler = Ruler(unit=report.drawing.unit)
    parts = dict(report.shelf.solids)
    told = list(step_words(report.plan, report.drawing))
    for i, step in enumerate(report.plan.steps):
        if isinstance(step, Laminate):
            pressed = pressing(step, parts, report.gluing)
            lines = press_lines(step, pressed, report.gluing.clamps, ruler)
            told[i] = replace(told[i], lines=(*told[i].lines, *lines))
    later = backing_steps(report.plan, ruler, report.gluing)
    told += [
        StepWords(number=number, title=step.title, lines=step.lines)
        for number, step in enumerate(later, start=len(told) + 1)
    ]
    return tuple(told)


def press_lines(step: Laminate, pressed: Pressing, on_hand: int, ruler: Ruler) -> Iterator[str]:
    """What one clamping of a glue-up takes."""
    each = "for each, " if step.count > 1 else ""
    glue = f"about {grams(pressed.glue_g)} of glue"
    if pressed.end_grain:
        glue += "; size the end grain first"
    if not pressed.clamps:
        yield f"Glue: {each}{glue}"
        return
    clamps = f"{pressed.clamps} {'clamp' if pressed.clamps == 1 else 'clamps'} or more"
    yield (
        f"{each.capitalize()}{clamps}, cauls {ruler.both(pressed.caul_mm)} deep: pressure spreads "
        f"at 45° from the clamp to the nearest glue line; {glue}"
    )
    if pressed.clamps > on_hand:
        deep = ruler.both(pressed.caul_for(on_hand))
        yield (
            f"You have {on_hand} clamps: with cauls {deep} deep or more they do; or press the "
            "middle first and move on"
        )


def glue_words(report: PlanReport) -> str:
    """Glue for the whole plan, in a line."""
    parts = dict(report.shelf.solids)
    total = sum(
        step.count * pressing(step, parts, report.gluing).glue_g
        for step in report.plan.steps
        if isinstance(step, Laminate)
    )
    if report.plan.backed is not None:
        press = face_press(report.plan.backed, report.plan.shop, report.gluing)
        total += report.plan.copies * press.glue_g
    extra = f"{report.gluing.extra_pct:g} %"
    return f"about {grams(total)} of glue, with {extra} more than stays in the lines"


def grams(weight_g: float) -> str:
    """A weight as it is measured out: whole grams, tens above a hundred.

    >>> grams(3.2), grams(147.0), grams(1234.0)
    ('4 g', '150 g', '1240 g')
    """
    step = 1.0 if weight_g < 100.0 else 10.0
    return f"{-(-weight_g // step) * step:.0f} g"
