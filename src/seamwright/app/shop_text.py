"""The text of a shop profile, taken apart: machines in one form, own woods as typed."""

from __future__ import annotations

import re
import tomllib

from seamwright.errors import Fault, ShopError
from seamwright.plan import read_shop

_HEADING = re.compile(r"\s*\[+\s*([^\]\s.]+)")


def woods_part(profile: str) -> str:
    """The tables of woods in a profile, as they stand there.

    >>> woods_part("[saws]\\ntable_kerf = 2\\n[woods.plum]\\nlike = 'pear'\\n[minutes]")
    "[woods.plum]\\nlike = 'pear'"
    """
    kept: list[str] = []
    inside = False
    for line in profile.splitlines():
        heading = _HEADING.match(line)
        if heading:
            inside = heading[1] == "woods"
        if inside:
            kept.append(line)
    return "\n".join(kept).strip()


def woods_only(typed: str) -> str:
    """Woods as typed, if nothing else stands there.

    Raises:
        ShopError: anything in them is wrong, with lines as typed, or machines stand there too.
    """
    read_shop(typed)
    others = tomllib.loads(typed).keys() - {"woods"}
    if others:
        remedy = "give each wood a table, such as [woods.plum]"
        what = "stands among the woods"
        raise ShopError(Fault("P207", ", ".join(sorted(others))[:80], what, remedy))
    return typed.replace("\r\n", "\n").strip()
