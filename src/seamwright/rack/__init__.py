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
from seamwright.rack.demand import Demand, Stick, Variant, Way, demand_of, ways
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
from seamwright.rack.rules import CutRules, Grid, Worth, rules_of
from seamwright.rack.stock import confirm, leftovers, release, reserve

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
    "Grid",
    "Line",
    "Offer",
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
    "leftovers",
    "rack_faults",
    "release",
    "reserve",
    "rules_of",
    "ways",
]
