"""What a woodworker should look at in a drawing that is sound."""

from __future__ import annotations

import difflib
from collections.abc import Collection
from functools import lru_cache

from seamwright.design.model import Drawing
from seamwright.design.wording import short, some
from seamwright.errors import Fault


def remarks(drawing: Drawing, *, known_woods: Collection[str]) -> tuple[Fault, ...]:
    """Warnings, never refusals: woods without figures, letters that no patch uses.

    Args:
        known_woods: names of the woods the caller has figures for; letter case is ignored.
    Returns:
        Faults with a code from D601; the drawing can be used as it stands.
    """
    found = []
    names = {wood.lower(): wood for wood in known_woods}
    used = {patch.wood for patch in drawing.patches}
    for letter, name in drawing.woods:
        if letter not in used:
            remedy = "take it out, or check the letters in the cells"
            found.append(Fault("D602", f"woods.{letter}", "is used by no patch", remedy))
        if name.lower() in names:
            continue
        near = _nearest(name.lower(), tuple(names))
        if near:
            remedy = f"did you mean {short(names[near])}?"
        else:
            remedy = f"movement and strength are left out for it; known are {some(sorted(names))}"
        found.append(Fault("D601", f"woods.{letter}", f"is {short(name)}, not known here", remedy))
    return tuple(found)


@lru_cache(maxsize=256)
def _nearest(name: str, names: tuple[str, ...]) -> str:
    """The name most like another; "" where none is like it."""
    return next(iter(difflib.get_close_matches(name, names, n=1)), "")
