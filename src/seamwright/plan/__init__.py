"""The plan: frozen steps from stick to board, and the shop they are made in."""

from seamwright.plan.effort import Totals, rough_volume_mm3, settings, totals, work_minutes
from seamwright.plan.model import Plan
from seamwright.plan.shop import Allowances, Limits, Minutes, Saws, Shop
from seamwright.plan.steps import (
    EdgeCut,
    Laminate,
    Machine,
    Mill,
    Placed,
    Resaw,
    SawCut,
    SetUp,
    Slice,
    Step,
    Surface,
    Trim,
    inputs,
    outputs,
    set_ups,
)

__all__ = [
    "Allowances",
    "EdgeCut",
    "Laminate",
    "Limits",
    "Machine",
    "Mill",
    "Minutes",
    "Placed",
    "Plan",
    "Resaw",
    "SawCut",
    "Saws",
    "SetUp",
    "Shop",
    "Slice",
    "Step",
    "Surface",
    "Totals",
    "Trim",
    "inputs",
    "outputs",
    "rough_volume_mm3",
    "set_ups",
    "settings",
    "totals",
    "work_minutes",
]
