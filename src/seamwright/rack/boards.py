"""Boards on hand: wood, sizes, flaws as rectangles, and what may be bought.

A board lies with its length along x and its width along y, origin at the lower left corner of
the face that is looked at; flaws are rectangles in that frame and count as running through.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from enum import Enum

from seamwright.errors import Fault, SeamwrightError

_MOST_LETTERS = 80
_LONGEST_MM = 20_000.0


class RackError(SeamwrightError):
    """Boards, flaws or reservations that cannot be as stated."""


class FlawKind(Enum):
    """What is wrong with a spot of wood."""

    KNOT = "knot"
    SPLIT = "split"
    WANE = "wane"
    SAPWOOD = "sapwood"
    STAIN = "stain"
    RUNOUT = "grain runout"


class Ring(Enum):
    """How the growth rings stand to the wide face."""

    FLAT = "flat"
    RIFT = "rift"
    QUARTER = "quarter"
    UNKNOWN = "unknown"


class Finish(Enum):
    """Whether the thickness is as sawn or already planed."""

    ROUGH = "rough"
    MILLED = "milled"


class Stock(Enum):
    """Where a board comes from; offcuts are used first."""

    OFFCUT = "offcut"
    BOARD = "board"
    BOUGHT = "bought"


@dataclass(frozen=True, slots=True, kw_only=True)
class Flaw:
    """A rectangle of a board that no stick may hold [mm]."""

    kind: FlawKind
    x_mm: float
    y_mm: float
    length_mm: float
    width_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """One board or offcut.

    Attributes:
        name: mark on the board, unique on the rack.
        wood: full name of the wood.
        thickness_mm, width_mm, length_mm: as measured [mm]; the length runs with the grain.
        finish: rough or milled thickness.
        ring: growth rings to the wide face.
        stock: offcut or board.
        moisture_pct: metered moisture content [%], or None.
        price: what it cost, in the shop's currency, or None.
        place: where it lies.
        photo: name of a photo, "" for none.
        flaws: rectangles not to be used.
    """

    name: str
    wood: str
    thickness_mm: float
    width_mm: float
    length_mm: float
    finish: Finish = Finish.ROUGH
    ring: Ring = Ring.UNKNOWN
    stock: Stock = Stock.BOARD
    moisture_pct: float | None = None
    price: float | None = None
    place: str = ""
    photo: str = ""
    flaws: tuple[Flaw, ...] = ()

    @property
    def litres(self) -> float:
        """Volume of the whole board [dm³]."""
        return self.thickness_mm * self.width_mm * self.length_mm / 1e6


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A board size that can be bought.

    Attributes:
        name: the dealer's or user's name for it.
        price: of one board.
        limit: most that can be had, or None.
    """

    name: str
    wood: str
    thickness_mm: float
    width_mm: float
    length_mm: float
    price: float
    finish: Finish = Finish.ROUGH
    ring: Ring = Ring.UNKNOWN
    limit: int | None = None

    def as_board(self, name: str) -> Board:
        """The board it would be, clear of flaws."""
        return Board(
            name=name,
            wood=self.wood,
            thickness_mm=self.thickness_mm,
            width_mm=self.width_mm,
            length_mm=self.length_mm,
            finish=self.finish,
            ring=self.ring,
            stock=Stock.BOUGHT,
            price=self.price,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Reservation:
    """A board set aside for a job."""

    board: str
    job: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Rack:
    """Everything on hand, what is set aside, and what may be bought."""

    boards: tuple[Board, ...] = ()
    offers: tuple[Offer, ...] = ()
    reservations: tuple[Reservation, ...] = field(default=())

    def board(self, name: str) -> Board:
        """The board with this mark.

        Raises:
            RackError: there is none.
        """
        for board in self.boards:
            if board.name == name:
                return board
        raise RackError(
            Fault("R101", f"board {name}", "is not on the rack", "list the rack to see its marks")
        )

    def holder(self, name: str) -> str:
        """The job a board is set aside for, or ""."""
        return next((r.job for r in self.reservations if r.board == name), "")

    def free(self, *, job: str = "") -> tuple[Board, ...]:
        """Boards that nobody, or only this job, has set aside."""
        return tuple(b for b in self.boards if self.holder(b.name) in ("", job))

    def with_flaw(self, name: str, flaw: Flaw) -> Rack:
        """The rack with one more flaw marked on a board.

        Raises:
            RackError: no such board, or the flaw does not fit it.
        """
        marked = replace(self.board(name), flaws=(*self.board(name).flaws, flaw))
        found = board_faults(marked)
        if found:
            raise RackError(*found)
        return replace(self, boards=tuple(marked if b.name == name else b for b in self.boards))


def board_faults(board: Board) -> tuple[Fault, ...]:
    """Everything wrong with one board; empty where it can be used."""
    subject = f"board {board.name}" if board.name else "a board"
    found: list[Fault] = []
    if not board.name:
        found.append(Fault("R102", subject, "has no mark", "give it a short name"))
    if len(board.name) > _MOST_LETTERS:
        found.append(
            Fault("R102", subject[:60], f"has a mark of {len(board.name)} letters", "80 at most")
        )
    if any("\0" in text for text in (board.name, board.wood, board.place, board.photo)):
        found.append(Fault("R102", "a board", "has an empty sign (NUL) in a text", "leave it out"))
    if not board.wood:
        found.append(Fault("R103", subject, "has no wood", "name its wood"))
    sizes = {
        "thickness": board.thickness_mm,
        "width": board.width_mm,
        "length": board.length_mm,
    }
    for word, size in sizes.items():
        if not (math.isfinite(size) and 0 < size <= _LONGEST_MM):
            remedy = f"measure it; above 0, at most {_LONGEST_MM:g}"
            found.append(Fault("R104", subject, f"has a {word} of {size:g} mm", remedy))
    if board.moisture_pct is not None and not 0 <= board.moisture_pct <= 200:
        found.append(
            Fault("R105", subject, f"has {board.moisture_pct:g} % moisture", "give 0 to 200 %")
        )
    if board.price is not None and not (math.isfinite(board.price) and board.price >= 0):
        found.append(Fault("R106", subject, f"costs {board.price:g}", "give 0 or more"))
    for number, flaw in enumerate(board.flaws, 1):
        found.extend(_flaw_faults(board, flaw, f"{subject}, flaw {number}"))
    return tuple(found)


def rack_faults(rack: Rack) -> tuple[Fault, ...]:
    """Everything wrong with a rack: boards, marks used twice, boards set aside twice."""
    found: list[Fault] = []
    seen: set[str] = set()
    for board in rack.boards:
        found.extend(board_faults(board))
        if board.name in seen:
            found.append(
                Fault("R107", f"board {board.name}", "is there twice", "give each its own mark")
            )
        seen.add(board.name)
    held: set[str] = set()
    for reservation in rack.reservations:
        if reservation.board not in seen:
            found.append(
                Fault("R101", f"board {reservation.board}", "is set aside but not on the rack")
            )
        if reservation.board in held:
            found.append(Fault("R108", f"board {reservation.board}", "is set aside twice"))
        held.add(reservation.board)
    names = [offer.name for offer in rack.offers]
    for offer in rack.offers:
        found.extend(board_faults(offer.as_board(offer.name)))
        if names.count(offer.name) > 1:
            found.append(Fault("R107", f"offer {offer.name}", "is there twice", "name each once"))
        if offer.limit is not None and offer.limit < 0:
            found.append(Fault("R104", f"offer {offer.name}", "has a limit below 0"))
    return tuple(found)


def _flaw_faults(board: Board, flaw: Flaw, subject: str) -> list[Fault]:
    values = (flaw.x_mm, flaw.y_mm, flaw.length_mm, flaw.width_mm)
    if not all(math.isfinite(v) for v in values) or min(flaw.length_mm, flaw.width_mm) <= 0:
        return [Fault("R109", subject, "has no size", "give x, y, length and width above 0")]
    inside = (
        flaw.x_mm >= 0
        and flaw.y_mm >= 0
        and flaw.x_mm + flaw.length_mm <= board.length_mm + 1e-6
        and flaw.y_mm + flaw.width_mm <= board.width_mm + 1e-6
    )
    if inside:
        return []
    return [
        Fault(
            "R110",
            subject,
            f"reaches outside the board of {board.length_mm:g} × {board.width_mm:g} mm",
            "measure x along the length and y across, from the lower left corner",
        )
    ]
