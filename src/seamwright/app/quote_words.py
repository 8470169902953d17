"""A quote in words, and as a document for programs."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from seamwright.app.documents import SCHEMA, Document
from seamwright.app.quoting import QuoteReport

_WIDE = 52


def quote_lines(report: QuoteReport) -> Iterator[str]:
    """The breakdown, the total, what to know first."""
    quote = report.quote
    yield f"Quote for {quote.customer.title}: {quote.customer.sizes}"
    yield f"  Wood is charged at {report.basis.value}; cut plan {report.cut.plan.verdict}"
    yield ""
    for line in quote.lines:
        yield f"  {line.label:<30}{line.amount:>12,.2f}   {line.how}"
    yield f"  {'Total':<30}{amount(quote.total, quote.currency):>12}"
    if quote.copies > 1:
        yield f"  {'Each of ' + str(quote.copies):<30}{amount(quote.each, quote.currency):>12}"
    yield f"  {'Of which costs':<30}{quote.cost:>12,.2f}"
    for remark in report.remarks:
        yield f"  ! {remark}"


def amount(value: Decimal, currency: str) -> str:
    """An amount with its currency.

    >>> amount(Decimal("1234.5"), "€"), amount(Decimal("3"), "")
    ('€ 1,234.50', '3.00')
    """
    return f"{currency} {value:,.2f}".strip()


def quote_document(report: QuoteReport) -> Document:
    """What ``seamwright quote --json`` prints; amounts are texts, exact to the cent."""
    quote = report.quote
    customer = quote.customer
    return {
        "schema": SCHEMA,
        "title": customer.title,
        "maker": customer.maker,
        "sizes": customer.sizes,
        "woods": list(customer.woods),
        "care": list(customer.care),
        "currency": quote.currency,
        "basis": report.basis.value,
        "copies": quote.copies,
        "total": str(quote.total),
        "each": str(quote.each),
        "cost": str(quote.cost),
        "example_prices": report.money.is_example,
        "remarks": list(report.remarks),
        "lines": [
            {
                "kind": line.kind.value,
                "label": line.label,
                "how": line.how,
                "amount": str(line.amount),
            }
            for line in quote.lines
        ],
    }
