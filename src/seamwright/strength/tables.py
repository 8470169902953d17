"""The figures of every seam and piece, gathered from seasons and loads."""

from __future__ import annotations

import numpy as np

from seamwright.strength.bending import Bending
from seamwright.strength.ready import ReadyBoard
from seamwright.strength.results import PieceUse, SeamUse, Verdict
from seamwright.strength.seasons import RELAXED, Seasons

RISK_USE, BREAK_USE = 0.5, 1.0
"""Expected use of a seam in a slow season from which it is at risk, and fails."""
CARE_SAFETY, BREAK_SAFETY = 3.0, 1.5
"""Safety against the first crack below which to take care, and expect failure: strength across
the grain scatters by about a quarter (from memory), so half again is no reserve."""


def moisture_verdict(expected: float, window: float) -> Verdict:
    """Verdict for a slow change of moisture; engineering judgement, not calibrated by tests."""
    if expected > BREAK_USE:
        return Verdict.BREAKS
    if expected > RISK_USE:
        return Verdict.RISK
    return Verdict.CARE if window * RELAXED[1] > BREAK_USE else Verdict.HOLDS


def load_verdict(safety: float) -> Verdict:
    """Verdict for a load from the safety against the first crack."""
    if safety < 1.0:
        return Verdict.BREAKS
    if safety < BREAK_SAFETY:
        return Verdict.RISK
    return Verdict.CARE if safety < CARE_SAFETY else Verdict.HOLDS


def seam_table(ready: ReadyBoard, seasons: Seasons, bending: Bending) -> tuple[SeamUse, ...]:
    """Every seam."""
    rows = []
    for seam, grain, slow, quick in zip(
        ready.seams, ready.grains, seasons.uses, bending.uses, strict=True
    ):
        worst, worst_load = int(np.argmax(slow.whole)), int(np.argmax(quick.window))
        elastic, load_use = float(slow.whole[worst]), float(quick.window[worst_load])
        window = float(slow.window.max())
        verdicts = (
            moisture_verdict(RELAXED[1] * elastic, window),
            load_verdict(1.0 / max(load_use, 1e-9)),
        )
        patches = ready.drawing.patches
        rows.append(
            SeamUse(
                patches=(patches[seam.first].name, patches[seam.second].name),
                path=seam.path,
                length_mm=seam.length_mm,
                kind=grain.kind.value,
                angles_deg=grain.angles_deg,
                tension_mpa=grain.tension_mpa,
                shear_mpa=grain.shear_mpa,
                share_of_wood=grain.share_of_wood,
                reason=grain.reason,
                moisture_use=bracket(elastic),
                moisture_window=window,
                season=seasons.results[worst].name,
                load_use=load_use,
                load=bending.results[worst_load].key,
                verdict=min(verdicts, key=lambda verdict: verdict.rank),
            )
        )
    return tuple(rows)


def piece_table(ready: ReadyBoard, seasons: Seasons, bending: Bending) -> tuple[PieceUse, ...]:
    """Every piece."""
    rows = []
    for number, patch in enumerate(ready.drawing.patches):
        worst = int(np.argmax(bending.pieces[number]))
        rows.append(
            PieceUse(
                patch=patch.name,
                wood=ready.species[patch.wood].name,
                free_change_mm=tuple(float(v) for v in seasons.free_change_mm[number]),
                moisture_use=bracket(float(seasons.pieces[number].max())),
                load_use=float(bending.pieces[number, worst]),
                load=bending.results[worst].key,
            )
        )
    return tuple(rows)


def bracket(elastic: float) -> tuple[float, float, float]:
    """Relaxed, expected and elastic use."""
    return (RELAXED[0] * elastic, RELAXED[1] * elastic, RELAXED[2] * elastic)
