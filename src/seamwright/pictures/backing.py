"""A face on its backing under cauls: what lies where when an overlay is pressed."""

from __future__ import annotations

from seamwright.geometry import Polygon, bounds
from seamwright.pictures.dimensions import SMALL_MM, dimension
from seamwright.pictures.looks import CHALK, INK, PAPER
from seamwright.pictures.primitives import Ink, Item, Layer, Path, Picture, Text, framed
from seamwright.pictures.sizes import Ruler
from seamwright.plan import Backed

_CAUL_MM = 40.0
_MOST_SCALE = 1.0


def backing_picture(
    backed: Backed, outline: Polygon, cauls: int, *, ruler: Ruler, width_mm: float, height_mm: float
) -> Picture:
    """Backing, face and the cauls across the shorter side, with the backing's size.

    Args:
        backed: the backing as it is cut.
        outline: of the face [mm].
        cauls: pairs of cauls; 0 where it does not lie in the press.
        ruler: how sizes are written.
        width_mm, height_mm: room on the page.
    """
    wide, high = backed.wide_mm, backed.high_mm
    across = high >= wide
    over, up = (0.0, 0.0) if not cauls else (_CAUL_MM, 0.0) if across else (0.0, _CAUL_MM)
    scale = min(
        (width_mm - 30.0) / (wide + 2.0 * over), (height_mm - 24.0) / (high + 2.0 * up), _MOST_SCALE
    )
    x0, y0, x1, y1 = bounds(outline)
    left, low = (wide - (x1 - x0)) / 2.0 - x0, (high - (y1 - y0)) / 2.0 - y0
    face = tuple(((x + left) * scale, (y + low) * scale) for x, y in outline)
    items: list[Item] = [
        _shape(_box(0.0, 0.0, wide, high, scale), Ink(line=INK, width_mm=0.25, dash_mm=(2.0, 1.2))),
        _shape(face, Ink(line=INK, width_mm=0.5)),
    ]
    long = high if across else wide
    for i in range(cauls):
        at = long * (2 * i + 1) / (2 * cauls)
        low_at, high_at = at - _CAUL_MM / 2.0, at + _CAUL_MM / 2.0
        box = (
            _box(-_CAUL_MM, low_at, wide + _CAUL_MM, high_at, scale)
            if across
            else _box(low_at, -_CAUL_MM, high_at, high + _CAUL_MM, scale)
        )
        items.append(_shape(box, Ink(line=CHALK, width_mm=0.35)))
        middle = ((box[0][0] + box[2][0]) / 2.0, (box[0][1] + box[2][1]) / 2.0)
        items.append(Text(at=middle, text=str(i + 1), size_mm=SMALL_MM, colour=CHALK, plate=PAPER))
    reach, aside = up * scale, over * scale
    w, h = wide * scale, high * scale
    items += dimension((w, -reach), (0.0, -reach), size_mm=wide, ruler=ruler, offset_mm=5.0)
    items += dimension((-aside, 0.0), (-aside, h), size_mm=high, ruler=ruler, offset_mm=5.0)
    under = f", under {cauls} pair{'s' if cauls > 1 else ''} of cauls" if cauls else ""
    title = f"the face on its backing{under}"
    return framed(items, title=title)


def _box(x0: float, y0: float, x1: float, y1: float, scale: float) -> Polygon:
    return (
        (x0 * scale, y0 * scale),
        (x1 * scale, y0 * scale),
        (x1 * scale, y1 * scale),
        (x0 * scale, y1 * scale),
    )


def _shape(points: Polygon, ink: Ink) -> Path:
    return Path(points=points, ink=ink, closed=True, layer=Layer.MARK)
