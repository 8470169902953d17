"""The board moved, the use of its seams, and its through lines, as pictures."""

from __future__ import annotations

from os import PathLike
from pathlib import Path

from seamwright.app import keeping
from seamwright.app.sounding import SoundReport
from seamwright.pictures import looks
from seamwright.pictures.moved import moved_svg
from seamwright.pictures.seam_use import Shown, seam_use_svg
from seamwright.pictures.through import through_svg
from seamwright.woods import Species


def sound_pictures(
    report: SoundReport, *, own: tuple[Species, ...] = ()
) -> tuple[tuple[str, str], ...]:
    """Name and SVG of every picture; without finite elements only that of the through lines.

    Args:
        report: what was found.
        own: the user's own woods, for their colours.
    """
    drawing, found = report.drawing, report.soundness
    colours = {letter: look.fill for letter, look in looks(drawing.woods, own=own).items()}
    made: list[tuple[str, str]] = []
    if found is not None:
        for number, season in enumerate(found.seasons):
            picture = moved_svg(drawing, found, season=number, colours=colours)
            made.append((f"moved-{number + 1}-{_slug(season.name)}", picture))
        made += [
            (f"seams-{shown.value}", seam_use_svg(drawing, found, shown=shown, colours=colours))
            for shown in Shown
        ]
    if report.glance is not None:
        seen = report.glance
        picture = through_svg(
            drawing,
            seen.through,
            colours=colours,
            up=seen.bridged_up,
            across=seen.bridged_across,
        )
        made.append(("through-lines", picture))
    return tuple(made)


def write_pictures(
    report: SoundReport, folder: str | PathLike[str], *, own: tuple[Species, ...] = ()
) -> tuple[Path, ...]:
    """Write them: all or none; those of an earlier check in the folder are replaced.

    Raises:
        FileError: they cannot be written; the folder is then as it was.
    """
    files = [(f"{name}.svg", text.encode()) for name, text in sound_pictures(report, own=own)]
    return keeping.write_set(folder, files, kind=keeping.Set.PICTURES)


def _slug(name: str) -> str:
    """A name for a file: letters and figures, joined by hyphens.

    >>> _slug("heated house, winter")
    'heated-house-winter'
    """
    kept = "".join(letter if letter.isascii() and letter.isalnum() else " " for letter in name)
    return "-".join(kept.lower().split())[:40]
