"""The verb "papers": everything for the bench, in one folder."""

from __future__ import annotations

from collections.abc import Callable
from os import PathLike
from pathlib import Path

from seamwright.app import keeping
from seamwright.app.planning import PlanReport
from seamwright.app.situation import Situation
from seamwright.app.sound_words import hand_cautions
from seamwright.app.sounding import sound
from seamwright.papers import Page, Part, Progress, Sound, never, silent, write_set

FOR_THE_BENCH = frozenset(
    {Part.SHEETS, Part.SOUNDNESS, Part.TEMPLATES, Part.LABELS, Part.LISTS, Part.DRAWING}
)
"""What is printed unless told otherwise."""


def papers(
    report: PlanReport,
    folder: str | PathLike[str],
    *,
    page: Page = Page.LETTER,
    parts: frozenset[Part] = FOR_THE_BENCH,
    situation: Situation | None = None,
    progress: Progress = silent,
    cancelled: Callable[[], bool] = never,
) -> tuple[Path, ...]:
    """Write the papers of a plan: all of them, or none.

    Args:
        report: a plan that holds.
        folder: where; made where it is not there.
        page: paper in the printer.
        parts: what is wanted.
        situation: what the board will meet, for its page "Will it hold".
        progress: told the share done and what is being done.
        cancelled: asked now and then whether to stop.
    Returns:
        The files, in reading order.
    Raises:
        FileError: they cannot be written; the folder is then as it was.
        Cancelled: the user stopped it; nothing is written.
    """
    sheet = sound_sheet(report, parts, situation, progress=progress, cancelled=cancelled)
    files = [
        (handout.name, handout.data)
        for handout in write_set(
            report.plan,
            report.drawing,
            shelf=report.shelf,
            page=page,
            parts=parts,
            own=report.own,
            sound=sheet,
            progress=progress,
            cancelled=cancelled,
        )
    ]
    return keeping.write_set(folder, files)


def sound_sheet(
    report: PlanReport,
    parts: frozenset[Part],
    situation: Situation | None,
    *,
    progress: Progress = silent,
    cancelled: Callable[[], bool] = never,
) -> Sound | None:
    """What stands on the page "Will it hold"; None where that page is not wanted.

    Raises:
        Cancelled: the user stopped it.
    """
    if Part.SOUNDNESS not in parts:
        return None
    found = sound(report.drawing, situation, own=report.own, progress=progress, cancelled=cancelled)
    return Sound(
        situation=found.situation.words,
        findings=found.findings,
        soundness=found.soundness,
        faults=found.faults,
        cautions=hand_cautions(report),
    )
