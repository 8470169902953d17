"""The verb "quote": what a board costs and what to ask for it, line by line."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum

from seamwright.app.cutting import CutReport
from seamwright.app.planning import PlanReport
from seamwright.app.sheets import sheet_costs
from seamwright.app.step_words import sizes_text
from seamwright.errors import Fault
from seamwright.geometry import bounds
from seamwright.ledger import Customer, LedgerError, Margin, Material, Quote, Rates, Work, quote
from seamwright.pictures import Ruler
from seamwright.plan import (
    Laminate,
    Mill,
    Money,
    Resaw,
    Slice,
    Surface,
    Trim,
    backing_minutes,
    settings,
    work_minutes,
)
from seamwright.plan.effort import set_up_minutes
from seamwright.rack import Fate, Rack, gluing_minutes

CARE = (
    "Wipe with a damp cloth and dry at once. Never soak it, and keep it out of the dishwasher.",
    "Keep it out of direct sun and away from heaters: wood moves with the air, and colours change.",
    "Renew the finish when water no longer beads on it, as the label of the finish says.",
)
"""Common practice, no source."""

_WORK = {
    Mill: "Milling sticks",
    Slice: "Slicing",
    Trim: "Trimming",
    Laminate: "Gluing up",
    Resaw: "Resawing",
    Surface: "Planing",
}
_M2 = 1e-6


class Basis(Enum):
    """What wood from the rack is charged at."""

    COST = "cost"
    """What was paid for the boards."""
    REPLACEMENT = "replacement"
    """What the same wood costs new."""


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteReport:
    """A quote and what it rests on.

    Attributes:
        cut: the cut plan the wood is counted from.
        quote: the priced job.
        basis: what wood is charged at.
        maker_money: whose shop, whose prices.
        remarks: what to know before it is handed over.
    """

    cut: CutReport
    quote: Quote
    basis: Basis
    money: Money
    remarks: tuple[str, ...]


def quote_board(
    cut: CutReport,
    money: Money,
    *,
    basis: Basis = Basis.REPLACEMENT,
    extras: tuple[tuple[str, str], ...] = (),
) -> QuoteReport:
    """Price a board: wood with its waste, hours from the plan, glue, finish, overhead, margin.

    Args:
        cut: the cut plan.
        money: the shop's prices.
        basis: what wood from the rack is charged at.
        extras: (what, amount) bought for this job only.
    Raises:
        LedgerError: an amount makes no sense.
    """
    rates = _rates(money)
    materials = _materials(cut, money, basis)
    work = Work(
        minutes=(*_minutes(cut.report), *_gluing(cut)),
        glue_m2=glue_area_mm2(cut.report) * _M2,
        finish_m2=_finish_mm2(cut.report) * _M2,
        extras=(
            *sheet_costs(cut.report.plan, money),
            *((label, _amount(label, text)) for label, text in extras),
        ),
    )
    priced = quote(
        customer=_customer(cut, money),
        materials=materials,
        work=work,
        rates=rates,
        copies=cut.drawing.copies,
    )
    return QuoteReport(
        cut=cut, quote=priced, basis=basis, money=money, remarks=_remarks(cut, money)
    )


def glue_area_mm2(report: PlanReport) -> float:
    """Area of all glue lines, one side, strip sets before they are sliced included [mm²].

    Between two neighbours of a glue-up it is what they share along the seam times their depth; a
    face on a backing adds the sides of the backing that are glued.
    """
    solids = dict(report.shelf.solids)
    total = 0.0
    for step in report.plan.steps:
        if not isinstance(step, Laminate):
            continue
        turned = math.radians(step.seams_deg)
        along = (math.cos(turned), math.sin(turned))
        spans = []
        for placed in step.parts:
            solid = solids[placed.part]
            ends = [x * along[0] + y * along[1] for x, y in placed.at.polygon(solid.hull)]
            spans.append((min(ends), max(ends), solid.depth_mm))
        for (lo, hi, deep), (low, high, other) in itertools.pairwise(spans):
            total += max(0.0, min(hi, high) - max(lo, low)) * min(deep, other) * step.count
    backed = report.plan.backed
    if backed is not None:
        sides = 2 if backed.counter_mm else 1
        total += sides * backed.wide_mm * backed.high_mm * report.plan.copies
    return total


def _finish_mm2(report: PlanReport) -> float:
    x0, y0, x1, y1 = bounds(report.drawing.outline)
    wide, high, deep = x1 - x0, y1 - y0, _thick_mm(report)
    return 2 * (wide * high + (wide + high) * deep) * report.drawing.copies


def _minutes(report: PlanReport) -> tuple[tuple[str, float], ...]:
    plan = report.plan
    found: dict[str, float] = {}
    for step, made in zip(plan.steps, settings(plan), strict=True):
        label = _WORK[type(step)]
        spent = work_minutes(step, plan.shop) + sum(set_up_minutes(s, plan.shop) for s in made)
        found[label] = found.get(label, 0.0) + spent
    if plan.backed is not None:
        found["Backing"] = backing_minutes(plan.shop) * plan.copies
    return tuple(found.items())


def _thick_mm(report: PlanReport) -> float:
    """Thickness of the finished board, its backing included [mm]."""
    backed = report.plan.backed
    return report.drawing.thickness_mm if backed is None else backed.thick_mm


def _gluing(cut: CutReport) -> tuple[tuple[str, float], ...]:
    """Sticks glued up from narrower or thinner blanks: work the plan itself knows nothing of."""
    shop, spent = cut.report.plan.shop, 0.0
    for cuts in cut.plan.boards:
        for piece in cuts.of(Fate.BLANK):
            if piece.stick is not None and piece.way is not None:
                variant = cut.plan.lines[piece.stick].variants[piece.way]
                spent += gluing_minutes(variant, shop) / variant.blanks
    return (("Gluing sticks up", spent),) if spent else ()


def _materials(cut: CutReport, money: Money, basis: Basis) -> tuple[Material, ...]:
    more = 1 + cut.wishes.allowance_pct / 100
    net: dict[str, float] = {}
    gross: dict[str, float] = {}
    for line in cut.plan.lines:
        stick = line.stick
        litres = stick.count * stick.length_mm * stick.width_mm * stick.depth_mm / 1e6
        net[stick.wood] = net.get(stick.wood, 0.0) + litres
    for cuts in cut.plan.boards:
        kept = sum(p.length_mm * p.width_mm for p in cuts.of(Fate.LEFTOVER))
        used = cuts.board.litres - kept * cuts.board.thickness_mm / 1e6
        gross[cuts.board.wood] = gross.get(cuts.board.wood, 0.0) + used
    for line in cut.plan.lines:
        if line.missing:
            way = line.variants[0]
            each = way.length_mm * way.rip_mm * way.rough_mm * way.blanks / 1e6
            wood = line.stick.wood
            gross[wood] = gross.get(wood, 0.0) + each * line.missing * more
    return tuple(
        Material(
            name=wood,
            net_litres=min(net[wood], gross[wood]),
            gross_litres=gross[wood],
            litre_price=_litre_price(wood, cut, money, basis),
        )
        for wood in sorted(net)
        if gross.get(wood)
    )


def _litre_price(wood: str, cut: CutReport, money: Money, basis: Basis) -> Decimal:
    paid = [
        (c.board.price, c.board.litres)
        for c in cut.plan.boards
        if c.board.wood == wood and c.board.price is not None
    ]
    if basis is Basis.COST and paid:
        return _cents(sum(p for p, _ in paid) / sum(litres for _, litres in paid))
    return _cents(new_litre_price(wood, cut.rack, money))


def new_litre_price(wood: str, rack: Rack, money: Money) -> float:
    """What a litre of a wood costs new: at the yard, else as boards were paid, else the shop's."""
    offers = [o.price / o.as_board(o.name).litres for o in rack.offers if o.wood == wood]
    if offers:
        return min(offers)
    paid = [b for b in rack.boards if b.wood == wood and b.price]
    if paid:
        return sum(b.price or 0.0 for b in paid) / sum(b.litres for b in paid)
    return money.values["wood_litre"]


