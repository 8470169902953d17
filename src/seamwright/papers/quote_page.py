"""The page a customer gets: a picture of the board, sizes, woods, care, and the price."""

from __future__ import annotations

from decimal import Decimal

from seamwright.design import Drawing
from seamwright.geometry import bounds
from seamwright.ledger import Kind, Quote
from seamwright.papers.cards import Content, shown
from seamwright.papers.pages import Page
from seamwright.papers.typeset import pdf
from seamwright.pictures import Ruler, looks, panel
from seamwright.woods import Species

_GROUPS = (
    ("Wood, with its waste", (Kind.WOOD, Kind.WASTE)),
    ("Work", (Kind.HOURS,)),
    ("Glue and finish", (Kind.GLUE, Kind.FINISH)),
    ("Bought for this piece", (Kind.OTHER,)),
    ("Shop costs and margin", (Kind.OVERHEAD, Kind.MARGIN)),
    ("Tax", (Kind.TAX,)),
)
_PICTURE_MM = 108.0


def quote_page(
    quote: Quote,
    drawing: Drawing,
    *,
    page: Page = Page.LETTER,
    draft: str = "",
    own: tuple[Species, ...] = (),
) -> bytes:
    """A quote as one page (PDF); its lines are put together so that the customer can add them up.

    Args:
        quote: the priced job.
        drawing: the board.
        page: paper size.
        own: the user's own woods, for their colours.
        draft: printed large across the head where the prices are not the shop's own.
    """
    x0, y0, x1, y1 = bounds(drawing.outline)
    wide, _ = page.room_mm
    scale = min(wide / (x1 - x0), _PICTURE_MM / (y1 - y0))
    picture = panel(
        drawing,
        looks=looks(drawing.woods, own=own),
        ruler=Ruler(unit=drawing.unit),
        scale=scale,
        names=False,
        sizes=False,
    )
    customer = quote.customer
    content: Content = {
        "title": f"Quote: {customer.title}",
        "job": customer.title,
        "foot": "A drawing of the piece; grain and colour of real wood differ.",
        "page": {"width": page.width_mm, "height": page.height_mm},
        "name": customer.title,
        "maker": customer.maker,
        "draft": draft,
        "copies": quote.copies,
        "drawing": shown(picture),
        "facts": [
            {"name": "Size", "value": customer.sizes},
            {"name": "Woods", "value": ", ".join(customer.woods)},
        ],
        "rows": _rows(quote),
        "total": _amount(quote.total, quote.currency),
        "each": _amount(quote.each, quote.currency) if quote.copies > 1 else "",
        "care": list(customer.care),
    }
    return pdf("quote", content)


def _rows(quote: Quote) -> list[Content]:
    rows: list[Content] = []
    for label, kinds in _GROUPS:
        lines = [line for line in quote.lines if line.kind in kinds]
        total = sum((line.amount for line in lines), Decimal(0))
        if lines and total:
            rows.append({"label": label, "amount": _amount(total, quote.currency)})
    return rows


def _amount(value: Decimal, currency: str) -> str:
    return f"{currency} {value:,.2f}".strip()
