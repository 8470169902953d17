"""Seamwright: from the drawing of a pieced board to a proven glue-up plan.

>>> import seamwright
>>> from importlib.resources import files
>>> board = seamwright.load(files("seamwright.design") / "data" / "starter.toml")
>>> seamwright.check(board).splits
True
>>> report = seamwright.plan(board)
>>> report.proof.holds, report.best.proven, report.totals.sticks < len(board.patches)
(True, True, True)
>>> seamwright.prove(report.plan, board).holds
True
"""

from __future__ import annotations

# The function "plan" hides the room of that name here; `from seamwright.plan import …` still finds
# the room. It stays so, because app has imported the room before the function gets its name.
from seamwright.app import CheckReport, PlanReport, check, load, plan
from seamwright.bench import prove

__version__ = "0.1.0"

__all__ = ["CheckReport", "PlanReport", "__version__", "check", "load", "plan", "prove"]
