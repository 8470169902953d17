"""Whether a board holds, as the screens show it: verdicts, pictures, sums, woods side by side."""

from __future__ import annotations

from seamwright.app.documents import Document
from seamwright.app.planning import PlanReport
from seamwright.app.sound_pictures import sound_pictures
from seamwright.app.sound_words import hand_cautions, sentence
from seamwright.app.sounding import SoundReport
from seamwright.pictures import looks
from seamwright.strength import Finding, Verdict, worst_first
from seamwright.woods import Certainty, Quantity, Species, find_species, sources

_NAMES = {"seams-moisture": "Asked by moisture", "seams-load": "Asked by loads",
          "through-lines": "Through lines"}  # fmt: skip
_COMPARED = (
    Quantity.TANGENTIAL_COEFFICIENT,
    Quantity.RADIAL_COEFFICIENT,
    Quantity.GRAVITY_12,
    Quantity.BENDING_MODULUS,
    Quantity.BENDING_STRENGTH,
    Quantity.TENSION_ACROSS,
    Quantity.SHEAR_ALONG,
    Quantity.SIDE_HARDNESS,
)


def verdicts_view(report: SoundReport, plan: PlanReport | None = None) -> list[Document]:
    """The verdicts, worst first, each with what it lights in the drawing.

    Args:
        report: what was found.
        plan: a plan whose small parts and traps are to be sorted in.
    """
    cautions = hand_cautions(plan) if plan else ()
    return [_verdict(finding, report) for finding in worst_first([*report.findings, *cautions])]


def _change(mm: float) -> str:
    """A change with its sign; none where it rounds to nothing.

    >>> _change(2.84), _change(-2.6), _change(-0.01)
    ('+2.8', '−2.6', '0.0')
    """
    told = f"{mm:+.1f}"
    return told[1:] if told[1:] == "0.0" else told.replace("-", "−")


def worst_words(report: SoundReport, most: int) -> list[str]:
    """The worst verdicts in a line each, for beside the drawing."""
    bad = [f for f in report.findings if f.verdict.rank < Verdict.KNOW.rank]
    told = [f"{sentence(finding.verdict.value)}: {finding.subject}" for finding in bad[:most]]
    if len(bad) > most:
        told.append(f"and {len(bad) - most} more")
    if report.soundness is not None:
        moves = [_change(mm) for s in report.soundness.seasons for mm in s.change_mm]
        widths, heights = ", ".join(moves[::2]), ", ".join(moves[1::2])
        told.append(f"Width moves by {widths} mm, height by {heights} mm with the seasons")
        if all(finding.code[0] not in "MLO" for finding in bad):
            told.insert(0, "Holds in the seasons and loads tried")
    return told


def through_view(report: SoundReport) -> list[Document]:
    """The through lines, barest first, for the drawing screen."""
    if report.glance is None:
        return []
    return [
        {
            "start": list(line.start),
            "end": list(line.end),
            "words": f"long grain bridges {100.0 * line.bridged:.0f} %: {line.advice}",
        }
        for line in report.glance.through
    ]


def pictures_view(report: SoundReport, own: tuple[Species, ...]) -> list[Document]:
    """The pictures, each with its name."""
    made = dict(sound_pictures(report, own=own))
    season = [
        f"Moved: {result.name}" for result in (report.soundness.seasons if report.soundness else ())
    ]
    names = dict(zip([key for key in made if key.startswith("moved-")], season, strict=True))
    return [
        {"key": key, "name": names.get(key) or _NAMES[key], "svg": svg} for key, svg in made.items()
    ]


def sums_view(report: SoundReport) -> list[list[str]]:
    """What is compared from one try to the next: a few figures."""
    found = report.soundness
    if found is None:
        return []
    seams = [seam.moisture_use[1] for seam in found.seams]
    pieces = [piece.moisture_use[1] for piece in found.pieces]
    least = min(found.loads, key=lambda load: load.safety)
    width = max((abs(s.change_mm[0]) for s in found.seasons), default=0.0)
    height = max((abs(s.change_mm[1]) for s in found.seasons), default=0.0)
    return [
        ["worst seam, moisture", f"{100.0 * max(seams, default=0.0):.0f} %"],
        ["worst patch, moisture", f"{100.0 * max(pieces, default=0.0):.0f} %"],
        ["moves in width, height", f"{width:.1f}, {height:.1f} mm"],
        ["least reserve of a load", f"{least.safety:.1f} times"],
        ["verdict", sentence(_worst(report).value)],
    ]


