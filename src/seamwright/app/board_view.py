"""A drawing as the drawing screen needs it: shapes, seams, what locks, and all in words."""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import TypeVar

from seamwright.app.check_words import (
    locked_words,
    seams_apart,
    share_words,
    shares,
    split_words,
    ways_apart,
)
from seamwright.app.checking import CheckReport, check
from seamwright.app.documents import Document
from seamwright.app.making_on import base_view, base_words
from seamwright.app.plan_words import board_words, hours, seam_words
from seamwright.app.planning import PlanReport
from seamwright.design import Drawing, Unit
from seamwright.geometry import area, bounds
from seamwright.pictures import Look, Ruler, degrees, looks
from seamwright.pictures.looks import luminance
from seamwright.planner import Prefer
from seamwright.seams import SeamClass
from seamwright.store import Job
from seamwright.woods import Species

_NOT_USED_YET = "D602"
"""A wood no patch has: odd in a file, but beside the pen it is one to choose from."""
_Told = TypeVar("_Told", bound=Hashable)


def board_view(
    job: Job,
    drawing: Drawing,
    ruler: Ruler,
    own_woods: tuple[Species, ...] = (),
    *,
    prefer: Prefer = Prefer.CHEAPEST,
    panel_mm: float = 0.0,
    held: str = "",
) -> Document:
    """Everything the drawing screen shows of a job, except its plan and whether it holds.

    Args:
        job: where it stands.
        drawing: its drawing.
        ruler: in which lengths are told.
        own_woods: the user's own woods.
        prefer: what matters most for the job.
        panel_mm: thickness of the shop's panel, for an overlay that names no backing [mm].
        held: ``shapes_key`` of what the page has already; those shapes are not sent again.
    """
    report = check(drawing, own=own_woods)
    shapes = f"{hash((tuple((patch.name, patch.points) for patch in drawing.patches), ruler)):x}"
    x0, y0, x1, y1 = bounds(drawing.outline)
    own = Ruler(unit=drawing.unit)
    return {
        "at_edit": job.at_edit,
        "can_undo": job.can_undo,
        "can_redo": job.can_redo,
        "title": drawing.title,
        "words": board_words(drawing),
        "unit": drawing.unit.value,
        "box": [x0, y0, x1, y1],
        "sizes": {
            "width": own.typed(x1 - x0),
            "height": own.typed(y1 - y0),
            "thickness": own.typed(drawing.thickness_mm),
            "copies": drawing.copies,
        },
        "base": base_view(drawing, own, panel_mm),
        "base_words": base_words(drawing, ruler, panel_mm),
        "shapes_key": shapes,
        "shapes": None if shapes == held else _shapes(report, ruler),
        "fills": _fills(drawing),
        "grades": _grades(report),
        "woods": [_wood(look) for look in looks(drawing.woods, own=own_woods).values()],
        **_splitting(report, prefer, own),
        "shares": [[kind_of(share.kind), share_words(share, ruler)] for share in shares(report)],
        "remarks": [str(fault) for fault in report.remarks if fault.code != _NOT_USED_YET],
    }


def kind_of(kind: SeamClass) -> str:
    """The name by which the screen draws a class of seams.

    >>> kind_of(SeamClass.END_GRAIN)
    'end-grain'
    """
    return kind.value.replace(" ", "-")


def grain_words(grain_deg: float) -> str:
    """A grain direction in words.

    >>> grain_words(90.0), grain_words(0.0), grain_words(30.0)
    ('up', 'across', '30°')
    """
    return {90.0: "up", 0.0: "across"}.get(grain_deg) or degrees(grain_deg)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sum:
    """One figure of a plan: what it counts, and how much."""

    name: str
    value: str


