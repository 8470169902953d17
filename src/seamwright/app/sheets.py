"""Sheets that are bought for an overlay: its panel and its balancing veneer, and what they cost."""

from __future__ import annotations

from decimal import Decimal

from seamwright.plan import Money, Plan, Sheet, bought
from seamwright.rack.shopping import Purchase


def sheet_purchases(plan: Plan) -> tuple[Purchase, ...]:
    """Lines of the shopping list; measured by the piece, not in board feet."""
    return tuple(_purchase(sheet, plan.copies) for sheet in bought(plan.backed) if sheet)


def sheet_costs(plan: Plan, money: Money) -> tuple[tuple[str, Decimal], ...]:
    """What, and its price by the square metre of the shop file; for all boards."""
    prices = (money.values["panel_m2"], money.values["veneer_m2"])
    found = []
    for sheet, price in zip(bought(plan.backed), prices, strict=True):
        if sheet is not None:
            square_m = sheet.m2 * plan.copies
            label = f"{sheet.name.capitalize()}, {square_m:.3f} m²"
            found.append((label, Decimal(f"{square_m * price:.2f}")))
    return tuple(found)


def _purchase(sheet: Sheet, copies: int) -> Purchase:
    litres = sheet.m2 * sheet.depth_mm
    return Purchase(
        wood=sheet.name,
        size=f"{sheet.depth_mm:g} mm",
        what=f"{copies} × {sheet.wide_mm:.0f} × {sheet.high_mm:.0f} mm",
        boards=copies,
        exact_feet=0.0,
        feet_nearest=None,
        feet_up=None,
        cubic_m=litres / 1000.0 * copies,
        price=0.0,
    )
