"""A quote: wood with its waste, hours at a rate, glue and finish, overhead, margin.

Every line is rounded to cents, half to even, and the total is the sum of the rounded lines, so
the customer can add it up.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from enum import Enum

from seamwright.errors import Fault, SeamwrightError

_CENT = Decimal("0.01")


class LedgerError(SeamwrightError):
    """Amounts that cannot be charged."""


class Margin(Enum):
    """What the margin is a share of."""

    ON_COST = "on cost"
    OF_PRICE = "of price"


class Kind(Enum):
    """What a line of a quote is for."""

    WOOD = "wood"
    WASTE = "waste"
    HOURS = "hours"
    GLUE = "glue"
    FINISH = "finish"
    OTHER = "other"
    OVERHEAD = "overhead"
    MARGIN = "margin"
    TAX = "tax"


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """One wood in the job.

    Attributes:
        name: of the wood.
        net_litres: in the finished sticks [dm³].
        gross_litres: taken from boards, leftovers given back [dm³]; not less than net.
        litre_price: at cost or replacement, in the shop's currency.
    """

    name: str
    net_litres: float
    gross_litres: float
    litre_price: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Rates:
    """The shop's prices.

    Attributes:
        hour: for an hour of work.
        glue_m2, finish_m2: for a square metre of glue line, of finished face.
        overhead_pct: on wood, hours, glue, finish and extras [%].
        margin_pct: see ``margin`` [%].
        margin: what the margin is a share of; of the price it must stay under 100 %.
        tax_pct: on the price [%].
        currency: sign or code shown with amounts.
    """

    hour: Decimal
    glue_m2: Decimal = Decimal(0)
    finish_m2: Decimal = Decimal(0)
    overhead_pct: Decimal = Decimal(0)
    margin_pct: Decimal = Decimal(0)
    margin: Margin = Margin.ON_COST
    tax_pct: Decimal = Decimal(0)
    currency: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """What goes into a job besides wood.

    Attributes:
        minutes: (what, minutes of one person), as the plan counts them.
        glue_m2: glue lines, one side [m²].
        finish_m2: faces to be finished, all coats once [m²].
        extras: (what, amount) bought for the job.
    """

    minutes: tuple[tuple[str, float], ...]
    glue_m2: float = 0.0
    finish_m2: float = 0.0
    extras: tuple[tuple[str, Decimal], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteLine:
    """One line: what for, how it was worked out, the amount."""

    kind: Kind
    label: str
    how: str
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Customer:
    """What the customer's page says besides the price.

    Attributes:
        title: of the piece.
        maker: name from the shop profile.
        sizes: "450 × 300 × 20 mm" or the like.
        woods: full names.
        care: how to look after it.
    """

    title: str
    maker: str = ""
    sizes: str = ""
    woods: tuple[str, ...] = ()
    care: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote:
    """A priced job with its breakdown."""

    customer: Customer
    lines: tuple[QuoteLine, ...]
    currency: str
    copies: int

    @property
    def total(self) -> Decimal:
        """What is asked for the whole job."""
        return sum((line.amount for line in self.lines), Decimal(0))

    @property
    def cost(self) -> Decimal:
        """What the job costs the shop: everything but margin and tax."""
        skip = (Kind.MARGIN, Kind.TAX)
        return sum((ln.amount for ln in self.lines if ln.kind not in skip), Decimal(0))

    @property
    def each(self) -> Decimal:
        """What one copy comes to, rounded to cents."""
        return _cents(self.total / self.copies)


def quote(
    *,
    customer: Customer,
    materials: tuple[Material, ...],
    work: Work,
    rates: Rates,
    copies: int = 1,
) -> Quote:
    """Price a job.

    Raises:
        LedgerError: an amount below 0, less wood taken than used, a margin of 100 % or more.
    """
    faults = _faults(materials, work, rates, copies)
    if faults:
        raise LedgerError(*faults)
    lines = [*_wood(materials), _hours(work, rates)]
    if work.glue_m2:
        lines.append(_area(Kind.GLUE, "Glue", work.glue_m2, rates.glue_m2))
    if work.finish_m2:
        lines.append(_area(Kind.FINISH, "Finish", work.finish_m2, rates.finish_m2))
    lines += [
        QuoteLine(kind=Kind.OTHER, label=label, how="as bought", amount=_cents(amount))
        for label, amount in work.extras
    ]
    lines.append(_share(Kind.OVERHEAD, "Overhead", _sum(lines), rates.overhead_pct))
    lines.append(_margin(_sum(lines), rates))
    if rates.tax_pct:
        lines.append(_share(Kind.TAX, "Tax", _sum(lines), rates.tax_pct))
    return Quote(customer=customer, lines=tuple(lines), currency=rates.currency, copies=copies)


def _wood(materials: tuple[Material, ...]) -> list[QuoteLine]:
    lines = []
    for material in materials:
        net = Decimal(str(material.net_litres))
        waste = Decimal(str(material.gross_litres)) - net
        lines.append(
            QuoteLine(
                kind=Kind.WOOD,
                label=material.name,
                how=f"{_short(net)} L × {material.litre_price}",
                amount=_cents(net * material.litre_price),
            )
        )
        share = 100 * waste / Decimal(str(material.gross_litres)) if material.gross_litres else 0
        lines.append(
            QuoteLine(
                kind=Kind.WASTE,
                label=f"{material.name}, waste",
                how=f"{_short(waste)} L × {material.litre_price} ({share:.0f} % of what is taken)",
                amount=_cents(waste * material.litre_price),
            )
        )
    return lines


def _hours(work: Work, rates: Rates) -> QuoteLine:
    hours = sum((Decimal(str(m)) for _, m in work.minutes), Decimal(0)) / 60
    return QuoteLine(
        kind=Kind.HOURS,
        label="Hours",
        how=f"{_short(hours)} h × {rates.hour}",
        amount=_cents(hours * rates.hour),
    )


def _area(kind: Kind, label: str, area_m2: float, price: Decimal) -> QuoteLine:
    area = Decimal(str(area_m2))
    return QuoteLine(
        kind=kind, label=label, how=f"{_short(area)} m² × {price}", amount=_cents(area * price)
    )


def _share(kind: Kind, label: str, base: Decimal, pct: Decimal) -> QuoteLine:
    return QuoteLine(
        kind=kind, label=label, how=f"{pct} % of {base}", amount=_cents(base * pct / 100)
    )


def _margin(base: Decimal, rates: Rates) -> QuoteLine:
    if rates.margin is Margin.ON_COST:
        return _share(Kind.MARGIN, "Margin", base, rates.margin_pct)
    price = base / (1 - rates.margin_pct / 100)
    return QuoteLine(
        kind=Kind.MARGIN,
        label="Margin",
        how=f"{rates.margin_pct} % of the price",
        amount=_cents(price) - base,
    )


def _faults(materials: tuple[Material, ...], work: Work, rates: Rates, copies: int) -> list[Fault]:
    found = []
    for material in materials:
        if not 0 <= material.net_litres <= material.gross_litres + 1e-9:
            found.append(
                Fault(
                    "E101",
                    f"wood {material.name}",
                    f"uses {material.net_litres:g} L of {material.gross_litres:g} L taken",
                    "what is taken must cover what is used",
                )
            )
        if material.litre_price < 0:
            found.append(Fault("E102", f"wood {material.name}", "has a price below 0"))
    amounts: dict[str, Decimal | float] = {
        "the hour": rates.hour,
        "glue": rates.glue_m2,
        "finish": rates.finish_m2,
        "overhead": rates.overhead_pct,
        "margin": rates.margin_pct,
        "tax": rates.tax_pct,
        "glue area": work.glue_m2,
        "finish area": work.finish_m2,
        **{f"minutes for {what}": minutes for what, minutes in work.minutes},
        **dict(work.extras),
    }
    found += [
        Fault("E103", what, f"is {amount}", "give 0 or more")
        for what, amount in amounts.items()
        if not amount >= 0
    ]
    if rates.margin is Margin.OF_PRICE and rates.margin_pct >= 100:
        found.append(Fault("E104", "margin", f"is {rates.margin_pct} % of the price", "under 100"))
    if copies < 1:
        found.append(Fault("E105", "copies", f"are {copies}", "give 1 or more"))
    return found


def _sum(lines: list[QuoteLine]) -> Decimal:
    return sum((line.amount for line in lines), Decimal(0))


def _cents(amount: Decimal) -> Decimal:
    return amount.quantize(_CENT, rounding=ROUND_HALF_EVEN)


def _short(amount: Decimal) -> str:
    return f"{amount:.2f}"
