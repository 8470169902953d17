"""What a cut plan says: per board the pieces and the cuts in order, and how good the plan is."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from seamwright.rack.boards import Board
from seamwright.rack.demand import Stick, Variant


class Direction(Enum):
    """Which way a cut runs."""

    CROSSCUT = "crosscut"
    RIP = "rip"


class Fate(Enum):
    """What becomes of a piece."""

    CUT_UP = "cut up"
    BLANK = "blank"
    LEFTOVER = "leftover"
    WASTE = "waste"


class Stopped(Enum):
    """Why the search ended."""

    PROVEN = "proven the best possible"
    TIME = "time was up"


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A rectangle of a board, in the board's frame [mm].

    Attributes:
        name: "P0" is the board; others count up in the order they are freed.
        stick, way: index of the stick wanted and of its variant, for a blank; else None.
    """

    name: str
    fate: Fate
    x_mm: float
    y_mm: float
    length_mm: float
    width_mm: float
    stick: int | None = None
    way: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """One straight cut through a whole piece.

    The saw takes the band from ``at_mm`` to ``at_mm + kerf_mm`` [board's frame], along x for a
    crosscut and along y for a rip. The band is thinner than the saw only at a piece's edge.

    Attributes:
        number: order of work on this board, from 1.
        piece: name of what is cut.
        near, far: names of what lies before and beyond the band; "" where nothing is left.
    """

    number: int
    direction: Direction
    piece: str
    at_mm: float
    kerf_mm: float
    near: str
    far: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardCuts:
    """How one board is cut.

    Attributes:
        board: the board; a bought one is named after its offer.
        offer: name of the offer it is bought by, "" for a board of the rack.
        pieces: the board first, then every piece in the order it is freed.
        cuts: in order of work.
        cost: what the board counts less what its leftovers give back.
    """

    board: Board
    offer: str
    pieces: tuple[Piece, ...]
    cuts: tuple[Cut, ...]
    cost: float

    def of(self, fate: Fate) -> tuple[Piece, ...]:
        """Pieces with this fate."""
        return tuple(p for p in self.pieces if p.fate is fate)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A stick wanted, its ways, and how many the plan makes.

    Attributes:
        stick, variants: what is wanted and the ways it may be got.
        made: sticks the plan makes; more than asked only where one resawn blank gives more.
        missing: sticks the plan cannot make.
    """

    stick: Stick
    variants: tuple[Variant, ...]
    made: int
    missing: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPlan:
    """A whole cut plan and how far it is from the best possible.

    Attributes:
        lines: every stick wanted, in the order of the demand.
        boards: boards cut, those of the rack first.
        cost: recounted from the pieces, missing sticks included.
        bound: no plan cut in this way (sections, strips, blanks) costs less.
        stopped: why the search ended.
        seed: with the same seed and enough time the same plan is found.
        matched: (mark, board) for sticks that match in colour; board "" where no single board
            could give them all and they come from several.
    """

    lines: tuple[Line, ...]
    boards: tuple[BoardCuts, ...]
    cost: float
    bound: float
    stopped: Stopped
    seed: int
    matched: tuple[tuple[str, str], ...] = ()

    @property
    def gap(self) -> float:
        """Share of the cost that a better plan could save at most, 0 to 1."""
        if self.cost <= 0:
            return 0.0
        return min(1.0, max(0.0, (self.cost - self.bound) / self.cost))

    @property
    def is_proven(self) -> bool:
        """Nothing better can be cut in this way."""
        return self.stopped is Stopped.PROVEN

    @property
    def verdict(self) -> str:
        """The quality in words."""
        if self.is_proven:
            return "the best possible with this way of cutting"
        if self.bound <= 0:
            return "found in the time given; how far it is from the best is not known yet"
        share = max(0.1, math.ceil(self.gap * 1000 - 1e-9) / 10)
        return f"within {share:.1f} % of the best possible with this way of cutting"

    @property
    def yield_pct(self) -> float:
        """Share of the wood taken from the rack (leftovers given back) that becomes blanks [%]."""
        blanks = used = 0.0
        for cuts in self.boards:
            thick = cuts.board.thickness_mm
            area = sum(p.length_mm * p.width_mm for p in cuts.of(Fate.BLANK))
            kept = sum(p.length_mm * p.width_mm for p in cuts.of(Fate.LEFTOVER))
            blanks += area * thick
            used += (cuts.board.length_mm * cuts.board.width_mm - kept) * thick
        return 100 * blanks / used if used else 0.0

    def purchases(self) -> tuple[tuple[str, int], ...]:
        """Offers to buy and how many of each."""
        count: dict[str, int] = {}
        for cuts in self.boards:
            if cuts.offer:
                count[cuts.offer] = count.get(cuts.offer, 0) + 1
        return tuple(count.items())