def _rates(money: Money) -> Rates:
    def value(key: str) -> Decimal:
        return Decimal(f"{money.values[key]:.10g}")

    return Rates(
        hour=value("hour"),
        glue_m2=value("glue_m2"),
        finish_m2=value("finish_m2"),
        overhead_pct=value("overhead_pct"),
        margin_pct=value("margin_pct"),
        margin=Margin(money.margin),
        tax_pct=value("tax_pct"),
        currency=money.currency,
    )


def _customer(cut: CutReport, money: Money) -> Customer:
    drawing = cut.drawing
    x0, y0, x1, y1 = bounds(drawing.outline)
    used = {patch.wood for patch in drawing.patches}
    return Customer(
        title=drawing.title,
        maker=money.name,
        sizes=sizes_text(Ruler(unit=drawing.unit), x1 - x0, y1 - y0, _thick_mm(cut.report)),
        woods=tuple(drawing.wood_name(letter) for letter, _ in drawing.woods if letter in used),
        care=CARE,
    )


def _remarks(cut: CutReport, money: Money) -> tuple[str, ...]:
    told = []
    if money.is_example:
        told.append(
            "The prices are our examples, not yours: put your own into the shop file under "
            "[money] (or on the Shop screen) before a customer sees this."
        )
    if not money.name:
        told.append("No maker is named: put your name into the shop file under [maker].")
    short = sum(line.missing for line in cut.plan.lines)
    if short:
        told.append(
            f"{short} sticks are not on the rack nor at the yard: their wood is counted at the "
            "price of a litre."
        )
    return tuple(told)


def _amount(label: str, text: str) -> Decimal:
    try:
        amount = Decimal(text.strip())
    except ArithmeticError:
        amount = Decimal("nan")
    if not amount.is_finite():
        raise LedgerError(Fault("E103", label or "an extra", f"is {text[:20]!r}", "give an amount"))
    return amount


def _cents(value: float) -> Decimal:
    return Decimal(f"{value:.2f}")
