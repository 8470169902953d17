"""Draw template pages and bind them."""

from __future__ import annotations

from collections.abc import Callable

from seamwright.design import Drawing
from seamwright.errors import Cancelled
from seamwright.geometry import (
    Point,
    Polygon,
    area,
    bounds,
    cos_deg,
    distance,
    inner_point,
    sin_deg,
)
from seamwright.papers.listening import Progress, never, silent
from seamwright.papers.pages import Page
from seamwright.papers.templates.shapes import Shape, Template, template_list
from seamwright.papers.templates.tiling import (
    BOTTOM_MM,
    LEFT_MM,
    Tile,
    Tiling,
    inside,
    stretch,
    tiling,
)
from seamwright.papers.typeset import pdf
from seamwright.pictures import (
    Anchor,
    Disc,
    Ink,
    Item,
    Layer,
    Path,
    Picture,
    Shelf,
    Text,
    Weight,
    svg,
    text_width_mm,
)
from seamwright.pictures.inside import holds
from seamwright.pictures.looks import CHALK, INK, QUIET
from seamwright.plan import Plan

BAR_MM = 100.0
BAR_IN_MM = 101.6
_BAR_HIGH_MM = 3.0
_LABEL_MM = 3.4
_GRAIN_MM = 4.0
"""Half the length of a grain stroke."""


def templates(
    plan: Plan,
    drawing: Drawing,
    *,
    shelf: Shelf,
    page: Page = Page.LETTER,
    progress: Progress = silent,
    cancelled: Callable[[], bool] = never,
) -> bytes:
    """All full-size templates of a plan as one PDF, to be printed at 100 %.

    Args:
        plan: the plan.
        drawing: the board it makes.
        shelf: what the virtual bench made of it.
        page: paper size.
        progress: told how far it is.
        cancelled: asked now and then whether to stop.
    Raises:
        Cancelled: the user stopped it.
    """
    sheets: list[dict[str, object]] = []
    listed = template_list(plan, drawing, shelf)
    for done, template in enumerate(listed):
        if cancelled():
            raise Cancelled
        progress(0.7 * done / len(listed), template.title)
        cut = tiling([shape.outline for shape in template.shapes], page)
        for tile in cut.tiles:
            picture = tile_picture(template, cut, tile)
            wide, high = cut.page_mm
            sheets.append(
                {"svg": svg(picture), "alt": picture.title, "width": wide, "height": high}
            )
    progress(0.8, "setting the pages")
    content = {"title": f"{plan.title}: full-size templates", "sheets": sheets}
    return pdf("templates", content)


def tile_picture(template: Template, cut: Tiling, tile: Tile) -> Picture:
    """One page of a template, the whole sheet of paper as its box."""
    wide, high = cut.page_mm
    x0, y0, _, _ = tile.window
    dx, dy = LEFT_MM - x0, BOTTOM_MM - y0
    items: list[Item] = []
    for shape in template.shapes:
        items += _outline(shape.outline, tile, dx, dy)
        items += _inner(shape, tile, cut.marks, dx, dy)
    items += _marks(cut, tile, dx, dy)
    items += _bars(wide)
    items += _heading(template, cut, tile, high)
    title = f"{template.title}, page {tile.name}, at full size"
    return Picture(items=tuple(items), box=(0.0, 0.0, wide, high), title=title)


def _outline(outline: Polygon, tile: Tile, dx: float, dy: float) -> list[Item]:
    ink = Ink(line=INK, width_mm=0.2)
    items: list[Item] = []
    for a, b in zip(outline, outline[1:] + outline[:1], strict=True):
        seen = stretch(a, b, tile.window)
        if seen:
            points = tuple((x + dx, y + dy) for x, y in seen)
            items.append(Path(points=points, ink=ink, layer=Layer.CUT))
    return items


def _inner(shape: Shape, tile: Tile, marks: tuple[Point, ...], dx: float, dy: float) -> list[Item]:
    """The label in what this page shows of a piece, smaller where there is less room."""
    label, grain_deg = shape.label, shape.grain_deg
    parts = inside(shape.outline, tile.window)
    if not parts:
        return []
    largest = max(parts, key=area)
    x0, y0, x1, y1 = bounds(largest)
    room = 0.55 if len(largest) == 3 else 0.85
    size = min(
        _LABEL_MM,
        _LABEL_MM * room * (x1 - x0) / text_width_mm(label, _LABEL_MM),
        0.6 * room * (y1 - y0),
    )
    if size < 1.2:
        return []
    x, y = _clear(inner_point(largest), largest, marks)
    items: list[Item] = [
        Text(at=(x + dx, y + dy), text=label, size_mm=size, colour=INK, weight=Weight.BOLD)
    ]
    if grain_deg is not None:
        drop = 0.6 * size + 1.2 + _GRAIN_MM * abs(sin_deg(grain_deg))
        stroke = _grain((x, y - drop), grain_deg)
        if holds(largest, stroke, margin_mm=1.0):
            points = tuple((px + dx, py + dy) for px, py in stroke)
            ink = Ink(line=QUIET, width_mm=0.25)
            items.append(Path(points=points, ink=ink, layer=Layer.GRAIN))
    return items


