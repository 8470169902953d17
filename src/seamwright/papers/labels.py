"""Labels for parts and laminations: name, wood, step, up arrow, a small code to scan.

The code holds job, step and part as short upper-case text, so it stays at the smallest size; the
same words stand beside it. A slanted line runs over each row of labels of one kind: laid in
order, the line is whole.

Reference:
    ISO/IEC 18004 (QR code); error level Q, quiet zone of four modules as it asks.
"""

from __future__ import annotations

import zlib
from collections.abc import Callable
from dataclasses import dataclass

import segno

from seamwright.design import Drawing
from seamwright.errors import Cancelled
from seamwright.papers.listening import Progress, never, silent
from seamwright.papers.pages import Page
from seamwright.papers.typeset import pdf
from seamwright.papers.wording import used_in
from seamwright.pictures import (
    Anchor,
    Cells,
    Ink,
    Item,
    Layer,
    Path,
    Picture,
    Ruler,
    Shelf,
    Solid,
    Text,
    Weight,
    box,
    svg,
    text_width_mm,
)
from seamwright.pictures.dimensions import arrow
from seamwright.pictures.looks import CHALK, INK, QUIET
from seamwright.plan import Plan, outputs

_COLUMNS, _ROWS = 3, 9
_EDGE_MM = 8.0
_MODULE_MM = 0.5
_QUIET = 4
_MOST = 40
"""Labels of one kind; more parts than this share labels by the stack."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """One label.

    Attributes:
        kind: part kind.
        woods: names of its woods.
        size: width, height, depth as text.
        step: number of the step that makes it.
        then: what uses it, in words.
        number, count: which of how many.
        code: what the code says.
    """

    kind: str
    woods: str
    size: str
    step: int
    then: str
    number: int
    count: int
    code: str


def job_code(plan: Plan) -> str:
    """Six letters and figures that stand for this very plan."""
    return f"{zlib.crc32(repr(plan).encode()) & 0xFFFFFF:06X}"


def label_list(plan: Plan, drawing: Drawing, *, shelf: Shelf, ruler: Ruler) -> tuple[Label, ...]:
    """A label for every part that is made, in the order of work."""
    solids = dict(shelf.solids)
    job = job_code(plan)
    made: dict[str, int] = {}
    for step in plan.steps:
        for kind, count in outputs(step).items():
            made[kind] = made.get(kind, 0) + count
    done: dict[str, int] = {}
    found: list[Label] = []
    for number, step in enumerate(plan.steps, start=1):
        for kind, count in outputs(step).items():
            solid = solids[kind]
            before = done.get(kind, 0)
            done[kind] = before + count
            found.extend(
                Label(
                    kind=kind,
                    woods=_woods(solid, drawing),
                    size=_size(solid, ruler),
                    step=number,
                    then=_then(plan, kind),
                    number=place,
                    count=made[kind],
                    code=f"{job}/{number}/{kind.upper()}",
                )
                for place in range(before + 1, min(before + count, _MOST) + 1)
            )
    return tuple(found)


def labels(
    plan: Plan,
    drawing: Drawing,
    *,
    shelf: Shelf,
    page: Page = Page.LETTER,
    ruler: Ruler | None = None,
    progress: Progress = silent,
    cancelled: Callable[[], bool] = never,
) -> bytes:
    """Pages of labels, 27 to a page, to cut apart and tape on.

    Args:
        plan: the plan.
        drawing: the board it makes.
        shelf: what the virtual bench made of it.
        page: paper size.
        ruler: how sizes are written; the drawing's unit leads by default.
        progress: told how far it is.
        cancelled: asked now and then whether to stop.
    Raises:
        Cancelled: the user stopped it.
    """
    listed = label_list(plan, drawing, shelf=shelf, ruler=ruler or Ruler(unit=drawing.unit))
    per_page = _COLUMNS * _ROWS
    sheets: list[dict[str, object]] = []
    for start in range(0, len(listed), per_page):
        if cancelled():
            raise Cancelled
        progress(0.8 * start / len(listed), f"labels {start + 1} and on")
        picture = _sheet(listed[start : start + per_page], plan, page)
        sheets.append(
            {
                "svg": svg(picture),
                "alt": picture.title,
                "width": page.width_mm,
                "height": page.height_mm,
            }
        )
    return pdf("templates", {"title": f"{plan.title}: labels", "sheets": sheets})


def _sheet(listed: tuple[Label, ...], plan: Plan, page: Page) -> Picture:
    wide = (page.width_mm - 2.0 * _EDGE_MM) / _COLUMNS
    high = (page.height_mm - 2.0 * _EDGE_MM) / _ROWS
    items: list[Item] = []
    for place, label in enumerate(listed):
        row, column = divmod(place, _COLUMNS)
        x = _EDGE_MM + column * wide
        y = page.height_mm - _EDGE_MM - (row + 1) * high
        items += _label(label, (x, y, wide, high))
    title = f"{len(listed)} labels of {plan.title}"
    return Picture(items=tuple(items), box=(0.0, 0.0, page.width_mm, page.height_mm), title=title)


def _label(label: Label, place: tuple[float, float, float, float]) -> list[Item]:
    x, y, wide, high = place
    frame = ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))
    thin = Ink(line=QUIET, width_mm=0.12, dash_mm=(1.0, 1.0))
    items: list[Item] = [Path(points=frame, closed=True, ink=thin, layer=Layer.CUT)]
    items += _wedge(label, place)
    side, modules = _qr(label.code, (x + wide - 2.0, y + high - 1.5))
    items.append(modules)
    room = wide - side - 7.0
    lines = (
        (f"{label.kind}", 6.6, Weight.BOLD, high - 5.2),
        (f"{label.number} of {label.count} · step {label.step}", 2.9, Weight.REGULAR, high - 11.2),
        (label.size, 2.9, Weight.BOLD, high - 15.2),
        (label.woods, 2.6, Weight.REGULAR, high - 18.8),
        (label.then, 2.6, Weight.REGULAR, high - 22.2),
    )
    for text, size, weight, up in lines:
        fit = min(size, size * room / max(text_width_mm(text, size), 1e-6))
        items.append(
            Text(
                at=(x + 3.0, y + up),
                text=text,
                size_mm=max(fit, 1.8),
                colour=INK,
                anchor=Anchor.START,
                weight=weight,
            )
        )
    up_x = x + 3.0 + text_width_mm(label.kind, 6.6) + 5.0
    items += arrow((up_x, y + high - 8.4), (up_x, y + high - 2.2), barb_mm=2.0)
    items.append(
        Text(
            at=(up_x + 1.8, y + high - 5.2),
            text="up, show face",
            size_mm=2.4,
            colour=CHALK,
            anchor=Anchor.START,
        )
    )
    code_at = (x + wide - 2.0 - side / 2.0, y + high - 1.5 - side - 0.4)
    items.append(Text(at=code_at, text=label.code, size_mm=2.0, colour=QUIET))
    return items


def _wedge(label: Label, place: tuple[float, float, float, float]) -> list[Item]:
    """A piece of one slanted line that runs over all labels of the kind, in order."""
    x, y, wide, _ = place
    count = min(label.count, _MOST)
    low, high = y + 1.2, y + 4.4
    start = low + (high - low) * (label.number - 1) / count
    end = low + (high - low) * label.number / count
    ink = Ink(line=CHALK, width_mm=0.5)
    return [Path(points=((x, start), (x + wide, end)), ink=ink, layer=Layer.MARK)]


def _qr(code: str, corner: tuple[float, float]) -> tuple[float, Cells]:
    """Side with quiet zone [mm] and the dark runs, upper right corner given."""
    rows = [
        [bool(cell) for cell in row]
        for row in segno.make(code, error="q", micro=False, boost_error=False).matrix
    ]
    side = (len(rows) + 2 * _QUIET) * _MODULE_MM
    left, top = corner[0] - side + _QUIET * _MODULE_MM, corner[1] - _QUIET * _MODULE_MM
    ink = Ink(fill="#000000")
    rings: list[tuple[tuple[float, float], ...]] = []
    for number, row in enumerate(rows):
        high = top - number * _MODULE_MM
        for start, end in _runs(row):
            a, b = left + start * _MODULE_MM, left + end * _MODULE_MM
            low = high - _MODULE_MM
            rings.append(((a, low), (b, low), (b, high), (a, high)))
    return side, Cells(rings=tuple(rings), ink=ink)


def _runs(row: list[bool]) -> list[tuple[int, int]]:
    """Stretches of dark cells, start and end."""
    found: list[tuple[int, int]] = []
    start = -1
    for place, dark in enumerate([*row, False]):
        if dark and start < 0:
            start = place
        elif not dark and start >= 0:
            found.append((start, place))
            start = -1
    return found


def _woods(solid: Solid, drawing: Drawing) -> str:
    letters = sorted({piece.wood for piece in solid.pieces})
    return ", ".join(drawing.wood_name(letter) for letter in letters)


def _size(solid: Solid, ruler: Ruler) -> str:
    x0, y0, x1, y1 = box(solid)
    return ruler.sizes(x1 - x0, y1 - y0, solid.depth_mm)


def _then(plan: Plan, kind: str) -> str:
    users = used_in(plan, kind)
    if not users:
        if kind == plan.board:
            return "finished board"
        return "to be pressed to the face" if plan.kept(kind) else "spare"
    return "for step " + ", ".join(map(str, users))
