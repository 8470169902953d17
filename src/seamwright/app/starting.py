"""Files a user starts from: a design, a shop profile."""

from __future__ import annotations

import textwrap
from itertools import groupby
from os import PathLike
from pathlib import Path

from seamwright.app.keeping import write_new
from seamwright.design import starter
from seamwright.plan import ShopSource, shop_sources

_UNITS = {
    "mm": "mm",
    "min": "minutes",
    "money": "money",
    "%": "%",
    "°": "degrees",
    "g/m²": "g/m²",
    "": "whole number",
}
_SHOP_HEAD = """\
# Your shop. Everything here is a default: change what is different in yours, delete the rest.
# Sizes are in millimetres (1 in = 25.4), times in minutes. Behind each value stands where it comes
# from; "from memory" and "common practice" mean that you should check it against your machines.

# Your name and currency stand on what a customer gets. The margin is "on cost" or "of price".
[maker]
name = ""
currency = ""
margin = "on cost"
"""


def new_design(path: str | PathLike[str]) -> Path:
    """Write a commented design file to start from.

    Raises:
        FileError: there is a file of that name already, or it cannot be written.
    """
    return write_new(path, starter().encode())


def new_shop(path: str | PathLike[str]) -> Path:
    """Write the default shop profile, to be changed.

    Raises:
        FileError: there is a file of that name already, or it cannot be written.
    """
    return write_new(path, shop_text().encode())


def shop_text() -> str:
    """The default shop profile as a shop file, with what each value is and where it comes from."""
    blocks = [_SHOP_HEAD]
    for section, sources in groupby(shop_sources(), key=lambda source: source.section):
        blocks.append(f"[{section}]")
        blocks.extend(_entry(source) for source in sources)
    return "\n".join(blocks)


def _entry(source: ShopSource) -> str:
    about = f"{source.about} [{_UNITS[source.unit]}, {source.least:g} to {source.most:g}]"
    lines = [*textwrap.wrap(about, 96), *textwrap.wrap(f"source: {source.source}", 96)]
    told = "\n".join(f"# {line}" for line in lines)
    return f"{told}\n{source.key} = {source.value:g}\n"