def _clear(at: Point, polygon: Polygon, marks: tuple[Point, ...]) -> Point:
    """The spot, or one up or down from it within the polygon, away from registration marks."""
    x, y = at
    for rise in (0.0, -9.0, 9.0, -18.0, 18.0):
        spot = (x, y + rise)
        if rise and not holds(polygon, (spot,), margin_mm=2.0):
            continue
        if all(distance(spot, mark) > 8.0 for mark in marks):
            return spot
    return at


def _grain(at: Point, grain_deg: float) -> tuple[Point, Point]:
    """A short stroke the way the grain runs."""
    ux, uy = _GRAIN_MM * cos_deg(grain_deg), _GRAIN_MM * sin_deg(grain_deg)
    return ((at[0] - ux, at[1] - uy), (at[0] + ux, at[1] + uy))


def _marks(cut: Tiling, tile: Tile, dx: float, dy: float) -> list[Item]:
    """Circles with a cross in the overlaps, each with the same number on both pages."""
    if len(cut.tiles) == 1:
        return []
    x0, y0, x1, y1 = tile.window
    ink = Ink(line=CHALK, width_mm=0.25)
    items: list[Item] = []
    for number, (x, y) in enumerate(cut.marks, start=1):
        if not (x0 <= x <= x1 and y0 <= y <= y1):
            continue
        px, py = x + dx, y + dy
        items.append(Disc(centre=(px, py), radius_mm=2.5, ink=ink, layer=Layer.REGISTRATION))
        strokes = (((px - 4.0, py), (px + 4.0, py)), ((px, py - 4.0), (px, py + 4.0)))
        items.extend(Path(points=s, ink=ink, layer=Layer.REGISTRATION) for s in strokes)
        items.append(Text(at=(px + 4.4, py + 3.2), text=str(number), size_mm=2.6, colour=CHALK))
    return items


def _bars(wide: float) -> list[Item]:
    """100 mm and 4 in, once along each axis: printers may scale the two unequally."""
    ink = Ink(line=INK, width_mm=0.18)
    items: list[Item] = []
    for row, (length, text) in enumerate(((BAR_MM, "100 mm"), (BAR_IN_MM, "4 in"))):
        low = 8.0 + 7.0 * row
        flat = ((LEFT_MM, low), (LEFT_MM + length, low))
        items += _bar(flat, (0.0, _BAR_HIGH_MM), ink)
        items.append(
            Text(
                at=(LEFT_MM + length + 1.5, low + 1.5),
                text=text,
                size_mm=3.0,
                colour=INK,
                anchor=Anchor.START,
                layer=Layer.SCALE_BAR,
            )
        )
        left = wide - 10.0 - 7.0 * row
        upright = ((left, BOTTOM_MM), (left, BOTTOM_MM + length))
        items += _bar(upright, (_BAR_HIGH_MM, 0.0), ink)
        items.append(
            Text(
                at=(left + 1.5, BOTTOM_MM + length + 1.5),
                text=text,
                size_mm=3.0,
                colour=INK,
                angle_deg=90.0,
                anchor=Anchor.START,
                layer=Layer.SCALE_BAR,
            )
        )
    return items


def _bar(ends: tuple[Point, Point], thick: tuple[float, float], ink: Ink) -> list[Item]:
    (ax, ay), (bx, by) = ends
    tx, ty = thick
    ring = ((ax, ay), (bx, by), (bx + tx, by + ty), (ax + tx, ay + ty))
    return [Path(points=ring, closed=True, ink=ink, layer=Layer.SCALE_BAR)]


def _heading(template: Template, cut: Tiling, tile: Tile, high: float) -> list[Item]:
    place = f" · page {tile.name} of {cut.rows} × {cut.columns}" if len(cut.tiles) > 1 else ""
    lines = (
        (f"{template.title}{place}", 4.6, Weight.BOLD, INK),
        ("Print at 100 %, never “fit to page”. Measure the bars, both ways, first.", 3.2,
         Weight.REGULAR, CHALK),
        (template.use, 3.0, Weight.REGULAR, INK),
    )  # fmt: skip
    items: list[Item] = []
    y = high - 9.0
    for text, size, weight, colour in lines:
        items.append(
            Text(
                at=(LEFT_MM, y),
                text=text,
                size_mm=size,
                colour=colour,
                anchor=Anchor.START,
                weight=weight,
            )
        )
        y -= 5.0
    return items
