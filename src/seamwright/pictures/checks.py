"""The test pieces of the checks of settings, with the letters that are read off them."""

from __future__ import annotations

from itertools import pairwise

from seamwright.geometry import Point, cos_deg, sin_deg
from seamwright.pictures.dimensions import SMALL_MM, arrow, sign
from seamwright.pictures.looks import CHALK, INK, PENCIL, QUIET, WASTE
from seamwright.pictures.primitives import Ink, Item, Layer, Path, Picture, Weight, framed

_WOOD = Ink(line=INK, fill="#f1ece1", width_mm=0.3)
_OFF = Ink(line=INK, fill=WASTE, width_mm=0.3)
_CUT = Ink(line=PENCIL, width_mm=0.45, dash_mm=(1.6, 1.0))
_FENCE = Ink(line="", fill=QUIET)
_ARM = Ink(line=CHALK, width_mm=0.6)
_THIN = Ink(line=QUIET, width_mm=0.2)


def five_cuts_picture() -> Picture:
    """A board at its fifth cut: edges numbered, fence behind, the strip and its two ends."""
    side, strip = 34.0, 7.0
    items: list[Item] = [
        _shape(((-3.0, -3.5), (46.0, -3.5), (46.0, 0.0), (-3.0, 0.0)), _FENCE),
        _box(0.0, 0.0, side, side, _WOOD),
        _shape(((36, 0), (36 + strip + 1.2, 0), (36 + strip - 1.2, side), (36, side)), _OFF),
        Path(points=((35.0, -5.5), (35.0, side + 4.0)), ink=_CUT, layer=Layer.CUT),
        *arrow((17.0, 12.0), (17.0, 23.0)),
        _word((17.0, 30.8), "2"),
        _word((3.2, 17.0), "3"),
        _word((17.0, 3.2), "4"),
        _word((39.6, 17.0), "1"),
        _letter((39.0, side + 3.0), "A"),
        _letter((40.2, -6.2), "B"),
        *_span((49.0, 0.0), (49.0, side), "L", (52.0, 17.0)),
        _word((8.0, -6.2), "fence"),
    ]
    return framed(items, title="A board at its fifth cut, pushed along; the fence behind it; the "
                  "strip with its ends A, cut first, and B; edges numbered as cut")  # fmt: skip


def half_square_picture() -> Picture:
    """A strip with a triangle cut off at 45°."""
    wide = 18.0
    items: list[Item] = [
        _shape(((0, 0), (36, 0), (36 - wide, wide), (0, wide)), _WOOD),
        _shape(((43, 0), (43, wide), (43 - wide, wide)), _OFF),
        *_span((-3.0, 0.0), (-3.0, wide), "W", (-6.6, wide / 2)),
        *_span(
            (43.0 - wide, wide + 3.0), (43.0, wide + 3.0), "P, Q", (43.0 - wide / 2, wide + 6.2)
        ),
        _word((26.4, 3.0), "45°"),
    ]
    return framed(
        items,
        title="A strip of width W and the triangle cut off its end at 45°, with the leg P or Q "
        "along the strip",
    )


def eight_wedges_picture() -> Picture:
    """Eight wedges in a ring whose last joint gapes."""
    radius, gap_deg = 16.0, 6.0
    wedge = (360.0 - gap_deg) / 8.0
    ends = [90.0 + gap_deg / 2.0 + wedge * number for number in range(9)]
    items: list[Item] = [
        _shape(((0.0, 0.0), _polar(radius, a), _polar(radius, b)), _WOOD) for a, b in pairwise(ends)
    ]
    left, right = _polar(radius + 1.5, ends[0]), _polar(radius + 1.5, ends[8])
    items += [
        Path(points=(left, right), ink=Ink(line=PENCIL, width_mm=0.45), layer=Layer.DIMENSION),
        _letter((0.0, radius + 4.2), "G"),
        Path(points=((0.0, 0.0), _polar(radius, ends[6])), ink=_ARM, layer=Layer.DIMENSION),
        _letter((9.0, 3.2), "R"),
    ]
    return framed(items, title="Eight wedges closed to a ring of radius R; the last joint gapes by "
                  "G at the rim")  # fmt: skip


def kerf_picture() -> Picture:
    """A stick before, and the pieces it gave."""
    return framed(
        [
            _box(0.0, 13.0, 56.0, 6.0, _WOOD),
            *_span((0.0, 22.0), (56.0, 22.0), "S", (28.0, 25.2)),
            *_row((8.0, 8.0, 8.0, 8.0, 16.4), gap=1.9),
            *[_letter((4.0 + 9.9 * n, 3.0), f"p{n + 1}") for n in range(4)],
            _letter((47.8, 3.0), "pn"),
        ],
        title="A stick of length S, and below it the n pieces p it was cut into",
    )


def stop_picture() -> Picture:
    """A bar at the stop, and the slices that came."""
    items: list[Item] = [
        _box(0.0, 0.0, 24.0, 12.0, _WOOD),
        _shape(((33.0, -1.5), (35.5, -1.5), (35.5, 13.5), (33.0, 13.5)), _FENCE),
        _box(24.0, 0.0, 9.0, 12.0, _OFF),
        Path(points=((24.0, -2.5), (24.0, 14.5)), ink=_CUT, layer=Layer.CUT),
        *_span((24.0, -4.5), (33.0, -4.5), "T", (28.5, -7.7)),
        _word((36.0, 16.0), "stop"),
    ]
    for number in range(3):
        items.append(_box(40.0 + 7.0 * number, 0.0, 5.0, 12.0, _OFF))
        items.append(_letter((42.5 + 7.0 * number, -3.4), f"s{number + 1}"))
    return framed(items, title="A bar at the stop, set to T from the blade; beside it slices s")


def _row(lengths: tuple[float, ...], *, gap: float) -> list[Item]:
    items: list[Item] = []
    at = 0.0
    for length in lengths:
        items.append(_box(at, 0.0, length, 6.0, _WOOD))
        at += length + gap
    return items


def _span(a: Point, b: Point, text: str, at: Point) -> list[Item]:
    """A dimension line with its letter."""
    items: list[Item] = [Path(points=(a, b), ink=_THIN, layer=Layer.DIMENSION)]
    for x, y in (a, b):
        items.append(
            Path(
                points=((x - 0.8, y - 0.8), (x + 0.8, y + 0.8)),
                ink=Ink(line=INK, width_mm=0.4),
                layer=Layer.DIMENSION,
            )
        )
    return [*items, _letter(at, text)]


def _polar(radius: float, angle_deg: float) -> Point:
    return (radius * cos_deg(angle_deg), radius * sin_deg(angle_deg))


def _box(x: float, y: float, wide: float, high: float, ink: Ink) -> Path:
    return _shape(((x, y), (x + wide, y), (x + wide, y + high), (x, y + high)), ink)


def _shape(points: tuple[Point, ...], ink: Ink) -> Path:
    return Path(points=points, ink=ink, closed=True)


def _letter(at: Point, text: str) -> Item:
    return sign(at, text, size_mm=3.4, weight=Weight.BOLD)


def _word(at: Point, text: str) -> Item:
    return sign(at, text, size_mm=SMALL_MM, colour=QUIET)