def woods_view(names: tuple[str, ...], own: tuple[Species, ...]) -> Document:
    """Woods side by side: a column each, a row for every property, sources told.

    Raises:
        WoodError: one of them is not known.
    """
    woods = [find_species(name, own=own) for name in dict.fromkeys(names)]
    rows: list[Document] = [
        {"name": quantity.label, "cells": [_cell(wood, quantity) for wood in woods]}
        for quantity in _COMPARED
    ]
    rows += [
        {"name": "pores", "cells": [_word(w.porosity.word if w.porosity else "") for w in woods]},
        {"name": "gluing", "cells": [_word(w.bonding.word if w.bonding else "") for w in woods]},
        {"name": "dust", "cells": [_dust(wood) for wood in woods]},
    ]
    look = looks(tuple((str(n), wood.name) for n, wood in enumerate(woods)), own=own)
    codes = {datum.source for wood in woods for datum in wood.data if datum.quantity in _COMPARED}
    titles = sources()
    return {
        "woods": [
            {"name": wood.name, "own": wood.own, "fill": shown.fill}
            for wood, shown in zip(woods, look.values(), strict=True)
        ],
        "rows": rows,
        "sources": [f"{code}: {titles[code].title}" for code in sorted(codes)],
    }


def _worst(report: SoundReport) -> Verdict:
    """The worst verdict on holding; what is only good to know does not count."""
    held = [
        f.verdict for f in report.findings if f.code[0] in "MLTO" and f.verdict is not Verdict.KNOW
    ]
    return min(held, key=lambda verdict: verdict.rank, default=Verdict.HOLDS)


def _verdict(finding: Finding, report: SoundReport) -> Document:
    return {
        "code": finding.code,
        "verdict": sentence(finding.verdict.value),
        "rank": finding.verdict.rank,
        "subject": sentence(finding.subject),
        "why": f"{sentence(finding.why)}.",
        "change": "" if finding.change == "nothing" else f"{sentence(finding.change)}.",
        "sources": "; ".join(finding.sources),
        "light": _light(finding, report),
    }


def _light(finding: Finding, report: SoundReport) -> Document:
    """What a verdict is about in the drawing: seams and lines, outlines, points."""
    outlines = {patch.name: patch.points for patch in report.drawing.patches}
    lines = []
    if report.soundness is not None:
        lines = [report.soundness.seams[number].path for number in finding.seams]
    points = finding.places
    if finding.code == "T1" and report.glance is not None:
        middles = set(finding.places)
        lines = [
            (line.start, line.end)
            for line in report.glance.through
            if ((line.start[0] + line.end[0]) / 2.0, (line.start[1] + line.end[1]) / 2.0) in middles
        ]
        points = ()
    patches = [outlines[name] for name in finding.patches if name in outlines]
    if lines:
        points, patches = (), [] if finding.code in ("M1", "T1") else patches
    return {
        "lines": [[list(point) for point in line] for line in lines],
        "patches": [[list(point) for point in ring] for ring in patches],
        "points": [list(point) for point in points] if not patches else [],
    }


def _cell(wood: Species, quantity: Quantity) -> Document:
    datum = wood.datum(quantity)
    if datum is None:
        return {"text": "not known", "sure": False, "from": ""}
    sure = datum.certainty in (Certainty.AGREED, Certainty.SEEN, Certainty.YOURS)
    return {
        "text": datum.words,
        "sure": sure,
        "from": f"{datum.certainty.words} [{datum.source}]",
    }


def _word(word: str) -> Document:
    return {"text": word or "not known", "sure": bool(word), "from": ""}


def _dust(wood: Species) -> Document:
    if wood.hazard is None:
        return {"text": "in no list we have, which is no clearance", "sure": False, "from": ""}
    told = "; ".join(effect.words for effect in wood.hazard.effects)
    return {"text": told, "sure": True, "from": f"[{', '.join(wood.hazard.sources)}]"}
