"""A page of a PDF is shown as it prints."""

from __future__ import annotations

import io

import pytest
from PIL import Image

from seamwright.app.previewing import WIDTH_PX, page_count, page_png


def two_pages() -> bytes:
    out = io.BytesIO()
    first, second = (Image.new("RGB", (170, 220), colour) for colour in ("white", "black"))
    first.save(out, format="PDF", save_all=True, append_images=[second])
    return out.getvalue()


def test_pages_in_their_order() -> None:
    data = two_pages()
    assert page_count(data) == 2
    pages = [Image.open(io.BytesIO(page_png(data, number))).convert("L") for number in (1, 2)]
    assert [page.width for page in pages] == [WIDTH_PX] * 2
    assert [page.getpixel((500, 500)) for page in pages] == [255, 0]


@pytest.mark.parametrize("number", [0, 3])
def test_no_such_page(number: int) -> None:
    with pytest.raises(IndexError):
        page_png(two_pages(), number)
