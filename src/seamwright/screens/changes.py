"""What a page may ask to change in a drawing, read strictly from what its script sends."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from seamwright.app import redrawing
from seamwright.app.desk import Change
from seamwright.app.making_on import Base, make_on
from seamwright.app.moving import Reach, move_seam, typed_mm
from seamwright.errors import DesignError, Fault
from seamwright.geometry import Point
from seamwright.lengths import Unit


def change_of(asked: Mapping[str, Any]) -> tuple[Change, str]:
    """The change asked for, and how the history tells it.

    Raises:
        DesignError: it was not understood.
    """
    try:
        return _change_of(asked)
    except (KeyError, TypeError, ValueError, IndexError):
        raise DesignError(Fault("A901", "the change", "was not understood")) from None


def _change_of(asked: Mapping[str, Any]) -> tuple[Change, str]:
    what = asked["what"]
    if what in {"seam", "join", "move"}:
        return _seams(what, asked)
    return _patches(what, asked)


def _seams(what: str, asked: Mapping[str, Any]) -> tuple[Change, str]:
    if what == "seam":
        start, end = _point(asked["start"]), _point(asked["end"])
        return lambda drawing: redrawing.lay_seam(drawing, start, end), "Laid a seam"
    first, second = (str(name) for name in asked["patches"])
    if what == "join":
        return lambda drawing: redrawing.join(drawing, first, second), "Took a seam away"
    by, reach = asked["by"], Reach(asked["reach"])
    if isinstance(by, str):
        return lambda d: move_seam(d, first, second, typed_mm(by, d.unit), reach), "Moved a seam"
    by_mm = _finite(by)
    return lambda d: move_seam(d, first, second, by_mm, reach), "Moved a seam"


def _patches(what: str, asked: Mapping[str, Any]) -> tuple[Change, str]:
    if what == "fill":
        names, wood = _names(asked), str(asked["wood"])
        return lambda drawing: redrawing.fill(drawing, names, wood), f"Filled with {wood}"
    if what == "grain":
        names, deg = _names(asked), _angle(asked["grain_deg"])
        return lambda drawing: redrawing.turn_grain(drawing, names, deg), "Turned the grain"
    if what == "size":
        sizes = {key: str(asked[key]) for key in ("width", "height", "thickness")}
        copies = _copies(str(asked["copies"]))
        return (
            lambda drawing: redrawing.resize(drawing, **sizes, copies=copies),
            "Changed the size",
        )
    return _whole_board(what, asked)


def _whole_board(what: object, asked: Mapping[str, Any]) -> tuple[Change, str]:
    if what == "title":
        title = str(asked["title"])
        return lambda drawing: redrawing.retitle(drawing, title), "Renamed"
    if what == "base":
        base, typed = Base(asked["base"]), {key: str(value) for key, value in asked.items()}
        return lambda drawing: make_on(drawing, base, typed), base.words
    if what == "wood":
        letter, name = str(asked["letter"]), str(asked["name"])
        return lambda drawing: redrawing.name_wood(drawing, letter, name), f"Wood: {name}"
    if what == "unit":
        unit = Unit(asked["unit"])
        return lambda drawing: redrawing.in_unit(drawing, unit), "Changed the unit"
    if what == "mirror":
        return redrawing.mirror, "Mirrored"
    if what == "turn":
        return redrawing.quarter_turn, "Turned a quarter"
    raise ValueError(what)


def _copies(typed: str) -> int:
    if not (typed.strip().isascii() and typed.strip().isdigit() and len(typed) < 6):
        what = f"{typed[:20]!r} is no whole number"
        raise DesignError(Fault("D905", "the number of boards", what, "type 1 or more"))
    return int(typed)


def _point(given: Any) -> Point:
    x, y = (float(value) for value in given)
    if not (abs(x) < 1e5 and abs(y) < 1e5):
        raise ValueError(given)
    return (x, y)


def _names(asked: Mapping[str, Any]) -> frozenset[str]:
    return frozenset(str(name) for name in asked["patches"])


def _angle(given: Any) -> float | None:
    return None if given is None else _finite(given)


def _finite(given: Any) -> float:
    number = float(given)
    if not math.isfinite(number):
        raise ValueError(given)
    return number
