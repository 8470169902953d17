"""Read a PDF back: its text, page by page."""

from __future__ import annotations

from functools import cache

import pypdfium2


@cache
def page_texts(data: bytes) -> tuple[str, ...]:
    book = pypdfium2.PdfDocument(data)
    return tuple(page.get_textpage().get_text_range().replace("\r\n", "\n") for page in book)


def squeezed(text: str) -> str:
    """Without blanks: turned text comes back with breaks inside its words."""
    return "".join(text.split())
