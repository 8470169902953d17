"""A board as wood, as light and dark, and as people see it who mix up some colours."""

from __future__ import annotations

import io
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache

from PIL import Image

from seamwright.app.checking import check
from seamwright.app.drawings import drawing_of
from seamwright.design import Drawing
from seamwright.geometry import bounds
from seamwright.pictures import Looks, Ruler, looks, panel, svg
from seamwright.pictures.timber import Age, from_drawing, paint
from seamwright.pictures.values import (
    CLOSE_COLOUR,
    CLOSE_LIGHTNESS,
    Sight,
    difference,
    grey,
    lightness,
    seen,
)

LONG_SIDE_PX = 800


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """Two woods that meet at seams.

    Attributes:
        woods: their names.
        together_mm: length of all seams between them.
        lightness: their L*.
        close: whether they run together when the eyes are half shut.
        mixed_up: who finds them hard to tell apart by colour.
    """

    woods: tuple[str, str]
    together_mm: float
    lightness: tuple[float, float]
    close: bool
    mixed_up: tuple[Sight, ...]


def pairs(drawing: Drawing) -> tuple[Pair, ...]:
    """Woods that meet, those with the longest seams first."""
    wood_of = {patch.name: patch.wood for patch in drawing.patches}
    together: dict[tuple[str, str], float] = defaultdict(float)
    for seam in check(drawing).seams:
        first, second = sorted(wood_of[side.patch] for side in seam.sides)
        if first != second:
            together[first, second] += seam.length_mm
    shown = looks(drawing.woods)
    found = (_pair(drawing, shown, woods, length_mm) for woods, length_mm in together.items())
    return tuple(sorted(found, key=lambda pair: -pair.together_mm))


def pair_words(pair: Pair, ruler: Ruler) -> str:
    """One pair in a sentence."""
    first, second = pair.woods
    a, b = pair.lightness
    told = f"{first} and {second}: lightness {a:.0f} and {b:.0f}, {abs(a - b):.0f} apart"
    if pair.close:
        told += "; too close, they run together when you half shut your eyes"
    if pair.mixed_up:
        told += f"; hard to tell by colour {', '.join(sight.value for sight in pair.mixed_up)}"
    return f"{told}. They meet along {ruler.about(pair.together_mm)}"


@lru_cache(maxsize=48)
def value_svg(design: str) -> str:
    """The board in greys as light as its woods."""
    return _recoloured(design, grey)


@lru_cache(maxsize=48)
def seen_svg(design: str, sight: Sight) -> str:
    """The board in flat colours, as somebody sees it."""
    return _recoloured(design, lambda colour: seen(colour, sight))


@lru_cache(maxsize=24)
def wood_jpeg(design: str, age: Age) -> bytes:
    """The board as wood, every patch from a stick of its own."""
    drawing = drawing_of(design)
    x0, y0, x1, y1 = bounds(drawing.outline)
    per_mm = LONG_SIDE_PX / max(x1 - x0, y1 - y0)
    picture = paint(
        from_drawing(drawing),
        looks=looks(drawing.woods),
        width_px=max(round((x1 - x0) * per_mm), 60),
        height_px=max(round((y1 - y0) * per_mm), 60),
        age=age,
    )
    out = io.BytesIO()
    Image.fromarray(picture, "RGB").save(out, format="JPEG", quality=88)
    return out.getvalue()


def _recoloured(design: str, change: Callable[[str], str]) -> str:
    drawing = drawing_of(design)
    plain: Looks = {
        letter: replace(look, fill=change(look.fill), line=change(look.fill))
        for letter, look in looks(drawing.woods).items()
    }
    x0, y0, x1, y1 = bounds(drawing.outline)
    scale = 120.0 / max(x1 - x0, y1 - y0)
    ruler = Ruler(unit=drawing.unit)
    return svg(panel(drawing, looks=plain, ruler=ruler, scale=scale, names=False, sizes=False))


def _pair(drawing: Drawing, shown: Looks, woods: tuple[str, str], length_mm: float) -> Pair:
    first, second = (shown[letter].fill for letter in woods)
    light = (lightness(first), lightness(second))
    mixed_up = tuple(
        sight
        for sight in Sight
        if difference(seen(first, sight), seen(second, sight)) < CLOSE_COLOUR
    )
    return Pair(
        woods=(drawing.wood_name(woods[0]), drawing.wood_name(woods[1])),
        together_mm=length_mm,
        lightness=light,
        close=abs(light[0] - light[1]) < CLOSE_LIGHTNESS,
        mixed_up=mixed_up,
    )
