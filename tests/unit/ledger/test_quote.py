from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from seamwright.ledger import (
    Customer,
    Kind,
    LedgerError,
    Margin,
    Material,
    Rates,
    Work,
    quote,
)

# every amount is invented
WHO = Customer(title="Reading-desk panel", maker="A shop", woods=("ash",))
ASH = Material(name="ash", net_litres=2.0, gross_litres=2.5, litre_price=Decimal("8.00"))
WORK = Work(minutes=(("sticks", 60.0), ("glue-ups", 45.0)), glue_m2=0.5, finish_m2=0.2)
RATES = Rates(
    hour=Decimal("40"),
    glue_m2=Decimal("6"),
    finish_m2=Decimal("15"),
    overhead_pct=Decimal("10"),
    margin_pct=Decimal("20"),
)


def _by_kind(found) -> dict[Kind, Decimal]:
    return {line.kind: line.amount for line in found.lines}


def test_a_quote_worked_by_hand():
    found = quote(customer=WHO, materials=(ASH,), work=WORK, rates=RATES)
    assert _by_kind(found) == {
        Kind.WOOD: Decimal("16.00"),
        Kind.WASTE: Decimal("4.00"),
        Kind.HOURS: Decimal("70.00"),
        Kind.GLUE: Decimal("3.00"),
        Kind.FINISH: Decimal("3.00"),
        Kind.OVERHEAD: Decimal("9.60"),
        Kind.MARGIN: Decimal("21.12"),
    }
    assert found.total == Decimal("126.72")
    assert found.cost == Decimal("105.60")


def test_a_margin_of_the_price_is_that_share_of_the_price():
    rates = replace(RATES, margin=Margin.OF_PRICE)
    found = quote(customer=WHO, materials=(ASH,), work=WORK, rates=rates)
    assert found.total == Decimal("132.00")
    assert _by_kind(found)[Kind.MARGIN] / found.total == Decimal("0.2")


def test_tax_and_extras_and_copies():
    work = replace(WORK, extras=(("feet", Decimal("4.40")),))
    rates = replace(RATES, tax_pct=Decimal("7.5"), margin_pct=Decimal(0), overhead_pct=Decimal(0))
    found = quote(customer=WHO, materials=(ASH,), work=work, rates=rates, copies=3)
    assert found.total == Decimal("107.93")
    assert found.each == Decimal("35.98")


def test_lines_add_up_to_the_total():
    odd = replace(ASH, litre_price=Decimal("7.777"))
    found = quote(customer=WHO, materials=(odd,), work=WORK, rates=RATES)
    assert sum(line.amount for line in found.lines) == found.total
    assert all(line.amount == round(line.amount, 2) for line in found.lines)


@pytest.mark.parametrize(
    ("materials", "work", "rates", "copies", "code"),
    [
        ((replace(ASH, gross_litres=1.0),), WORK, RATES, 1, "E101"),
        ((replace(ASH, litre_price=Decimal(-1)),), WORK, RATES, 1, "E102"),
        ((ASH,), replace(WORK, minutes=(("x", -1.0),)), RATES, 1, "E103"),
        (
            (ASH,),
            WORK,
            replace(RATES, margin=Margin.OF_PRICE, margin_pct=Decimal(100)),
            1,
            "E104",
        ),
        ((ASH,), WORK, RATES, 0, "E105"),
    ],
)
def test_senseless_amounts_are_refused(materials, work, rates, copies, code):
    with pytest.raises(LedgerError) as caught:
        quote(customer=WHO, materials=materials, work=work, rates=rates, copies=copies)
    assert [fault.code for fault in caught.value.faults] == [code]
