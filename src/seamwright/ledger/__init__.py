"""What a job costs and what to ask for it."""

from seamwright.ledger.quote import (
    Customer,
    Kind,
    LedgerError,
    Margin,
    Material,
    Quote,
    QuoteLine,
    Rates,
    Work,
    quote,
)

__all__ = [
    "Customer",
    "Kind",
    "LedgerError",
    "Margin",
    "Material",
    "Quote",
    "QuoteLine",
    "Rates",
    "Work",
    "quote",
]
