"""Thickness in words: what planing will meet, and what measured thicknesses change."""

from __future__ import annotations

from seamwright.app.fit_words import MACHINES, chance_words, small_words, steps_words
from seamwright.app.mending import Mended
from seamwright.fit import Cause, FewerLeaves, Thickness
from seamwright.pictures import Ruler
from seamwright.plan import Plan

_SHOWN_MM = 0.02


def thick_lines(thick: Thickness, plan: Plan, ruler: Ruler) -> list[str]:
    """Whether all faces come clean when they are planed."""
    if not thick.flattenings:
        return ["Nothing is planed after gluing."]
    lines = []
    for planing in thick.flattenings:
        half, most = (small_words(mm, ruler) for mm in planing.least_mm)
        step = small_words(planing.uneven_mm[1], ruler)
        lines.append(
            f"Step {planing.step}, {planing.part}: the plan leaves "
            f"{small_words(planing.planned_mm, ruler)} for both faces; {half} is needed on half of "
            f"all boards, up to {most} on 19 in 20. Pieces of one face stand up to {step} apart, "
            f"which ends as shavings. It comes clean: {chance_words(planing.chance)}"
        )
    if len(thick.flattenings) > 1:
        lines.append(f"Every face comes clean: {chance_words(thick.chance)}")
    lines += [cause_words(cause, ruler) for cause in thick.causes]
    if thick.more_mm > _SHOWN_MM:
        face = plan.shop.allowances.plane_face_mm + thick.more_mm / 2.0
        lines.append(
            f"Mill the sticks {small_words(thick.more_mm, ruler)} thicker (plane_face = {face:.2f} "
            "under [allowances] in your shop file): then all faces come clean on 19 boards in 20"
        )
    return lines


def cause_words(cause: Cause, ruler: Ruler) -> str:
    """One thing that helps."""
    then = f"(then: {chance_words(cause.chance)})"
    if cause.setting is None:
        return f"Press parts flat on the bed with cauls before the clamps are tight {then}"
    up = cause.setting.set_up
    return (
        f"{MACHINES[up.machine]} at {ruler.both(up.size_mm)}, {steps_words(cause.setting.steps)}: "
        f"plane or saw one, measure it with a calliper, correct the setting {then}"
    )


def deep_lines(
    mended: Mended, thick_now: Thickness | None, drawn_mm: float, ruler: Ruler
) -> list[str]:
    """What measured thicknesses change."""
    lines = []
    deep = mended.deep
    if deep is not None and deep.board_mm < drawn_mm - _SHOWN_MM:
        lines.append(
            f"The board can still come out {ruler.both(deep.board_mm)} thick "
            f"instead of {ruler.both(drawn_mm)}"
        )
    if mended.thicker is not None:
        lines.append(
            f"For the thickness that was drawn make again: {steps_words(mended.thicker.steps)}, "
            f"about {mended.thicker.minutes:.0f} minutes with new sticks and their wood"
        )
    lines += [
        f"{kind} is {small_words(proud, ruler)} thicker than what it is glued to: keep the show "
        "faces flush, the back is planed off"
        for kind, proud in (deep.proud if deep is not None else ())
    ]
    lines += [leaves_words(billet, ruler) for billet in mended.leaves]
    if thick_now is not None and thick_now.flattenings and lines:
        lines.append(f"Every face comes clean now: {chance_words(thick_now.chance)}")
    return lines


def leaves_words(billet: FewerLeaves, ruler: Ruler) -> str:
    """A billet that is too shallow, and what it still gives."""
    told = (
        f"Step {billet.step}: for all its leaves as planned a billet must be "
        f"{ruler.both(billet.deep_mm)} deep"
    )
    if not billet.leaves:
        return f"{told}; this one gives none of that thickness"
    return (
        f"{told}. Sawn into {billet.leaves} instead, they are as thick as planned; "
        f"{billet.missing} are then missing: write down how many you have"
    )
