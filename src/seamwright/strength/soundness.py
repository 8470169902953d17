"""Will it hold, will it move: the whole chain from a drawing to findings."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor

from seamwright.design import Drawing
from seamwright.errors import Cancelled, Fault, StrengthError
from seamwright.geometry import area
from seamwright.strength.backing import backing_findings
from seamwright.strength.bending import solve_loads
from seamwright.strength.fronts import one_thread
from seamwright.strength.loads import Load, usual_loads
from seamwright.strength.ready import made_ready
from seamwright.strength.results import Soundness, worst_first
from seamwright.strength.seasons import solve_seasons
from seamwright.strength.tables import piece_table, seam_table
from seamwright.strength.through import through_lines
from seamwright.strength.verdicts import (
    all_well,
    assumption_findings,
    load_findings,
    movement_finding,
    piece_findings,
    seam_findings,
    size_findings,
    through_findings,
)
from seamwright.woods import Climate, Species, find_climate

Progress = Callable[[float, str], None]
"""Told a share of the work done, 0 to 1, and what is being done."""

ELEMENT_MM = 5.0
MOST_TRIANGLES = 60_000
"""A larger board gets larger elements, and is told so."""
BUILT_PCT = 8.0
"""Moisture at gluing: furniture lumber is dried to 6 to 8 % (Wood Handbook ch. 13)."""


def soundness(
    drawing: Drawing,
    species_by_letter: Mapping[str, Species],
    *,
    built_pct: float = BUILT_PCT,
    climates: tuple[Climate, ...] | None = None,
    loads: tuple[Load, ...] | None = None,
    ring_angle_deg: Mapping[str, float] | None = None,
    element_mm: float = ELEMENT_MM,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Soundness:
    """Put a board through its seasons and loads.

    Args:
        drawing: a checked board.
        species_by_letter: the wood of every letter that is used.
        built_pct: moisture at gluing [%].
        climates: seasons it will see; None for a heated house in winter and summer.
        loads: what it must bear; None for ``usual_loads``.
        ring_angle_deg: by letter: 0 flat-sawn (where not given), 45 rift, 90 quarter-sawn.
        element_mm: size of the finite elements, 1 to 50; larger where they would be too many.
        progress: told how far it is.
        cancelled: asked between steps; True stops the work.

    Returns:
        Findings worst first, and every figure behind them.

    Raises:
        StrengthError: the board or the woods cannot be reckoned; all faults named.
        Cancelled: ``cancelled`` said so.
    """
    if not 1.0 <= element_mm <= 50.0:
        what = f"of {element_mm:g} mm cannot be used"
        raise StrengthError(Fault("S152", "an element size", what, "take 1 to 50 mm"))

    def step(share: float, doing: str) -> None:
        if cancelled is not None and cancelled():
            raise Cancelled(doing)
        if progress is not None:
            progress(share, doing)

    step(0.0, "checking the drawing and dividing it into elements")
    size_mm = _fitting_mm(drawing, element_mm)
    ready = made_ready(
        drawing, species_by_letter, ring_angle_deg=ring_angle_deg or {}, size_mm=size_mm
    )
    step(0.25, "drying, wetting and loading the board")
    when = climates or (find_climate("heated-house-winter"), find_climate("heated-house-summer"))
    with one_thread(), ThreadPoolExecutor(1) as beside:
        drying = beside.submit(solve_seasons, ready, built_pct=built_pct, climates=when)
        bending = solve_loads(ready, loads or usual_loads(drawing))
        seasons = drying.result()
    step(0.9, "looking for through lines")
    through = through_lines(ready.board, ready.seams, ready.grains)
    seam_rows = seam_table(ready, seasons, bending)
    piece_rows = piece_table(ready, seasons, bending)
    findings = [
        *seam_findings(ready, seasons, seam_rows),
        *piece_findings(ready, piece_rows),
        *load_findings(ready, bending.results, seam_rows),
        *through_findings(through),
        movement_finding(ready, seasons.results),
        *size_findings(size_mm, element_mm),
        *assumption_findings(ready.assumptions),
        *backing_findings(ready, built_pct=built_pct, climates=when),
    ]
    step(1.0, "done")
    return Soundness(
        findings=worst_first([*findings, *all_well(findings)]),
        seams=seam_rows,
        pieces=piece_rows,
        seasons=seasons.results,
        loads=bending.results,
        through=through,
        shapes=seasons.shapes,
        assumptions=ready.assumptions,
        triangles=len(ready.elements.nodes),
    )


def _fitting_mm(drawing: Drawing, element_mm: float) -> float:
    """The size asked for, or the least that keeps the triangles to ``MOST_TRIANGLES``."""
    square_mm = abs(area(drawing.outline)) if len(drawing.outline) >= 3 else 0.0
    # an equilateral triangle has about 0.433 of its side squared
    return max(element_mm, math.sqrt(square_mm / (0.433 * MOST_TRIANGLES)))
