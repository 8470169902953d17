"""Through lines on the board: where they run, and what they meet on the way."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape

from seamwright.design import Drawing
from seamwright.geometry import Point, bounds
from seamwright.pictures.moved import INK, PAPER, page, path
from seamwright.strength import Axis, Stretch, ThroughLine

PENCIL = "#b3261e"
_GREY = "#8d9298"

_LOOKS = {
    Stretch.BRIDGED: (INK, 1.2, ()),
    Stretch.CROSS: (PENCIL, 2.2, (0.1, 5.0)),
    Stretch.LONG_SEAM: (PENCIL, 2.6, (7.0, 4.0)),
    Stretch.WEAK_SEAM: (PENCIL, 4.5, ()),
}
_NAMES = {
    Stretch.BRIDGED: "bridged",
    Stretch.CROSS: "grain not across",
    Stretch.LONG_SEAM: "long-grain seam",
    Stretch.WEAK_SEAM: "end or slanted",
}


Shares = tuple[tuple[float, float], ...]
"""Place [mm] and the share of a line there that long grain bridges."""


def through_svg(
    drawing: Drawing,
    lines: tuple[ThroughLine, ...],
    *,
    colours: Mapping[str, str],
    up: Shares = (),
    across: Shares = (),
) -> str:
    """The board with its through lines, numbered, barest first.

    Args:
        colours: "#rrggbb" by letter of the wood.
        up, across: share of long grain that bridges lines running up (at x), drawn over the
            board, and across (at y), drawn at its right.

    Returns:
        A whole SVG document in millimetres of the board, with its legend.
    """
    x0, y0, x1, y1 = bounds(drawing.outline)
    large = max(x1 - x0, y1 - y0)
    unit = large / 450.0
    parts = [
        f'<path d="{path(patch.points)}" fill="{colours.get(patch.wood, "#c9c4ba")}" '
        f'fill-opacity="0.5" stroke="{INK}" stroke-width="{0.4 * unit:.3g}"/>'
        for patch in drawing.patches
    ]
    for number, line in reversed(list(enumerate(lines, start=1))):
        parts.append(_line(line, number, unit))
    margin = 0.07 * large
    room = 0.12 * large
    parts += _profile(up, (x0, y1 + 0.9 * margin), 0.7 * room, Axis.X)
    parts += _profile(across, (x1 + 0.9 * margin, y0), 0.7 * room, Axis.Y)
    beyond = (room if across else 0.0, room if up else 0.0)
    legend_y = y0 - margin
    step = (x1 - x0) / len(_LOOKS)
    for place, kind in enumerate(_LOOKS):
        left = x0 + place * step
        parts.append(_stroke((left, legend_y), (left + 0.85 * step, legend_y), kind, unit))
        parts.append(_text((left, legend_y - 14 * unit), _NAMES[kind], unit, anchor="start"))
    told = "no through line found" if not lines else "lines that little long grain bridges"
    return page(
        parts,
        frame=(
            x0 - margin,
            legend_y - 0.06 * large,
            x1 + margin + beyond[0],
            y1 + margin + beyond[1],
        ),
        lines=(told, _SHARES) if up or across else (told,),
    )


_SHARES = "grey bars: how much of a line across is bridged"


def _profile(shares: Shares, corner: Point, tall: float, axis: Axis) -> list[str]:
    """Bars along an edge of the board: one for every line across, as long as its share."""
    if len(shares) < 2:
        return []
    places = sorted(shares)
    step = places[1][0] - places[0][0]
    parts = [_frame(places, corner, tall, axis)]
    for place, share in places:
        low, wide, high = place - step / 2.0, step * 0.92, max(tall * share, 0.004 * tall)
        x, y, w, h = (
            (low, corner[1], wide, high) if axis is Axis.X else (corner[0], low, high, wide)
        )
        title = f"{100.0 * share:.0f} % at {place:.0f} mm"
        parts.append(
            f'<rect x="{x:.2f}" y="{-y - h:.2f}" width="{w:.2f}" height="{h:.2f}" '
            f'fill="{_GREY}"><title>{title}</title></rect>'
        )
    return parts


def _frame(places: list[tuple[float, float]], corner: Point, tall: float, axis: Axis) -> str:
    """A line where bars of long grain throughout would end."""
    first, last = places[0][0], places[-1][0]
    a, b = (
        ((first, corner[1] + tall), (last, corner[1] + tall))
        if axis is Axis.X
        else ((corner[0] + tall, first), (corner[0] + tall, last))
    )
    return (
        f'<path d="M{a[0]:.2f} {-a[1]:.2f}L{b[0]:.2f} {-b[1]:.2f}" stroke="{_GREY}" '
        f'stroke-width="{tall * 0.02:.3g}" stroke-dasharray="{tall * 0.1:.3g}"/>'
    )


def _line(line: ThroughLine, number: int, unit: float) -> str:
    (ax, ay), (bx, by) = line.start, line.end
    length = line.stretches[-1][1] or 1.0
    ux, uy = (bx - ax) / length, (by - ay) / length
    strokes = [
        _stroke((ax + ux * a, ay + uy * a), (ax + ux * b, ay + uy * b), kind, unit)
        for a, b, kind in line.stretches
    ]
    title = f"{number}: long grain bridges {100.0 * line.bridged:.0f} %; {line.advice}"
    beyond = (bx + ux * 11 * unit, by + uy * 11 * unit - 4 * unit)
    label = _text(beyond, str(number), unit, anchor="middle")
    return f"<g><title>{escape(title)}</title>{''.join(strokes)}{label}</g>"


def _stroke(a: Point, b: Point, kind: Stretch, unit: float) -> str:
    colour, width, dashes = _LOOKS[kind]
    d = f"M{a[0]:.2f} {-a[1]:.2f}L{b[0]:.2f} {-b[1]:.2f}"
    pattern = " ".join(f"{dash * unit:.3g}" for dash in dashes)
    dashed = f' stroke-dasharray="{pattern}" stroke-linecap="round"' if dashes else ""
    return (
        f'<path d="{d}" stroke="{PAPER}" stroke-width="{(width + 1.6) * unit:.3g}"/>'
        f'<path d="{d}" stroke="{colour}" stroke-width="{width * unit:.3g}"{dashed}/>'
    )


def _text(at: Point, told: str, unit: float, *, anchor: str) -> str:
    return (
        f'<text x="{at[0]:.2f}" y="{-at[1]:.2f}" font-size="{11.5 * unit:.2f}" '
        f'text-anchor="{anchor}" font-family="Lato, sans-serif" fill="{INK}">{escape(told)}</text>'
    )
