"""A whole plan in words: sums, how good it is, whether it holds, what to look at."""

from __future__ import annotations

import math

from seamwright.app.checking import NewSeam
from seamwright.app.planning import PlanReport
from seamwright.app.step_words import sizes_text
from seamwright.design import Drawing, Kind
from seamwright.geometry import bounds
from seamwright.pictures import Ruler
from seamwright.plan import Backed

_CUBIC_INCH_MM3 = 25.4**3
_LITRE_MM3 = 1e6

CAUTION = (
    "Saws and small parts can hurt. The manuals of your machines, your local rules and proper "
    "training go before anything written here. Guards stay on; push blocks and hold-downs keep "
    "hands away; protect eyes, ears and lungs."
)


def board_words(drawing: Drawing) -> str:
    """Title, size and number of patches, in a line."""
    x0, y0, x1, y1 = bounds(drawing.outline)
    ruler = Ruler(unit=drawing.unit)
    if drawing.kind is Kind.OVERLAY:
        face = sizes_text(ruler, drawing.thickness_mm)
        sizes = f"{sizes_text(ruler, x1 - x0, y1 - y0)}, a face {face} thick on its backing"
    else:
        sizes = sizes_text(ruler, x1 - x0, y1 - y0, drawing.thickness_mm)
    boards = f"{drawing.copies} boards, each " if drawing.copies > 1 else ""
    patches = len(drawing.patches)
    return f"{drawing.title}: {boards}{sizes}, {patches} {_plural('patch', 'es', patches)}"


def totals_words(report: PlanReport) -> tuple[str, ...]:
    """Sums of a plan, a line each."""
    sums = report.totals
    worth = sums.wood_mm3 / _LITRE_MM3 * report.plan.shop.minutes.wood_litre
    wood = f"{sums.wood_mm3 / _CUBIC_INCH_MM3:.0f} in³ ({sums.wood_mm3 / _LITRE_MM3:.1f} litres)"
    counts = (
        (len(report.plan.steps), "step"),
        (sums.sticks, "stick"),
        (sums.cuts, "cut"),
        (sums.glue_ups, "glue-up"),
        (sums.set_ups, "set-up"),
    )
    listed = ", ".join(f"{count} {_plural(name, 's', count)}" for count, name in counts)
    return (
        f"{listed}; {sums.parts} {_plural('part', 's', sums.parts)} cut from bars",
        f"{wood} of rough wood",
        f"{hours(sums.minutes - worth)} at the bench, glue drying not counted",
    )


def hours(minutes: float) -> str:
    """Minutes as a person says them.

    >>> hours(769.4), hours(44.6), hours(60)
    ('12 h 49 min', '45 min', '1 h')
    """
    whole, rest = divmod(round(minutes), 60)
    parts = (f"{whole} h" if whole else "", f"{rest} min" if rest or not whole else "")
    return " ".join(part for part in parts if part)


def best_words(report: PlanReport) -> str:
    """What is proven of the plan's cost."""
    best = report.best
    if best.proven:
        told = "Proven best: none of the ways of making that were compared costs less."
        saved = best.chosen - best.cost
        if saved < 0.5:
            return told
        return f"{told} What saves {hours(saved)} more was found afterwards, without proof."
    share = max(0.1, 100.0 * best.gap)
    return (
        f"Best found in the time given: at most {share:.1f} % above the cheapest of the ways of "
        "making that were compared. More time may find a better one."
    )


def space_words(report: PlanReport) -> str:
    """The ways of making that were compared."""
    return f"Ways compared: {report.best.option_space}."


def proof_words(report: PlanReport) -> str:
    """What carrying the plan out on virtual wood showed."""
    proof = report.proof
    return (
        "Carried out on virtual wood, the board is the drawing: every patch is there once, wood "
        f"and grain are right, outlines are within {_within(proof.area_error_mm2)} mm², and all "
        "wood that was milled is accounted for."
    )


def _within(area_mm2: float) -> str:
    """An upper bound of an area [mm²] in thousandths."""
    return f"{math.ceil(max(area_mm2, 1e-9) * 1000.0) / 1000.0:.3f}"


READING = (
    "Sizes are length × width × depth. Which part goes where, and which way up, is drawn on the "
    "bench sheets ('papers')."
)


def look_first(report: PlanReport) -> tuple[str, ...]:
    """What to look at before building; nothing of it breaks the proof."""
    ruler = Ruler(unit=report.drawing.unit)
    told = [str(finding) for finding in report.warnings]
    added = report.added
    if added:
        fewest = "; fewer will not do" if report.planned.fewest else ""
        count = len(added)
        told.append(
            f"The drawing locks: {count} {_plural('seam', 's', count)} more than you drew "
            f"{'were' if count > 1 else 'was'} added{fewest}"
        )
        told.extend(seam_words(seam, ruler) for seam in added)
    if report.planned.widened:
        names = ", ".join(report.planned.widened)
        told.append(f"Wider than any board of the shop, so glued up from two or more: {names}")
    if report.planned.edge_mm <= 0.0 < report.plan.shop.allowances.edge_mm:
        told.append("The pattern cannot run on past the edge, so nothing is left there to trim")
    if report.drawing.kind is Kind.OVERLAY:
        told.append(_overlay_words(report.plan.backed))
    return tuple(told)


def _overlay_words(backed: Backed | None) -> str:
    if backed is None:
        return (
            "An overlay is planned as its face alone, at the thickness drawn: the backing, and "
            "gluing the face onto it, are not planned"
        )
    told = f"The face is glued to a backing of {backed.material}"
    bought = [
        what
        for what, kind, made in (
            ("the panel", backed.core, backed.grain_deg is not None),
            ("the balancing veneer", backed.counter, False),
        )
        if kind is None and not made
    ]
    if backed.grain_deg is not None and backed.core is None:
        told += "; your shop has no way to glue it up: buy it, or raise the limit that binds"
    if bought:
        told += f". To be bought as a sheet: {' and '.join(bought)}"
    return told


def seam_words(seam: NewSeam, ruler: Ruler) -> str:
    """An added seam and where it lies."""
    start, end = (f"({ruler.first(x)}, {ruler.first(y)})" for x, y in (seam.start, seam.end))
    return f"through {seam.patch}: {ruler.both(seam.length_mm)} long, from {start} to {end}"


def _plural(word: str, ending: str, count: int) -> str:
    return word if count == 1 else word + ending
