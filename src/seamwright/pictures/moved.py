"""The board as it moves with the seasons, exaggerated, with the scale said."""

from __future__ import annotations

import math
from collections.abc import Mapping
from html import escape

from seamwright.design import Drawing
from seamwright.geometry import Point, bounds
from seamwright.strength import Soundness

INK, QUIET, PAPER = "#22262b", "#6d7278", "#ffffff"
_SHOWN_SHARE = 0.05
"""The largest move is drawn about this share of the board's size."""
_NICE = (1.0, 2.0, 5.0)


def moved_svg(
    drawing: Drawing,
    soundness: Soundness,
    *,
    season: int,
    colours: Mapping[str, str],
    times: float | None = None,
) -> str:
    """The moved board over its outline at gluing.

    Args:
        season: number in ``soundness.seasons``.
        colours: "#rrggbb" by letter of the wood.
        times: exaggeration, 1 or more; None for a round figure that can be seen.

    Returns:
        A whole SVG document in millimetres of the board.
    """
    scale = times or exaggeration(drawing, soundness, season)
    x0, y0, x1, y1 = bounds(drawing.outline)
    margin = 0.09 * max(x1 - x0, y1 - y0)
    letter = {patch.name: patch.wood for patch in drawing.patches}
    line = max(x1 - x0, y1 - y0) / 500.0
    parts = []
    for shape in soundness.shapes:
        moved = [
            (x + scale * dx, y + scale * dy)
            for (x, y), (dx, dy) in zip(shape.points, shape.moves[season], strict=True)
        ]
        fill = colours.get(letter[shape.patch], "#c9c4ba")
        parts.append(
            f'<path d="{path(moved)}" fill="{fill}" stroke="{INK}" stroke-width="{line:.3g}">'
            f"<title>patch {escape(shape.patch)}</title></path>"
        )
    parts.append(
        f'<path d="{path(drawing.outline)}" fill="none" stroke="{INK}" '
        f'stroke-width="{1.6 * line:.3g}" stroke-dasharray="{8 * line:.3g} {5 * line:.3g}"/>'
    )
    return page(
        parts,
        frame=(x0 - margin, y0 - margin, x1 + margin, y1 + margin),
        lines=caption(soundness, season, scale),
    )


def exaggeration(drawing: Drawing, soundness: Soundness, season: int) -> float:
    """A round figure that makes the largest move plain but keeps the board in its frame."""
    x0, y0, x1, y1 = bounds(drawing.outline)
    largest = max(
        (math.hypot(*move) for shape in soundness.shapes for move in shape.moves[season]),
        default=0.0,
    )
    if largest < 1e-9:
        return 1.0
    wanted = max(1.0, _SHOWN_SHARE * max(x1 - x0, y1 - y0) / largest)
    power = 10.0 ** math.floor(math.log10(wanted))
    return max(step * power for step in _NICE if step * power <= wanted * 1.0000001)


def caption(soundness: Soundness, season: int, scale: float) -> tuple[str, ...]:
    """What the picture shows, in two lines."""
    result = soundness.seasons[season]
    width, height = (_signed(change) for change in result.change_mm)
    return (
        f"{result.name}, wood at {result.moisture_pct:.1f} % · dashed: as glued",
        f"movement drawn {scale:g} times · width {width} mm, height {height} mm",
    )


def _signed(change_mm: float) -> str:
    """A change with its sign, and no sign before nothing."""
    rounded = round(change_mm, 1)
    return f"{rounded:+.1f}" if rounded else "0.0"


def path(points: tuple[Point, ...] | list[Point]) -> str:
    """An SVG path through points, y turned down, closed."""
    return "M" + "L".join(f"{x:.2f} {-y:.2f}" for x, y in points) + "Z"


def page(
    parts: list[str], *, frame: tuple[float, float, float, float], lines: tuple[str, ...]
) -> str:
    """A document that shows a frame of the board's plane, with lines of text below it."""
    x0, y0, x1, y1 = frame
    size = 0.031 * max(x1 - x0, 0.7 * (y1 - y0))
    below = size * (0.7 + 1.45 * len(lines))
    text = "".join(
        f'<text x="{(x0 + x1) / 2:.2f}" y="{-y0 + size * (1.0 + 1.45 * i):.2f}" '
        f'font-size="{size:.2f}" text-anchor="middle">{escape(told)}</text>'
        for i, told in enumerate(lines)
    )
    title = escape(" · ".join(lines))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" '
        f'viewBox="{x0:.2f} {-y1:.2f} {x1 - x0:.2f} {y1 - y0 + below:.2f}">'
        f"<title>{title}</title>"
        f'<rect x="{x0:.2f}" y="{-y1:.2f}" width="{x1 - x0:.2f}" '
        f'height="{y1 - y0 + below:.2f}" fill="{PAPER}"/>'
        + "".join(parts)
        + f'<g fill="{INK}" font-family="Lato, sans-serif">{text}</g></svg>'
    )
