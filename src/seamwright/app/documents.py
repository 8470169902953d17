"""What programs get: JSON documents with keys that stay; see docs/reference/json.md."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import asdict

from seamwright.app.checking import CheckReport, DrawnSeam, NewSeam
from seamwright.app.planning import PlanReport
from seamwright.app.press_words import told_steps
from seamwright.app.sound_document import findings_document, sound_document
from seamwright.app.sounding import SoundReport
from seamwright.app.step_words import StepWords
from seamwright.design import Drawing
from seamwright.errors import Fault
from seamwright.geometry import Point, bounds
from seamwright.plan import plan_to_json, shop_sources
from seamwright.strength import Finding
from seamwright.strength.safety import plan_cautions
from seamwright.woods import Species, card

SCHEMA = 1
"""Version of all documents; a key that goes or changes its meaning raises it."""

Document = dict[str, object]


def check_document(
    report: CheckReport, found: SoundReport, cautions: Iterable[Finding] = ()
) -> Document:
    """What ``seamwright check --json`` prints."""
    return {
        "schema": SCHEMA,
        "board": _board(report.drawing),
        "splits": report.splits,
        "locked": [list(group) for group in report.locked],
        "added_seams": _new_seams(report.added),
        "fewest": report.fewest,
        "half_star_seams": _new_seams(report.half_stars),
        "seams": [_seam(seam) for seam in report.seams],
        "remarks": [fault.as_dict() for fault in report.remarks],
        "sound": sound_document(found),
        "cautions": findings_document(cautions),
    }


def plan_document(report: PlanReport) -> Document:
    """What ``seamwright plan --json`` prints.

    Title, steps, board, board_at, backed, copies and shop are those of ``plan_to_json``: a plan
    can be read back from them.
    """
    written = plan_to_json(report.plan)
    return {
        "schema": SCHEMA,
        "title": written["title"],
        "totals": asdict(report.totals),
        "best": asdict(report.best),
        "proof": report.proof.as_dict(),
        "added_seams": _new_seams(report.added),
        "fewest": report.planned.fewest,
        "widened": list(report.planned.widened),
        "edge_mm": report.planned.edge_mm,
        "cautions": findings_document(plan_cautions(report.plan)),
        "told": [_told(words) for words in told_steps(report)],
        **{key: written[key] for key in ("steps", "board", "board_at", "backed", "copies", "shop")},
    }


def papers_document(files: Iterable[object], report: PlanReport) -> Document:
    """What ``seamwright papers --json`` prints."""
    return {
        "schema": SCHEMA,
        "files": [str(file) for file in files],
        "totals": asdict(report.totals),
    }


def woods_document(woods: Sequence[Species]) -> Document:
    """What ``seamwright woods --json`` prints: everything known of each wood, with sources."""
    cards = [{key: value for key, value in card(wood).items() if key != "schema"} for wood in woods]
    return {"schema": SCHEMA, "woods": cards}


def shop_document() -> Document:
    """What ``seamwright shop --json`` prints: every default with its source."""
    return {"schema": SCHEMA, "defaults": [asdict(source) for source in shop_sources()]}


def error_document(kind: str, faults: Iterable[Fault], *, file: str | None) -> Document:
    """What every command prints with ``--json`` where it cannot do what was asked.

    Args:
        kind: "bad input", "no plan", "not proven" or "cancelled".
        faults: what is wrong.
        file: the file they are about, where there is one.
    """
    return {
        "schema": SCHEMA,
        "error": {"kind": kind, "file": file, "faults": [fault.as_dict() for fault in faults]},
    }


def _board(drawing: Drawing) -> Document:
    x0, y0, x1, y1 = bounds(drawing.outline)
    return {
        "title": drawing.title,
        "width_mm": x1 - x0,
        "height_mm": y1 - y0,
        "thickness_mm": drawing.thickness_mm,
        "kind": drawing.kind.value,
        "copies": drawing.copies,
        "patches": len(drawing.patches),
        "woods": [{"letter": letter, "name": name} for letter, name in drawing.woods],
    }


def _new_seams(seams: Iterable[NewSeam]) -> list[Document]:
    return [
        {
            "patch": seam.patch,
            "start_mm": _point(seam.start),
            "end_mm": _point(seam.end),
            "length_mm": seam.length_mm,
        }
        for seam in seams
    ]


def _seam(seam: DrawnSeam) -> Document:
    return {
        "start_mm": _point(seam.start),
        "end_mm": _point(seam.end),
        "length_mm": seam.length_mm,
        "class": seam.words,
        "sides": [
            {"patch": side.patch, "angle_deg": side.angle_deg, "class": side.words}
            for side in seam.sides
        ],
    }


def _told(words: StepWords) -> Document:
    return {"step": words.number, "title": words.title, "lines": list(words.lines)}


def _point(point: Point) -> list[float]:
    return [point[0], point[1]]
