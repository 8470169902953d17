"""The virtual bench: carries a plan out on virtual wood and compares it with the drawing.

It knows nothing of how a plan was found. ``execute`` gives what is on the bench after the last
step and what each step did; ``prove`` compares the board with the drawing.
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
    "execute",
    "prove",
    "prove_shelf",
]
