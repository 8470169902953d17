"""Parts as they really come out: tolerances before cutting, measured sizes after.

A plan is carried out on real parts, each cut with its own error: how far seams will miss each
other, which settings matter, which sizes must follow which.

>>> from seamwright.plan import Mill, Plan, default_shop, read_accuracy
>>> stick = Mill(makes="S1", count=1, wood="A", length_mm=400.0, width_mm=40.0, depth_mm=20.0)
>>> alone = Plan(title="", steps=(stick,), board="S1", copies=1, shop=default_shop())
>>> stack_up(study(alone), read_accuracy(), trials=100).chance
1.0
"""

from seamwright.fit.checks import BEFORE, Check, check_lines, checks
from seamwright.fit.deepening import (
    THINNEST,
    Deepened,
    FewerLeaves,
    Thicker,
    deepen,
    fewer_leaves,
    thicker,
    with_depths,
)
from seamwright.fit.levels import planned_mm
from seamwright.fit.losses import Shortage, Spare, shortage, spares
from seamwright.fit.measures import nominal_mm
from seamwright.fit.readings import measured_from, thickness_from
from seamwright.fit.relations import Duty, Relation, Relations
from seamwright.fit.remaking import Remake, least_remake
from seamwright.fit.resolving import Levers, Measured, Resolved, levers, resolve
from seamwright.fit.rewriting import Rewritten, rewrite
from seamwright.fit.sizes import Size, What, main_size
from seamwright.fit.sources import Setting, Sort
from seamwright.fit.stackup import (
    GAP_MM,
    TRIALS,
    Advice,
    Matter,
    Spread,
    StackUp,
    Study,
    chance_now,
    stack_up,
    study,
)
from seamwright.fit.thickness import Cause, Flattening, Thickness, thickness
from seamwright.fit.topping import ShortBar

__all__ = [
    "BEFORE",
    "GAP_MM",
    "THINNEST",
    "TRIALS",
    "Advice",
    "Cause",
    "Check",
    "Deepened",
    "Duty",
    "FewerLeaves",
    "Flattening",
    "Levers",
    "Matter",
    "Measured",
    "Relation",
    "Relations",
    "Remake",
    "Resolved",
    "Rewritten",
    "Setting",
    "ShortBar",
    "Shortage",
    "Size",
    "Sort",
    "Spare",
    "Spread",
    "StackUp",
    "Study",
    "Thicker",
    "Thickness",
    "What",
    "chance_now",
    "check_lines",
    "checks",
    "deepen",
    "fewer_leaves",
    "least_remake",
    "levers",
    "main_size",
    "measured_from",
    "nominal_mm",
    "planned_mm",
    "resolve",
    "rewrite",
    "shortage",
    "spares",
    "stack_up",
    "study",
    "thicker",
    "thickness",
    "thickness_from",
    "with_depths",
]
