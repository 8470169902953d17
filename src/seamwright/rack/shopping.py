"""What to buy: board feet by the hardwood rule, cubic metres, and what a grade yields."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from seamwright.rack.boards import Finish
from seamwright.rack.layout import CutPlan
from seamwright.rack.quarters import INCH_MM, quarter_for, quarter_of

_FOOT_IN = 12


class Rounding(Enum):
    """How a yard rounds surface measure."""

    NEAREST = "nearest"
    """To the nearest square foot, a half alternately up and down (here: to the even number)."""
    UP = "up"
    """Always up, as some yards do."""


class Grade(Enum):
    """Hardwood grades and the clear face they promise on the poorer side.

    Reference:
        Clear-face minimum yields of the National Hardwood Lumber Association's grades: 83 1/3,
        66 2/3, 50 and 33 1/3 per cent.
    """

    FAS = ("FAS", Fraction(10, 12))
    NO_1_COMMON = ("No. 1 Common", Fraction(8, 12))
    NO_2A_COMMON = ("No. 2A Common", Fraction(6, 12))
    NO_3A_COMMON = ("No. 3A Common", Fraction(4, 12))

    @property
    def label(self) -> str:
        """As the trade writes it."""
        return self.value[0]

    @property
    def clear(self) -> Fraction:
        """Least share of the face that is clear."""
        return self.value[1]


def board_feet(*, thickness_in: Fraction, width_in: Fraction, length_ft: Fraction) -> Fraction:
    """Exact board feet: thickness and width in inches, length in feet; thinner than 1 in is 1 in.

    Example:
        >>> board_feet(thickness_in=Fraction(1), width_in=Fraction(6), length_ft=Fraction(8))
        Fraction(4, 1)
    """
    return max(thickness_in, Fraction(1)) * width_in * length_ft / _FOOT_IN


def surface_measure(*, width_in: Fraction, length_ft: Fraction, rounding: Rounding) -> int:
    """Surface measure [ft²] of one board: width × whole feet of length / 12, rounded.

    Example:
        >>> surface_measure(
        ...     width_in=Fraction(25, 4), length_ft=Fraction(8), rounding=Rounding.NEAREST
        ... )
        4
    """
    square_feet = width_in * math.floor(length_ft) / _FOOT_IN
    return math.ceil(square_feet) if rounding is Rounding.UP else round(square_feet)


def tally_feet(
    *, thickness_in: Fraction, width_in: Fraction, length_ft: Fraction, rounding: Rounding
) -> Fraction:
    """Board feet a yard would write down for one board: surface measure × thickness."""
    measure = surface_measure(width_in=width_in, length_ft=length_ft, rounding=rounding)
    return measure * max(thickness_in, Fraction(1))


def inches(size_mm: float) -> Fraction:
    """Inches, exactly for the binary value given, to the nearest 1/1000."""
    return Fraction(round(size_mm / INCH_MM * 1000), 1000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchase:
    """One line of a shopping list.

    Attributes:
        wood: full name.
        size: quarter size, or the thickness in mm where none fits.
        what: "6 × offer name", or the sticks that are missing.
        boards: boards to buy; 0 where only a volume is known.
        exact_feet: board feet without rounding, allowance included.
        feet_nearest, feet_up: as yards tally, allowance included; None where sizes are open.
        cubic_m: volume with allowance [m³].
        price: in the shop's currency, 0 where unknown; without allowance.
    """

    wood: str
    size: str
    what: str
    boards: int
    exact_feet: float
    feet_nearest: float | None
    feet_up: float | None
    cubic_m: float
    price: float


def shopping_list(
    plan: CutPlan, *, allowance_pct: float = 15.0, grade: Grade | None = None
) -> tuple[Purchase, ...]:
    """What a plan buys, and rough wood for the sticks it could not make.

    Args:
        plan: the cut plan.
        allowance_pct: bought on top for mishaps and matching [%]; for boards counted out in the
            plan it is added to the measures, not to the number of boards.
        grade: for missing sticks, the grade to be bought; their volume is divided by its clear
            share. None takes clear wood.
    """
    more = 1 + allowance_pct / 100
    return (*_bought(plan, more), *_missing(plan, more, grade))


def _bought(plan: CutPlan, more: float) -> list[Purchase]:
    lines = []
    for offer, count in plan.purchases():
        board = next(c.board for c in plan.boards if c.offer == offer)
        size = quarter_of(board.thickness_mm) if board.finish is Finish.ROUGH else None
        thick = size.rough_in if size else inches(board.thickness_mm)
        wide, long = inches(board.width_mm), inches(board.length_mm) / _FOOT_IN
        exact = board_feet(thickness_in=thick, width_in=wide, length_ft=long)
        near, up = (
            tally_feet(thickness_in=thick, width_in=wide, length_ft=long, rounding=rounding)
            for rounding in Rounding
        )
        lines.append(
            Purchase(
                wood=board.wood,
                size=size.name if size else f"{board.thickness_mm:g} mm",
                what=f"{count} × {offer}",
                boards=count,
                exact_feet=float(exact) * count * more,
                feet_nearest=float(near) * count * more,
                feet_up=float(up) * count * more,
                cubic_m=board.litres / 1000 * count * more,
                price=(board.price or 0.0) * count,
            )
        )
    return lines


def _missing(plan: CutPlan, more: float, grade: Grade | None) -> list[Purchase]:
    share = float(grade.clear) if grade else 1.0
    volume: dict[tuple[str, str], float] = {}
    names: dict[tuple[str, str], list[str]] = {}
    for line in plan.lines:
        if not line.missing:
            continue
        way = line.variants[0]
        size = quarter_for(way.milled_mm)
        thick = size.rough_mm if size else way.rough_mm
        key = (line.stick.wood, size.name if size else f"{way.rough_mm:.0f} mm")
        litres = thick * way.rip_mm * way.length_mm / 1e6 * line.missing
        volume[key] = volume.get(key, 0.0) + litres
        names.setdefault(key, []).append(f"{line.missing} of {line.stick.name}")
    return [
        Purchase(
            wood=key[0],
            size=key[1],
            what="; ".join(names[key]),
            boards=0,
            exact_feet=litres / _FOOT_LITRES * more / share,
            feet_nearest=None,
            feet_up=None,
            cubic_m=litres / 1000 * more / share,
            price=0.0,
        )
        for key, litres in sorted(volume.items())
    ]


_FOOT_LITRES = INCH_MM**3 * 144 / 1e6
"""Litres in a board foot, 144 cubic inches."""
