"""What a board is made on, as the drawing screen shows and takes it: through, or on a backing."""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum

from seamwright.app.documents import Document
from seamwright.app.redrawing import settled
from seamwright.design import Drawing, Kind, Unit, made_on
from seamwright.pictures import Ruler


class Base(Enum):
    """What carries the pattern."""

    THROUGH = "through"
    PANEL = "panel"
    WOOD = "wood"

    @property
    def words(self) -> str:
        """As the history tells it."""
        return {
            "through": "No backing, it runs through",
            "panel": "A panel as backing",
            "wood": "Solid wood as backing",
        }[self.value]


_USUAL = {
    Unit.INCH: {"board": "3/4", "face": "1/8", "thickness": "1/2"},
    Unit.MM: {"board": "19", "face": "3", "thickness": "12"},
}
"""Offered where the drawing says nothing; common practice, no source."""


def make_on(drawing: Drawing, base: Base, typed: Mapping[str, str]) -> Drawing:
    """The drawing on another backing, or through.

    Args:
        drawing: the drawing.
        base: what carries the pattern.
        typed: ``board`` or ``face``, its thickness; for a face also ``thickness`` of the backing,
            its ``panel``, or ``wood`` and ``grain``, and perhaps ``veneer``.
    Raises:
        DesignError: any of it breaks a rule; subjects are keys of the design file.
    """
    if base is Base.THROUGH:
        return settled(made_on(drawing, {"kind": "through", "thickness": typed["board"]}))
    keys = ("panel",) if base is Base.PANEL else ("wood", "grain")
    backing = {key: typed[key].strip() for key in (*keys, "thickness")}
    if typed.get("veneer"):
        backing["veneer"] = typed["veneer"]
    if not backing.get("grain", "-"):
        del backing["grain"]
    values = {"kind": "overlay", "thickness": typed["face"], "backing": backing}
    return settled(made_on(drawing, values))


def base_view(drawing: Drawing, ruler: Ruler, panel_mm: float) -> Document:
    """What the form shows.

    Args:
        drawing: the drawing.
        ruler: tells lengths as they may be typed again.
        panel_mm: thickness of the shop's panel, taken where the drawing names no backing [mm].
    """
    usual = _USUAL[drawing.unit]
    shown = {**usual, "panel": "birch plywood", "wood": drawing.woods[0][0], "grain": "up"}
    shown["veneer"] = (drawing.backing.veneer if drawing.backing else None) or ""
    if drawing.kind is Kind.THROUGH:
        return {"base": Base.THROUGH.value, **shown, "board": ruler.typed(drawing.thickness_mm)}
    shown["face"] = ruler.typed(drawing.thickness_mm)
    backing = drawing.backing
    thick = panel_mm if backing is None else backing.thickness_mm
    shown["thickness"] = ruler.typed(thick)
    if backing is None:
        return {"base": Base.PANEL.value, **shown, "panel": "plywood"}
    if backing.grain_deg is None:
        return {"base": Base.PANEL.value, **shown, "panel": backing.material}
    grain = {90.0: "up", 0.0: "across"}.get(backing.grain_deg) or f"{backing.grain_deg:g}"
    return {"base": Base.WOOD.value, **shown, "wood": backing.material, "grain": grain}


def base_words(drawing: Drawing, ruler: Ruler, panel_mm: float) -> str:
    """How thick the whole comes; nothing where the pattern runs through."""
    if drawing.kind is Kind.THROUGH:
        return ""
    thick = panel_mm if drawing.backing is None else drawing.backing.thickness_mm
    whole = ruler.both(thick + 2.0 * drawing.thickness_mm)
    return f"With face, backing and balancing veneer: {whole} thick."
