"""Boards on hand with their flaws, and how to cut sticks from them."""

from seamwright.rack.boards import (
    Board,
    Finish,
    Flaw,
    FlawKind,
    Offer,
    Rack,
    RackError,
    Reservation,
    Ring,
    Stock,
    board_faults,
    rack_faults,
)
from seamwright.rack.codec import cut_plan_from_json, cut_plan_to_json
from seamwright.rack.cutting import cut_plan
from seamwright.rack.demand import Demand, Match, Stick, Variant, Way, demand_of, face_ring, ways
from seamwright.rack.layout import (
    BoardCuts,
    Cut,
    CutPlan,
    Direction,
    Fate,
    Line,
    Piece,
    Stopped,
)
from seamwright.rack.rules import CutRules, Goal, Grid, Order, Worth, rules_of
from seamwright.rack.samples import demo_rack
from seamwright.rack.stock import confirm, leftovers, release, reserve
from seamwright.rack.table import flaw_from_text, rack_from_csv, rack_to_csv

__all__ = [
    "Board",
    "BoardCuts",
    "Cut",
    "CutPlan",
    "CutRules",
    "Demand",
    "Direction",
    "Fate",
    "Finish",
    "Flaw",
    "FlawKind",
    "Goal",
    "Grid",
    "Line",
    "Match",
    "Offer",
    "Order",
    "Piece",
    "Rack",
    "RackError",
    "Reservation",
    "Ring",
    "Stick",
    "Stock",
    "Stopped",
    "Variant",
    "Way",
    "Worth",
    "board_faults",
    "confirm",
    "cut_plan",
    "cut_plan_from_json",
    "cut_plan_to_json",
    "demand_of",
    "demo_rack",
    "face_ring",
    "flaw_from_text",
    "leftovers",
    "rack_faults",
    "rack_from_csv",
    "rack_to_csv",
    "release",
    "reserve",
    "rules_of",
    "ways",
]
