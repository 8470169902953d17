"""Our own invented rack, for the demo board."""

from __future__ import annotations

from importlib import resources

from seamwright.rack.boards import Rack
from seamwright.rack.table import rack_from_csv


def demo_rack() -> Rack:
    """Offcuts and boards of the demo's three woods, with flaws, and what the yard has."""
    return rack_from_csv(demo_table())


def demo_table() -> str:
    """The same as a table (CSV)."""
    place = resources.files("seamwright.rack") / "data" / "demo.csv"
    return place.read_text("utf-8")
