"""Everything that can be handed out for one plan, file by file."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import Enum

from seamwright.design import Drawing, Unit
from seamwright.errors import Cancelled
from seamwright.papers.board_sheets import Boards, board_files
from seamwright.papers.cuts import cuts_csv
from seamwright.papers.dxf import board_dxf, template_dxf
from seamwright.papers.labels import labels
from seamwright.papers.listening import Progress, never, silent
from seamwright.papers.pages import Page
from seamwright.papers.settings_checks import settings_checks
from seamwright.papers.sheets import bench_sheets
from seamwright.papers.soundness import Sound, will_it_hold
from seamwright.papers.sticks import sticks_csv
from seamwright.papers.templates import templates
from seamwright.papers.templates.shapes import angles, blocks
from seamwright.pictures import Looks, Ruler, Shelf, looks, panel, svg
from seamwright.pictures.space import exploded, glb
from seamwright.pictures.space.exploded import offsets, prisms_of
from seamwright.pictures.timber import Age, exploded_faces, from_plan, paint, png
from seamwright.plan import Gluing, Laminate, Plan
from seamwright.woods import Species


class Part(Enum):
    """A part of the set, as the user chooses it."""

    SHEETS = "sheets"
    SOUNDNESS = "soundness"
    TEMPLATES = "templates"
    LABELS = "labels"
    LISTS = "lists"
    BOARDS = "boards"
    DRAWING = "drawing"
    EXPLODED = "exploded"
    MODELS = "models"
    WOOD = "wood"
    CHECKS = "checks"


@dataclass(frozen=True, slots=True, kw_only=True)
class Handout:
    """One finished file.

    Attributes:
        name: file name without folder.
        data: its bytes, the same for the same input.
        part: what it belongs to.
    """

    name: str
    data: bytes
    part: Part


def write_set(
    plan: Plan,
    drawing: Drawing,
    *,
    shelf: Shelf,
    page: Page = Page.LETTER,
    ruler: Ruler | None = None,
    parts: frozenset[Part] = frozenset(Part),
    own: tuple[Species, ...] = (),
    sound: Sound | None = None,
    boards: Boards | None = None,
    gluing: Gluing | None = None,
    progress: Progress = silent,
    cancelled: Callable[[], bool] = never,
) -> Iterator[Handout]:
    """The chosen parts of the set, one file after another; nothing is written to disk.

    Args:
        plan: the plan.
        drawing: the board it makes.
        shelf: the plan, carried out on the virtual bench.
        page: paper size.
        ruler: how sizes are written; the drawing's unit leads by default.
        parts: what is wanted.
        own: the user's own woods, for their colours.
        sound: whether it holds; None leaves its page out.
        boards: boards on hand and how to cut them; None leaves their sheets out.
        gluing: the shop's cauls, clamps and glue; the defaults if left out.
        progress: told the share done and what is being done.
        cancelled: asked before every file and within long ones.
    Raises:
        Cancelled: the user stopped it.
    """
    press = _Press(
        plan=plan,
        drawing=drawing,
        shelf=shelf,
        page=page,
        ruler=ruler or Ruler(unit=drawing.unit),
        looks=looks(drawing.woods, own=own),
        own=own,
        gluing=gluing,
        sound=sound,
        boards=boards,
        cancelled=cancelled,
    )
    chosen = [part for part in Part if part in parts]
    for done, part in enumerate(chosen):
        for handout in press.printed(part):
            progress(done / len(chosen), handout.name)
            yield handout
            if cancelled():
                raise Cancelled
    progress(1.0, "done")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Press:
    plan: Plan
    drawing: Drawing
    shelf: Shelf
    page: Page
    ruler: Ruler
    looks: Looks
    own: tuple[Species, ...]
    gluing: Gluing | None
    sound: Sound | None
    boards: Boards | None
    cancelled: Callable[[], bool]

    def printed(self, part: Part) -> Iterator[Handout]:
        """The files of one part."""
        if self.cancelled():
            raise Cancelled
        makers: dict[Part, Callable[[], Iterator[tuple[str, bytes]]]] = {
            Part.SHEETS: self._sheets,
            Part.SOUNDNESS: self._soundness,
            Part.TEMPLATES: self._templates,
            Part.LABELS: self._labels,
            Part.LISTS: self._lists,
            Part.BOARDS: self._boards,
            Part.DRAWING: self._drawing,
            Part.EXPLODED: self._exploded,
            Part.MODELS: self._models,
            Part.WOOD: self._wood,
            Part.CHECKS: self._checks,
        }
        for name, data in makers[part]():
            yield Handout(name=name, data=data, part=part)

    def _sheets(self) -> Iterator[tuple[str, bytes]]:
        data = bench_sheets(
            self.plan,
            self.drawing,
            shelf=self.shelf,
            page=self.page,
            ruler=self.ruler,
            own=self.own,
            gluing=self.gluing,
            cancelled=self.cancelled,
        )
        yield f"bench-sheets-{self.page.value}.pdf", data

    def _soundness(self) -> Iterator[tuple[str, bytes]]:
        if self.sound is not None:
            data = will_it_hold(self.drawing, self.sound, looks=self.looks, page=self.page)
            yield f"will-it-hold-{self.page.value}.pdf", data

    def _templates(self) -> Iterator[tuple[str, bytes]]:
        data = templates(
            self.plan,
            self.drawing,
            shelf=self.shelf,
            page=self.page,
            cancelled=self.cancelled,
        )
        yield f"templates-full-size-{self.page.value}.pdf", data
        jigs = [*angles(self.plan), *blocks(self.plan, dict(self.shelf.solids))]
        for number, jig in enumerate(jigs, start=1):
            yield f"jig-{number:02d}-mm.dxf", template_dxf(jig, unit=Unit.MM)

    def _labels(self) -> Iterator[tuple[str, bytes]]:
        data = labels(
            self.plan,
            self.drawing,
            shelf=self.shelf,
            page=self.page,
            ruler=self.ruler,
            cancelled=self.cancelled,
        )
        yield f"labels-{self.page.value}.pdf", data

    def _lists(self) -> Iterator[tuple[str, bytes]]:
        yield "sticks.csv", sticks_csv(self.plan, self.drawing, ruler=self.ruler)
        yield "cuts.csv", cuts_csv(self.plan, ruler=self.ruler)

    def _boards(self) -> Iterator[tuple[str, bytes]]:
        if self.boards is not None:
            yield from board_files(
                self.boards,
                title=self.drawing.title,
                ruler=self.ruler,
                page=self.page,
                cancelled=self.cancelled,
            )

    def _drawing(self) -> Iterator[tuple[str, bytes]]:
        picture = panel(self.drawing, looks=self.looks, ruler=self.ruler, scale=1.0)
        yield "drawing-full-size-mm.svg", svg(picture).encode()
        yield "drawing-mm.dxf", board_dxf(self.drawing, unit=Unit.MM)
        yield "drawing-inch.dxf", board_dxf(self.drawing, unit=Unit.INCH)

    def _glue_ups(self) -> Iterator[tuple[int, Laminate]]:
        for number, step in enumerate(self.plan.steps, start=1):
            if isinstance(step, Laminate):
                if self.cancelled():
                    raise Cancelled
                yield number, step

    def _exploded(self) -> Iterator[tuple[str, bytes]]:
        solids = dict(self.shelf.solids)
        for number, step in self._glue_ups():
            picture = exploded(
                step, solids=solids, looks=self.looks, width_mm=180.0, height_mm=120.0
            )
            yield f"step-{number:02d}-{step.makes}-exploded.svg", svg(picture).encode()

    def _models(self) -> Iterator[tuple[str, bytes]]:
        solids = dict(self.shelf.solids)
        for number, step in self._glue_ups():
            pulled = offsets(step, solids)
            parts = [
                (f"{p.part} {index + 1}", pulled[index], prisms_of(solids[p.part], at=p.at))
                for index, p in enumerate(step.parts)
            ]
            title = f"{self.plan.title}, step {number}: {step.makes}"
            yield f"step-{number:02d}-{step.makes}.glb", glb(parts, looks=self.looks, title=title)

    def _wood(self) -> Iterator[tuple[str, bytes]]:
        sights = from_plan(self.plan, self.shelf)
        for age, name in ((Age.NEW, "wood-new.png"), (Age.FIVE_YEARS, "wood-after-five-years.png")):
            picture = paint(sights, looks=self.looks, width_px=1200, height_px=800, age=age)
            yield name, png(picture)
        glue_ups = [step for _, step in self._glue_ups()]
        if glue_ups:
            faces = exploded_faces(glue_ups[-1], self.plan, self.shelf)
            picture = paint(faces, looks=self.looks, width_px=1200, height_px=800)
            yield "wood-last-glue-up.png", png(picture)
        yield "wood-after-five-years.txt", _ageing(self.looks).encode()

    def _checks(self) -> Iterator[tuple[str, bytes]]:
        yield f"settings-checks-{self.page.value}.pdf", settings_checks(page=self.page)


def _ageing(table: Looks) -> str:
    """What five years do to each wood of the board, in words."""
    lines = [f"{look.name}: {look.figure.aging}." for look in table.values()]
    return "\n".join(
        (
            "Colour after about five years indoors, out of direct sun.",
            "Common practice, no source: no colour here was measured.",
            "",
            *lines,
            "",
        )
    )
