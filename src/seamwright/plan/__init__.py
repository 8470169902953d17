"""The plan: frozen steps from stick to board, and the shop they are made in.

>>> stick = Mill(makes="S1", count=2, wood="A", length_mm=400.0, width_mm=40.0, depth_mm=20.0)
>>> plan = Plan(title="", steps=(stick,), board="S1", copies=1, shop=default_shop())
>>> check(plan)
>>> print(plan_to_text(plan).splitlines()[-1])
1 mill S1 count=2 wood=A length=400.0 width=40.0 depth=20.0
>>> plan_from_json(plan_to_json(plan)) == plan == plan_from_text(plan_to_text(plan))
True
"""

from seamwright.plan.accuracy import Accuracy, Losses, read_accuracy, read_losses
from seamwright.plan.bars import OpenBar, open_bars, with_split
from seamwright.plan.check import check, numbered_faults, numbers
from seamwright.plan.clamping import ClampingBlock, blocks_for, clamping_blocks
from seamwright.plan.codec import plan_from_json, plan_to_json
from seamwright.plan.effort import (
    Totals,
    cut_count,
    glue_lines,
    milled_count,
    rough_volume_mm3,
    settings,
    totals,
    work_minutes,
)
from seamwright.plan.lots import LongStick, host, long_sticks, still_shared, unshared
from seamwright.plan.model import Plan
from seamwright.plan.names import FreshNames
from seamwright.plan.overlay import (
    Backed,
    FacePress,
    Sheet,
    backing_minutes,
    bought,
    clamps_to_press,
    face_press,
)
from seamwright.plan.pressing import (
    Gluing,
    Pressing,
    cauls_for,
    clamps_needed,
    pressing,
    read_gluing,
)
from seamwright.plan.shop import (
    NO_JIGS,
    NO_OVERLAYS,
    UNCOUNTED,
    Allowances,
    Clamps,
    Limits,
    Minutes,
    Overlays,
    Saws,
    Shop,
    SmallParts,
)
from seamwright.plan.shop_file import (
    MARGINS,
    Money,
    ShopSource,
    default_shop,
    read_money,
    read_own_woods,
    read_shop,
    shop_sources,
    shop_values,
)
from seamwright.plan.steps import (
    EdgeCut,
    Held,
    Hold,
    Laminate,
    Lot,
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
from seamwright.plan.text_form import plan_from_text, plan_to_text

__all__ = [
    "MARGINS",
    "NO_JIGS",
    "NO_OVERLAYS",
    "UNCOUNTED",
    "Accuracy",
    "Allowances",
    "Backed",
    "ClampingBlock",
    "Clamps",
    "EdgeCut",
    "FacePress",
    "FreshNames",
    "Gluing",
    "Held",
    "Hold",
    "Laminate",
    "Limits",
    "LongStick",
    "Losses",
    "Lot",
    "Machine",
    "Mill",
    "Minutes",
    "Money",
    "OpenBar",
    "Overlays",
    "Placed",
    "Plan",
    "Pressing",
    "Resaw",
    "SawCut",
    "Saws",
    "SetUp",
    "Sheet",
    "Shop",
    "ShopSource",
    "Slice",
    "SmallParts",
    "Step",
    "Surface",
    "Totals",
    "Trim",
    "backing_minutes",
    "blocks_for",
    "bought",
    "cauls_for",
    "check",
    "clamping_blocks",
    "clamps_needed",
    "clamps_to_press",
    "cut_count",
    "default_shop",
    "face_press",
    "glue_lines",
    "host",
    "inputs",
    "long_sticks",
    "milled_count",
    "numbered_faults",
    "numbers",
    "open_bars",
    "outputs",
    "plan_from_json",
    "plan_from_text",
    "plan_to_json",
    "plan_to_text",
    "pressing",
    "read_accuracy",
    "read_gluing",
    "read_losses",
    "read_money",
    "read_own_woods",
    "read_shop",
    "rough_volume_mm3",
    "set_ups",
    "settings",
    "shop_sources",
    "shop_values",
    "still_shared",
    "totals",
    "unshared",
    "with_split",
    "work_minutes",
]