def sums(report: PlanReport) -> tuple[Sum, ...]:
    """The figures shown beside the drawing."""
    totals = report.totals
    worth = totals.wood_mm3 / 1e6 * report.plan.shop.minutes.wood_litre
    litres = totals.wood_mm3 / 1e6
    wood = (
        f"{totals.wood_mm3 / 25.4**3:.0f} in³"
        if report.drawing.unit is Unit.INCH
        else f"{litres:.1f} litres"
    )
    return (
        Sum(name="glue-ups", value=str(totals.glue_ups)),
        Sum(name="set-ups", value=str(totals.set_ups)),
        Sum(name="cuts", value=str(totals.cuts)),
        Sum(name="at the bench", value=hours(totals.minutes - worth)),
        Sum(name="rough wood", value=wood),
    )


def _splitting(report: CheckReport, prefer: Prefer, ruler: Ruler) -> Document:
    """What locks, the seams the job's plan adds, and the ways there are to choose from."""
    added = seams_apart(report, prefer)
    words = split_words(report) if report.splits else locked_words(report)
    if added:
        more = "One seam is added" if len(added) == 1 else f"{len(added)} seams are added"
        words += (f"{more}, drawn in dots:", *(seam_words(seam, ruler) for seam in added))
    ways = ways_apart(report)
    if prefer is Prefer.HALF_STARS and prefer not in ways:
        ways = {Prefer.CHEAPEST: "without them"} | ways | {prefer: "half-stars: no star locks"}
    chosen = prefer if prefer in ways else Prefer.CHEAPEST
    return {
        "splits": report.splits,
        "locked": [list(group) for group in report.locked],
        "split_words": [line.strip() for line in words],
        "added": [{"start": list(seam.start), "end": list(seam.end)} for seam in added],
        "ways_apart": [
            [way.value, f"{told[0].upper()}{told[1:]}", way is chosen] for way, told in ways.items()
        ],
    }


def _shapes(report: CheckReport, ruler: Ruler) -> Document:
    """What only a change of shapes changes."""
    return {
        "patches": [
            {"name": patch.name, "points": patch.points, "words": _patch_words(patch.points, ruler)}
            for patch in report.drawing.patches
        ],
        "seams": [
            {"start": seam.start, "end": seam.end, "sides": [side.patch for side in seam.sides]}
            for seam in report.seams
        ],
    }


def _fills(drawing: Drawing) -> Document:
    kinds, each = _sorted_out((patch.wood, patch.grain_deg) for patch in drawing.patches)
    return {"kinds": [[wood, deg, grain_words(deg)] for wood, deg in kinds], "each": each}


def _grades(report: CheckReport) -> Document:
    kinds, each = _sorted_out(seam.words for seam in report.seams)
    classes = {seam.words: seam.kind for seam in report.seams}
    return {"kinds": [[kind_of(classes[words]), words] for words in kinds], "each": each}


def _sorted_out(told: Iterable[_Told]) -> tuple[list[_Told], list[int]]:
    """Of many, few of which differ: what differs, and which of these each is.

    >>> _sorted_out(["long grain", "end grain", "long grain"])
    (['long grain', 'end grain'], [0, 1, 0])
    """
    places: dict[_Told, int] = {}
    each = [places.setdefault(kind, len(places)) for kind in told]
    return list(places), each


@lru_cache(maxsize=1 << 14)
def _patch_words(points: tuple[tuple[float, float], ...], ruler: Ruler) -> str:
    x0, y0, x1, y1 = bounds(points)
    shape = {3: "triangle", 4: "four sides"}.get(len(points), f"{len(points)} sides")
    if len(points) == 4 and abs(area(points) - (x1 - x0) * (y1 - y0)) < 1e-6:
        shape = "rectangle"
    return f"{ruler.sizes(x1 - x0, y1 - y0)} {shape}"


def _wood(look: Look) -> Document:
    return {
        "letter": look.letter,
        "name": look.name,
        "fill": look.fill,
        "line": look.line,
        "dark": luminance(look.fill) < 0.45,
        "spacing_mm": look.hatch.spacing_mm,
        "width_mm": look.hatch.width_mm,
        "dash_mm": list(look.hatch.dash_mm),
        "said": look.hatch.said,
    }
