"""The virtual bench: carries a plan out on virtual wood and compares it with the drawing.

It knows nothing of how a plan was found. ``execute`` gives what is on the bench after the last
step and what each step did; ``prove`` compares the board with the drawing.

>>> from seamwright.plan import Mill, Plan, default_shop
>>> stick = Mill(makes="S1", count=2, wood="A", length_mm=400.0, width_mm=40.0, depth_mm=5.5)
>>> short = Mill(makes="S2", count=1, wood="A", length_mm=90.0, width_mm=40.0, depth_mm=20.0)
>>> plan = Plan(title="", steps=(stick, short), board="S1", copies=1, shop=default_shop())
>>> shelf = execute(plan)
>>> shelf.solid("S1").volume_mm3, shelf.counts("S1").left
(88000.0, 2)
>>> print(shelf.findings[0])
step 2, S2 is 90 mm long; jointer and planer need at least 305 mm
"""

from seamwright.bench.model import (
    Balance,
    Carried,
    Finding,
    GlueLine,
    Piece,
    Proof,
    Severity,
    Shelf,
    Solid,
    Stock,
)
from seamwright.bench.proving import prove, prove_shelf
from seamwright.bench.remembering import Workbook
from seamwright.bench.running import execute

__all__ = [
    "Balance",
    "Carried",
    "Finding",
    "GlueLine",
    "Piece",
    "Proof",
    "Severity",
    "Shelf",
    "Solid",
    "Stock",
    "Workbook",
    "execute",
    "prove",
    "prove_shelf",
]
