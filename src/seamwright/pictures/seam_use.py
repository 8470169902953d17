"""How much is asked of every seam, in colour and in pattern, never in colour alone."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from html import escape

from seamwright.design import Drawing
from seamwright.geometry import Point, bounds
from seamwright.pictures.moved import INK, PAPER, page, path
from seamwright.strength import SeamUse, Soundness


class Shown(Enum):
    """Which use is drawn."""

    MOISTURE = "moisture"
    LOAD = "load"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Band:
    """Seams used up to a share: how they are drawn and called."""

    upto: float
    colour: str
    width: float
    dashes: tuple[float, ...]
    name: str


_BANDS = (
    _Band(upto=0.25, colour=INK, width=1.0, dashes=(), name="up to a quarter"),
    _Band(upto=0.5, colour=INK, width=2.2, dashes=(0.1, 4.0), name="up to half"),
    _Band(upto=1.0, colour="#b3261e", width=3.0, dashes=(7.0, 3.5), name="up to all"),
    _Band(upto=float("inf"), colour="#b3261e", width=5.0, dashes=(), name="more than it bears"),
)


def seam_use_svg(
    drawing: Drawing, soundness: Soundness, *, shown: Shown, colours: Mapping[str, str]
) -> str:
    """The board with every seam drawn by its use.

    Args:
        shown: the expected use in the worse season, or that of the worst 10 mm under load.
        colours: "#rrggbb" by letter of the wood.

    Returns:
        A whole SVG document in millimetres of the board, with its legend.
    """
    x0, y0, x1, y1 = bounds(drawing.outline)
    unit = max(x1 - x0, y1 - y0) / 450.0
    parts = [
        f'<path d="{path(patch.points)}" fill="{colours.get(patch.wood, "#c9c4ba")}" '
        f'fill-opacity="0.55"/>'
        for patch in drawing.patches
    ]
    parts.append(
        f'<path d="{path(drawing.outline)}" fill="none" stroke="{INK}" '
        f'stroke-width="{1.2 * unit:.3g}"/>'
    )
    by_use = sorted(soundness.seams, key=lambda seam: used(seam, shown))
    parts += [_line(seam, shown, unit) for seam in by_use]
    margin = 0.05 * max(x1 - x0, y1 - y0)
    legend_height = 0.075 * max(x1 - x0, y1 - y0)
    parts.append(_legend((x0, y0 - margin * 0.9), x1 - x0, unit))
    told = {
        Shown.MOISTURE: "share of what each seam bears, expected in the worse season",
        Shown.LOAD: "share of what each seam bears in its worst 10 mm, under the worst load",
    }
    return page(
        parts,
        frame=(x0 - margin, y0 - margin - legend_height, x1 + margin, y1 + margin),
        lines=(told[shown],),
    )


def used(seam: SeamUse, shown: Shown) -> float:
    """The use that is drawn."""
    return seam.moisture_use[1] if shown is Shown.MOISTURE else seam.load_use


def _band(share: float) -> _Band:
    return next(band for band in _BANDS if share <= band.upto)


def _line(seam: SeamUse, shown: Shown, unit: float) -> str:
    share = used(seam, shown)
    told = (
        f"{seam.patches[0]} and {seam.patches[1]}, {seam.kind}: {100.0 * share:.0f} % "
        "of what it bears"
    )
    halo = f'<path d="{_open(seam.path)}" stroke="{PAPER}" stroke-width="{{}}" fill="none"/>'
    band = _band(share)
    return halo.format(f"{(band.width + 1.6) * unit:.3g}") + _stroke(
        _open(seam.path), band, unit, title=told
    )


def _stroke(d: str, band: _Band, unit: float, *, title: str) -> str:
    dashes = " ".join(f"{dash * unit:.3g}" for dash in band.dashes)
    pattern = f' stroke-dasharray="{dashes}" stroke-linecap="round"' if dashes else ""
    return (
        f'<path d="{d}" fill="none" stroke="{band.colour}" '
        f'stroke-width="{band.width * unit:.3g}"{pattern}><title>{escape(title)}</title></path>'
    )


def _open(points: tuple[Point, ...]) -> str:
    return "M" + "L".join(f"{x:.2f} {-y:.2f}" for x, y in points)


def _legend(corner: Point, width: float, unit: float) -> str:
    """The four patterns in a row, each with its name."""
    x, y = corner
    step = width / len(_BANDS)
    out = []
    for number, band in enumerate(_BANDS):
        left = x + number * step
        d = _open(((left, y), (left + 0.85 * step, y)))
        out.append(_stroke(d, band, unit, title=band.name))
        out.append(
            f'<text x="{left:.2f}" y="{-y + 14 * unit:.2f}" font-size="{11.5 * unit:.2f}" '
            f'font-family="Lato, sans-serif" fill="{INK}">{escape(band.name)}</text>'
        )
    return "".join(out)
