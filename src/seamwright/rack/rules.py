"""What governs cutting: kerfs, trims, clearance, machine minima, what wood is worth."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum

from seamwright.errors import Fault
from seamwright.plan import Shop
from seamwright.rack.boards import RackError


class Grid(Enum):
    """Fineness of positions: along the board [mm] and across it [mm]."""

    FINE = (0.5, 0.1)
    USUAL = (1.0, 0.1)

    @property
    def along_mm(self) -> float:
        """Step along the board [mm]."""
        return self.value[0]

    @property
    def across_mm(self) -> float:
        """Step across the board [mm]."""
        return self.value[1]


class Order(Enum):
    """What is sawn first."""

    EITHER = "either"
    """Whatever comes out best, board by board."""
    CROSSCUT = "crosscut first"
    """Boards are crosscut into sections no longer than a few sticks, then ripped."""
    RIP = "rip first"
    """Every board is ripped at its full length, then the strips are crosscut."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Worth:
    """What wood counts for when plans are compared.

    A bought board counts its full price. A board from the rack counts what the same wood would
    cost new, times ``offcut`` or ``board``, so that offcuts go first; a leftover kept gives back
    ``leftover`` of what the wood it is part of counted for. A missing stick counts ``missing``
    times the wood it needs, as new.
    """

    offcut: float = 0.5
    board: float = 0.8
    leftover: float = 0.95
    bought_leftover: float = 0.75
    missing: float = 20.0


class Goal(Enum):
    """What a cut plan saves first."""

    WOOD = "wood"
    """Wood by its worth: offcuts first, then boards, buying last."""
    PURCHASE = "purchase"
    """Money spent at the yard; wood on the rack hardly counts."""

    @property
    def worth(self) -> Worth:
        """What wood counts for this goal."""
        if self is Goal.WOOD:
            return Worth()
        # a board that must be bought is paid whole, whatever remains of it
        return Worth(offcut=0.04, board=0.06, bought_leftover=0.02)


@dataclass(frozen=True, slots=True, kw_only=True)
class CutRules:
    """Rules every cut plan keeps [mm].

    Attributes:
        crosscut_kerf_mm, rip_kerf_mm, resaw_kerf_mm: kerfs.
        end_trim_mm, edge_trim_mm: cut off the ends and edges of every board.
        clearance_mm: kept between a flaw and a stick.
        rip_length_mm: shortest piece that is ripped.
        rip_width_mm: narrowest piece that is ripped, and narrowest strip.
        crosscut_length_mm: shortest piece that is crosscut.
        keep_length_mm, keep_width_mm: smallest leftover that goes back on the rack.
        plane_off_mm: most thickness planed away from a board that is thicker than needed.
        hour: what an hour of work counts, in the money of the prices; None where that is not
            known, and sticks are then glued up only where no board gives them whole.
        worth, order, grid: what wood counts for, what is sawn first, how fine positions are.
    """

    crosscut_kerf_mm: float
    rip_kerf_mm: float
    resaw_kerf_mm: float
    end_trim_mm: float = 10.0
    edge_trim_mm: float = 4.0
    clearance_mm: float = 3.0
    rip_length_mm: float = 300.0
    rip_width_mm: float = 10.0
    crosscut_length_mm: float = 100.0
    keep_length_mm: float = 300.0
    keep_width_mm: float = 40.0
    plane_off_mm: float = 12.0
    hour: float | None = None
    worth: Worth = field(default_factory=Worth)
    grid: Grid = Grid.USUAL
    order: Order = Order.EITHER

    def __post_init__(self) -> None:
        faults = [
            Fault("R120", f"rule {name}", f"is {value:g} mm", "give 0 or more")
            for name in self.__slots__
            if isinstance(value := getattr(self, name), float)
            and name != "hour"
            and not 0 <= value < 1e6
        ]
        if self.hour is not None and not 0 <= self.hour < 1e6:
            faults.append(
                Fault("R120", "an hour of work", f"counts {self.hour:g}", "give 0 or more")
            )
        for trim, kerf, word in (
            (self.end_trim_mm, self.crosscut_kerf_mm, "end_trim_mm"),
            (self.edge_trim_mm, self.rip_kerf_mm, "edge_trim_mm"),
        ):
            if 0 < trim < kerf:
                faults.append(
                    Fault(
                        "R121",
                        f"rule {word}",
                        f"is {trim:g} mm, less than the kerf of {kerf:g} mm",
                        "trim nothing, or at least a kerf",
                    )
                )
        if faults:
            raise RackError(*faults)


def rules_of(
    shop: Shop,
    *,
    order: Order = Order.EITHER,
    goal: Goal = Goal.WOOD,
    hour: float | None = None,
) -> CutRules:
    """The rules a shop's saws and limits give; trims and keep sizes at their defaults."""
    kerf = shop.saws.table_kerf_mm
    return CutRules(
        crosscut_kerf_mm=kerf,
        rip_kerf_mm=kerf,
        resaw_kerf_mm=shop.saws.resaw_kerf_mm,
        end_trim_mm=max(10.0, kerf),
        edge_trim_mm=max(4.0, kerf),
        rip_length_mm=shop.limits.stick_min_length_mm,
        rip_width_mm=shop.limits.stick_min_width_mm,
        worth=goal.worth,
        order=order,
        hour=hour,
    )
