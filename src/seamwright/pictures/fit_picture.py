"""Where seams may miss each other, and which settings they hang on, on the drawing of the board."""

from __future__ import annotations

from collections.abc import Sequence

from seamwright.design import Drawing
from seamwright.fit import StackUp
from seamwright.geometry import Point
from seamwright.pictures.dimensions import sign
from seamwright.pictures.looks import Looks
from seamwright.pictures.panel import panel
from seamwright.pictures.primitives import Disc, Ink, Item, Layer, Path, Picture, Weight, framed
from seamwright.pictures.sizes import Ruler

_RED, _BLUE = "#b3261e", "#1f5f99"
_LEAST_MM, _MOST_MM = 0.7, 3.2
_SURE = 0.95


def fit_picture(
    drawing: Drawing, stack: StackUp, *, looks: Looks, ruler: Ruler, scale: float
) -> Picture:
    """The board with a ring at every point where seams meet.

    A ring grows with the miss to be expected. Points that meet on 19 boards of 20 have a thin
    ring, the others a thick one with a cross in it; a number names the setting that a point hangs
    on most, so that nothing is told by colour alone.

    Args:
        drawing: the board.
        stack: what to expect.
        looks: of its woods.
        ruler: how sizes are written.
        scale: paper millimetres for one millimetre of board.
    """
    base = panel(drawing, looks=looks, ruler=ruler, scale=scale, names=False, sizes=False)
    items: list[Item] = list(base.items)
    widest = max((point.sd_mm for point in stack.points), default=0.0)
    for point in stack.points:
        at = (point.place[0] * scale, point.place[1] * scale)
        share = point.sd_mm / widest if widest else 0.0
        radius = _LEAST_MM + (_MOST_MM - _LEAST_MM) * share
        items += _ring(at, radius, sure=point.within >= _SURE)
    for number, matter in enumerate(stack.matters, start=1):
        items += _numbers(number, matter.points, scale)
    doubtful = sum(point.within < _SURE for point in stack.points)
    title = (
        f"{drawing.title}: {len(stack.points)} points where seams meet; {doubtful} of them miss "
        "on more than one board in 20"
    )
    return framed(items, title=title)


def _ring(at: Point, radius: float, *, sure: bool) -> list[Item]:
    colour, width = (_BLUE, 0.3) if sure else (_RED, 0.7)
    ring = Disc(centre=at, radius_mm=radius, ink=Ink(line=colour, fill="", width_mm=width))
    under = Disc(centre=at, radius_mm=radius, ink=Ink(line="#ffffff", width_mm=width + 0.5))
    if sure:
        return [under, ring]
    half = 0.6 * radius
    cross = [
        Path(
            points=((at[0] - half, at[1] - half * way), (at[0] + half, at[1] + half * way)),
            ink=Ink(line=colour, width_mm=0.5),
            layer=Layer.MARK,
        )
        for way in (1.0, -1.0)
    ]
    return [under, ring, *cross]


def _numbers(number: int, points: Sequence[Point], scale: float) -> list[Item]:
    """The number of a setting beside a few of the points that hang on it, spread over the board."""
    chosen = points[:: max(1, len(points) // 6)][:6]
    return [
        sign(
            (x * scale + 2.6 + 2.2 * (number - 1), y * scale + 2.6),
            str(number),
            size_mm=3.4,
            weight=Weight.BOLD,
        )
        for x, y in chosen
    ]
