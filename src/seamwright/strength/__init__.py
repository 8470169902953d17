"""Moisture and load mechanics of a pieced board: will it hold, will it move, is it safe.

``soundness`` puts a drawing through a dry and a damp season (plane stress) and through the loads a
board meets (a plate with shear), and returns findings in plain words, worst first. ``glance`` reads
seams and through lines from the grain alone, quick enough for a drawing that is being changed.
"""

from seamwright.strength.glance import Glance, SeamGlance, glance
from seamwright.strength.grain import SeamGrain, seam_grain
from seamwright.strength.loads import Axis, Load, own_load, usual_loads
from seamwright.strength.results import (
    Finding,
    LoadResult,
    MovedPatch,
    PieceUse,
    SeamUse,
    SeasonResult,
    Soundness,
    Verdict,
    plain,
    worst_first,
)
from seamwright.strength.soundness import BUILT_PCT, ELEMENT_MM, Progress, soundness
from seamwright.strength.through import Stretch, ThroughLine, bridged_share

__all__ = [
    "BUILT_PCT",
    "ELEMENT_MM",
    "Axis",
    "Finding",
    "Glance",
    "Load",
    "LoadResult",
    "MovedPatch",
    "PieceUse",
    "Progress",
    "SeamGlance",
    "SeamGrain",
    "SeamUse",
    "SeasonResult",
    "Soundness",
    "Stretch",
    "ThroughLine",
    "Verdict",
    "bridged_share",
    "glance",
    "own_load",
    "plain",
    "seam_grain",
    "soundness",
    "usual_loads",
    "worst_first",
]
