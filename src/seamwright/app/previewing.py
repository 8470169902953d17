"""Pages of finished PDF files as pictures: the very file that is handed out, as it will print."""

from __future__ import annotations

import io
from functools import lru_cache
from threading import Lock

import pypdfium2

WIDTH_PX = 1000
_ONE_AT_A_TIME = Lock()
"""The library may not be used by two threads at once."""


@lru_cache(maxsize=16)
def page_count(data: bytes) -> int:
    """How many pages a PDF has."""
    with _ONE_AT_A_TIME:
        document = pypdfium2.PdfDocument(data)
        try:
            return len(document)
        finally:
            document.close()


@lru_cache(maxsize=32)
def page_png(data: bytes, number: int) -> bytes:
    """A page as PNG, 1,000 pixels wide.

    Args:
        data: the PDF.
        number: of the page, from 1.
    Raises:
        IndexError: there is no such page.
    """
    if not 1 <= number <= page_count(data):
        raise IndexError(number)
    with _ONE_AT_A_TIME:
        document = pypdfium2.PdfDocument(data)
        try:
            page = document[number - 1]
            picture = page.render(scale=(WIDTH_PX - 0.5) / page.get_width()).to_pil()
        finally:
            document.close()
    out = io.BytesIO()
    picture.convert("RGB").quantize(64).save(out, format="PNG")
    return out.getvalue()
