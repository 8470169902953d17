"""The bench sheets: cover, stick list, one card per step."""

from __future__ import annotations

from collections.abc import Callable

from seamwright.design import Drawing
from seamwright.errors import Cancelled
from seamwright.geometry import bounds
from seamwright.papers import cautions
from seamwright.papers.cards import Content, Sheet, shown
from seamwright.papers.listening import Progress, never, silent
from seamwright.papers.overlays import backing_cards, backing_steps
from seamwright.papers.pages import Page
from seamwright.papers.sticks import Stick, sticks
from seamwright.papers.typeset import pdf
from seamwright.pictures import Ruler, Shelf, legend, looks, panel
from seamwright.plan import Gluing, Hold, Laminate, Mill, Plan, Slice, Trim, cut_count, read_gluing
from seamwright.woods import Species


def bench_sheets(
    plan: Plan,
    drawing: Drawing,
    *,
    shelf: Shelf,
    page: Page = Page.LETTER,
    ruler: Ruler | None = None,
    own: tuple[Species, ...] = (),
    gluing: Gluing | None = None,
    progress: Progress = silent,
    cancelled: Callable[[], bool] = never,
) -> bytes:
    """The bench sheets of a plan as one PDF: cover, stick list, then every step in work order.

    Args:
        plan: the plan.
        drawing: the board it makes.
        shelf: what the virtual bench made of the plan.
        page: paper size.
        ruler: how sizes are written; the drawing's unit leads by default.
        own: the user's own woods, for their colours.
        gluing: the shop's cauls, clamps and glue; the defaults if left out.
        progress: told how far it is.
        cancelled: asked now and then whether to stop.
    Raises:
        Cancelled: the user stopped it.
    """
    used = ruler or Ruler(unit=drawing.unit)
    shown_looks = looks(drawing.woods, own=own)
    wide, _ = page.room_mm
    sheet = Sheet(
        plan=plan,
        drawing=drawing,
        solids=dict(shelf.solids),
        looks=shown_looks,
        ruler=used,
        room_mm=wide,
        gluing=gluing or read_gluing(),
    )
    cards: list[Content] = []
    for done, step in enumerate(plan.steps):
        if cancelled():
            raise Cancelled
        progress(0.8 * done / len(plan.steps), f"step {done + 1}")
        cards.append(sheet.card(step, done + 1))
    cards += backing_cards(plan, drawing, ruler=used, gluing=sheet.gluing, room_mm=wide)
    content = _frame(plan, page) | {
        "cover": _cover(plan, drawing, sheet, page),
        "sticks": _stick_list(plan, drawing, used),
        "steps": cards,
    }
    if cancelled():
        raise Cancelled
    progress(0.85, "setting the pages")
    return pdf("bench_sheets", content)


def _frame(plan: Plan, page: Page) -> Content:
    return {
        "title": f"{plan.title}: bench sheets",
        "job": plan.title,
        "foot": "Drawings are not to scale: work to the figures.",
        "page": {"width": page.width_mm, "height": page.height_mm},
    }


def _cover(plan: Plan, drawing: Drawing, sheet: Sheet, page: Page) -> Content:
    x0, y0, x1, y1 = bounds(drawing.outline)
    wide, high = page.room_mm
    scale = min((wide - 24.0) / (x1 - x0), (high - 138.0) / (y1 - y0), 1.0)
    ruler = sheet.ruler
    thick = drawing.thickness_mm if plan.backed is None else plan.backed.thick_mm
    size = " × ".join(ruler.both(mm) for mm in (x1 - x0, y1 - y0, thick))
    copies = f"{plan.copies} boards, each " if plan.copies > 1 else ""
    picture = panel(drawing, looks=sheet.looks, ruler=ruler, scale=scale)
    return {
        "title": plan.title,
        "subtitle": f"{copies}{size}",
        "drawing": shown(picture),
        "legend": shown(legend(sheet.looks)),
        "facts": _facts(plan, drawing),
        "reading": _READING,
        "cautions": cautions.GENERAL,
    }


_READING = (
    "Steps are in the order of work. A step is never split over two pages.",
    "Blue is for your hands: stops to set, chalk lines to draw before you saw.",
    "Every part has one arrow on its show face. Lay parts so that arrows stand as drawn; a dashed "
    "arrow lies face down.",
    "Where it says “from a real” part, set the stop with that part, not with a ruler.",
    "Inches go to the nearest 1/64; what is left over stands behind, in thousandths. Sums are made "
    "from exact sizes.",
)


def _facts(plan: Plan, drawing: Drawing) -> list[Content]:
    sawn = sum(
        cut_count(step)
        for step in plan.steps
        if isinstance(step, Slice | Trim) and getattr(step, "hold", None) is not Hold.HAND
    )
    clampings = sum(step.clampings for step in plan.steps if isinstance(step, Laminate))
    milled = sum(step.count for step in plan.steps if isinstance(step, Mill))
    facts = (
        (len(drawing.patches), "patches"),
        (milled, "sticks"),
        (sawn, "cuts at the sled"),
        (clampings, "clampings"),
        (len(plan.steps) + len(backing_steps(plan, Ruler(), read_gluing())), "steps"),
    )
    return [{"value": str(value), "name": name} for value, name in facts]


def _stick_list(plan: Plan, drawing: Drawing, ruler: Ruler) -> Content:
    listed = sticks(plan, drawing)
    groups: list[Content] = []
    for depth in sorted({round(s.depth_mm, 3) for s in listed}, reverse=True):
        rows = [_row(s, ruler) for s in listed if round(s.depth_mm, 3) == depth]
        groups.append({"title": f"Planer at {ruler.both(depth)}", "rows": rows})
    rough_face = ruler.first(plan.shop.allowances.rough_face_mm)
    rough_end = ruler.about(plan.shop.allowances.rough_length_mm)
    return {
        "note": "Finished sizes. Plane all sticks of one depth together, then rip all of one width "
        f"together. Rough pieces are about {rough_end} longer, and {rough_face} thicker each face.",
        "groups": groups,
        "wood": _wood(listed, ruler),
        "cautions": cautions.MILLING,
    }


def _row(stick: Stick, ruler: Ruler) -> Content:
    return {
        "name": stick.kind,
        "wood": ", ".join(
            [
                stick.wood,
                *(["on edge"] if stick.on_edge else []),
                *([stick.milled] if stick.milled else []),
            ]
        ),
        "rough": stick.rough,
        "count": stick.count,
    } | {
        name: {"first": ruler.first(mm), "second": ruler.rest(mm)}
        for name, mm in (
            ("depth", stick.depth_mm),
            ("width", stick.width_mm),
            ("length", stick.length_mm),
        )
    }


def _wood(listed: tuple[Stick, ...], ruler: Ruler) -> list[Content]:
    keys = sorted({(s.wood, s.rough) for s in listed})
    rows: list[Content] = []
    for wood, rough in keys:
        own = [s for s in listed if (s.wood, s.rough) == (wood, rough)]
        total = sum(s.rough_total_mm for s in own)
        rows.append(
            {
                "wood": wood,
                "rough": rough,
                "length": ruler.about(total),
                "width": ruler.about(max(s.rough_width_mm for s in own)),
            }
        )
    return rows
