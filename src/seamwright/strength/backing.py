"""A thin face on a backing: how much it would move, what holds it, and what to mind.

No calculation of the glue line is made: peel at the edge of a face depends on the glue and on how
it was pressed, and no tests were found to set a limit by. What is told is the free movement, which
is published data, and what is common practice.
"""

from __future__ import annotations

from collections.abc import Sequence

from seamwright.design import Backing, Kind
from seamwright.geometry import Line, angle_between
from seamwright.strength.ready import ReadyBoard
from seamwright.strength.results import Finding, Verdict
from seamwright.woods import Climate, movement_across

THICK_FACE_MM = 3.5
"""A face up to about 1/8 in follows a backing that hardly moves; common practice, no source."""
_CROSSED_DEG = 15.0


def backing_findings(
    ready: ReadyBoard, *, built_pct: float, climates: Sequence[Climate]
) -> list[Finding]:
    """What to mind where the patches lie on a backing; nothing where they run through.

    Args:
        ready: the face.
        built_pct: moisture at gluing [%].
        climates: the board's places.
    """
    drawing = ready.drawing
    if drawing.kind is Kind.THROUGH:
        return []
    found = [_reckoned(), _moves(ready, drawing.backing, built_pct, climates)]
    if drawing.backing is not None and drawing.backing.grain_deg is not None:
        found.append(_solid(ready, drawing.backing.grain_deg))
    return found


def _finding(code: str, verdict: Verdict, subject: str, why: str, change: str) -> Finding:
    return Finding(
        code=code, verdict=verdict, subject=subject, why=why, change=change, sources=("CP",)
    )


def _reckoned() -> Finding:
    return _finding(
        "O1",
        Verdict.CARE,
        "the backing",
        "the patches lie on a backing, and only the patches are reckoned: the backing stiffens the "
        "board and holds the face, but solid wood under crossed grain also pulls on it",
        "take a backing that hardly moves, such as plywood, and balance its back",
    )


def _moves(
    ready: ReadyBoard, backing: Backing | None, built_pct: float, climates: Sequence[Climate]
) -> Finding:
    """The widest run of one wood across its grain, moving freely, against what holds it."""
    widest = (0.0, "", 0.0)
    for patch in ready.drawing.patches:
        across = Line.at_angle((0.0, 0.0), patch.grain_deg)
        sides = [across.side(point) for point in patch.points]
        wide = max(sides) - min(sides)
        wood = ready.species[patch.wood]
        for climate in climates:
            strain = movement_across(
                wood,
                from_pct=built_pct,
                to_pct=climate.moisture_pct,
                ring_angle_deg=ready.ring_angle_deg.get(patch.wood, 0.0),
            ).strain
            widest = max(widest, (abs(strain) * wide, wood.name, wide))
    moved, name, wide = widest
    thick = ready.drawing.thickness_mm > THICK_FACE_MM
    held = "a panel" if backing is None or not backing.is_solid else "its backing"
    why = (
        f"its widest patch across the grain, {wide:.0f} mm of {name}, would move {moved:.2f} mm "
        f"between its climates; {held} holds it, and a face {ready.drawing.thickness_mm:.1f} mm "
        f"thick is {'thicker than' if thick else 'within'} the {THICK_FACE_MM:g} mm or so that "
        "glue holds flat"
    )
    change = (
        "draw the face thinner, or let the pattern run through"
        if thick
        else "glue the whole face, "
        "edges above all, and balance the back with a veneer of the same thickness"
    )
    verdict = Verdict.RISK if thick else Verdict.CARE
    return _finding("O2", verdict, "the face on its backing", why, change)


def _solid(ready: ReadyBoard, grain_deg: float) -> Finding:
    """Solid wood under the face moves by itself; crossed grain pulls at every patch."""
    crossed = [
        patch.name
        for patch in ready.drawing.patches
        if angle_between(patch.grain_deg, grain_deg) > _CROSSED_DEG
    ]
    if not crossed:
        return _finding(
            "O3",
            Verdict.CARE,
            "the solid backing",
            "it moves across its grain with the seasons, and the face with it",
            "let it move: no frame, no glue across its ends",
        )
    return _finding(
        "O3",
        Verdict.RISK,
        "the solid backing",
        f"its grain crosses that of {len(crossed)} of {len(ready.drawing.patches)} patches, such "
        f"as {crossed[0]}: each wants to move where the other does not",
        "take a panel, or lay a veneer between them whose grain crosses both",
    )
