"""Will it hold, will it move, is it safe: what is known at once, and what takes elements."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from seamwright.app.situation import Situation
from seamwright.design import Drawing
from seamwright.errors import Fault, SeamwrightError
from seamwright.strength import (
    Finding,
    Glance,
    Progress,
    Soundness,
    Verdict,
    glance,
    soundness,
    worst_first,
)
from seamwright.strength.safety import dust_findings, use_findings
from seamwright.woods import Species, find_species


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundReport:
    """Findings on a board, worst first.

    Attributes:
        drawing: the board.
        situation: what it will meet.
        findings: all that is known so far, worst first.
        glance: seams and through lines from the grain; None where a wood is not known.
        soundness: what the finite elements gave; None before they ran, or where they cannot.
        faults: why they cannot; empty where they can.
    """

    drawing: Drawing
    situation: Situation
    findings: tuple[Finding, ...]
    glance: Glance | None
    soundness: Soundness | None = None
    faults: tuple[Fault, ...] = ()


def sound_glance(
    drawing: Drawing, situation: Situation | None = None, *, own: tuple[Species, ...] = ()
) -> SoundReport:
    """What is known at once: seams, through lines, dust, food and heat.

    Args:
        drawing: the board.
        situation: what it will meet; a heated house and the usual loads if left out.
        own: the user's own woods.
    """
    here = situation or Situation()
    species, faults = _species(drawing, own)
    seen: Glance | None = None
    findings: list[Finding] = []
    if not faults:
        try:
            seen = glance(drawing, species)
            findings += seen.findings
        except SeamwrightError as error:
            faults = error.faults
    findings += dust_findings(species)
    if here.use is None:
        findings.append(_USE_NOT_SAID)
    else:
        findings += use_findings(species, use=here.use, finish=here.finish)
    return SoundReport(
        drawing=drawing,
        situation=here,
        findings=worst_first(findings),
        glance=seen,
        faults=faults,
    )


def sound(
    drawing: Drawing,
    situation: Situation | None = None,
    *,
    own: tuple[Species, ...] = (),
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> SoundReport:
    """Everything: also the seasons and loads, by finite elements.

    What keeps a board from being reckoned is in ``faults`` of the answer, never raised.

    Args:
        drawing: the board.
        situation: what it will meet.
        own: the user's own woods.
        progress: told how far it is.
        cancelled: asked between steps.
    Raises:
        Cancelled: the user stopped it.
    """
    quick = sound_glance(drawing, situation, own=own)
    return reckoned(quick, own=own, progress=progress, cancelled=cancelled)


def reckoned(
    quick: SoundReport,
    *,
    own: tuple[Species, ...] = (),
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> SoundReport:
    """A glance taken further by finite elements; the glance itself where they cannot.

    Raises:
        Cancelled: the user stopped it.
    """
    if quick.faults:
        return quick
    here = quick.situation
    species, _ = _species(quick.drawing, own)
    try:
        found = soundness(
            quick.drawing,
            species,
            built_pct=here.built_pct,
            climates=here.seasons,
            loads=here.loads or None,
            ring_angle_deg=dict(here.ring_angle_deg),
            element_mm=here.element_mm,
            progress=progress,
            cancelled=cancelled,
        )
    except SeamwrightError as error:
        return SoundReport(
            drawing=quick.drawing,
            situation=here,
            findings=quick.findings,
            glance=quick.glance,
            faults=error.faults,
        )
    safety = [finding for finding in quick.findings if finding.code != "T1"]
    return SoundReport(
        drawing=quick.drawing,
        situation=here,
        findings=worst_first([*found.findings, *safety]),
        glance=quick.glance,
        soundness=found,
    )


def _species(
    drawing: Drawing, own: tuple[Species, ...]
) -> tuple[dict[str, Species], tuple[Fault, ...]]:
    """The wood of every letter in use, as far as it is known, and the faults of the others."""
    used = {patch.wood for patch in drawing.patches}
    species: dict[str, Species] = {}
    faults: list[Fault] = []
    for letter, name in drawing.woods:
        if letter in used:
            try:
                species[letter] = find_species(name, own=own)
            except SeamwrightError as error:
                faults += error.faults
    return species, tuple(dict.fromkeys(faults))


_USE_NOT_SAID = Finding(
    code="U1",
    verdict=Verdict.KNOW,
    subject="what the board is for",
    why="was not said, so food, hot dishes and washing were not looked at",
    change="say what it is for: cutting, serving, hot-dishes or display",
)
