"""What each step's sheet says: settings, work in order, boxes to tick, cautions, the outcome."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

from seamwright.design import Drawing
from seamwright.geometry import Line
from seamwright.papers import cautions
from seamwright.papers.wording import doing, part_size, title, used_in
from seamwright.pictures import (
    Easel,
    Looks,
    Picture,
    Ruler,
    Solid,
    Solids,
    box,
    degrees,
    step_picture,
    step_scale,
    svg,
)
from seamwright.pictures.marks import pose
from seamwright.pictures.space import exploded
from seamwright.plan import (
    Gluing,
    Laminate,
    Machine,
    Mill,
    Plan,
    SetUp,
    Slice,
    Step,
    Trim,
    glue_lines,
    host,
    inputs,
    pressing,
    read_gluing,
    set_ups,
)

Content = dict[str, object]

_HEIGHTS_MM = (46.0, 62.0, 84.0, 128.0)
"""Room for a drawing: from a third of a page to all that one can give [mm]."""
_MILL_MM = 30.0
_MILL_WIDE_MM = 124.0
_SQUARE_DEG = 1e-6
_NEARLY = 0.72
"""A drawing this near to its largest size is large enough."""
_LEGIBLE_MM = 26.0
"""So is one whose part is drawn this wide [mm] ..."""
_PIECES = 20
"""... and as much again for every so many pieces in it."""
_FEW = 6
"""Parts that still have room for their names in a small drawing."""
_TICKS = 60
"""More boxes than this in one row are counted by the bar instead."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """What all cards of one plan share."""

    plan: Plan
    drawing: Drawing
    solids: Solids
    looks: Looks
    ruler: Ruler
    room_mm: float
    gluing: Gluing = field(default_factory=read_gluing)

    def card(self, step: Step, number: int) -> Content:
        """One step as the layout shows it."""
        taken = self._taken(step)
        return {
            "number": str(number),
            "title": title(step, self.drawing),
            "makes": f"{step.count} × {step.makes}",
            "drawing": shown(self._picture(step)),
            "settings": self._settings(step),
            "inset": self._inset(step),
            "compact": isinstance(step, Mill),
            "doing": doing(
                step,
                plan=self.plan,
                drawing=self.drawing,
                solids=self.solids,
                ruler=self.ruler,
            ),
            "cautions": cautions.for_step(step, taken, self.plan.shop, self.ruler),
            "ticks": _ticks(step),
            "blanks": _blanks(step),
            "becomes": self._becomes(step),
            "next": self._next(step),
        }

    def _taken(self, step: Step) -> Solid | None:
        kinds = list(inputs(step))
        single = len(kinds) == 1 and not isinstance(step, Laminate)
        return self.solids[kinds[0]] if single else None

    def _picture(self, step: Step) -> Picture:
        """The drawing in the least room that shows it well."""
        if isinstance(step, Mill):
            return step_picture(step, replace(self._easel(_MILL_MM), width_mm=_MILL_WIDE_MM))
        legible = _LEGIBLE_MM * (1.0 + len(self.solids[step.makes].pieces) / _PIECES)
        best = step_scale(step, self._easel(_HEIGHTS_MM[-1]))
        for height in _HEIGHTS_MM:
            easel = self._easel(height)
            scale = step_scale(step, easel)
            if scale >= _NEARLY * best or scale * self._short_side(step) >= legible:
                return step_picture(step, easel)
        return step_picture(step, self._easel(_HEIGHTS_MM[-1]))

    def _short_side(self, step: Step) -> float:
        """The shorter side of what is made [mm]."""
        x0, y0, x1, y1 = box(self.solids[step.makes])
        return min(x1 - x0, y1 - y0)

    def _inset(self, step: Step) -> Content | None:
        """A small exploded drawing of a glue-up, named where names stay apart."""
        if not isinstance(step, Laminate):
            return None
        picture = exploded(
            step,
            solids=self.solids,
            looks=self.looks,
            width_mm=60.0,
            height_mm=40.0,
            name_mm=2.6 if len(step.parts) <= _FEW else 0.0,
        )
        return shown(picture)

    def _easel(self, height_mm: float) -> Easel:
        return Easel(
            solids=self.solids,
            looks=self.looks,
            ruler=self.ruler,
            saws=self.plan.shop.saws,
            width_mm=self.room_mm,
            height_mm=height_mm,
        )

    def _settings(self, step: Step) -> list[Content]:
        settings = set_ups(step)
        leads = _leads(step, settings, self.solids)
        rows = [
            row
            for set_up, lead in zip(settings, leads, strict=True)
            for row in self._setting(set_up, step, lead)
        ]
        if isinstance(step, Laminate):
            rows.append(
                {
                    "name": "Clamps",
                    "first": f"{glue_lines(step)} glue line{_s(glue_lines(step))}",
                    "second": _clampings(step, self.plan),
                    "note": "",
                }
            )
            rows.extend(self._pressing(step))
        return _once(rows)

    def _pressing(self, step: Laminate) -> list[Content]:
        """Clamps and glue of one glue-up."""
        pressed = pressing(step, self.solids, self.gluing)
        rows: list[Content] = []
        if pressed.clamps:
            few = pressed.clamps > self.gluing.clamps
            deeper = self.ruler.first(pressed.caul_for(self.gluing.clamps))
            rows.append(
                {
                    "name": f"cauls {self.ruler.first(pressed.caul_mm)} deep",
                    "first": f"{pressed.clamps} clamp{_s(pressed.clamps)} or more",
                    "second": "pressure spreads at 45°",
                    "note": f"with your {self.gluing.clamps}: cauls {deeper} deep" if few else "",
                }
            )
        rows.append(
            {
                "name": "glue",
                "first": f"about {math.ceil(pressed.glue_g)} g",
                "second": "each" if step.count > 1 else "",
                "note": "size end grain first" if pressed.end_grain else "",
            }
        )
        return rows

    def _setting(self, set_up: SetUp, step: Step, lead: str) -> list[Content]:
        note = f"set from a real {set_up.match}, not from the ruler" if set_up.match else ""
        rows: list[Content] = [
            {
                "name": f"{lead}{set_up.machine.value}: {_what(set_up, step)}",
                "first": self.ruler.first(set_up.size_mm),
                "second": self.ruler.rest(set_up.size_mm),
                "note": note,
            }
        ]
        if set_up.machine in _CUTTERS:
            square = abs(set_up.angle_deg - 90.0) < _SQUARE_DEG
            both = isinstance(step, Slice) and step.head_to_tail and step.second_set_up is None
            rows.append(
                {
                    "name": f"{lead}angle between {_CUTTERS[set_up.machine]}",
                    "first": "square" if square else degrees(set_up.angle_deg),
                    "second": "90°" if square else _leaning(set_up.angle_deg),
                    "note": "same angle for every cut" if both else "",
                }
            )
        return rows

    def _becomes(self, step: Step) -> str:
        size = part_size(self.solids[step.makes], self.ruler)
        rest = f" and {step.bars} × {step.rest}" if isinstance(step, Slice) and step.rest else ""
        return f"{step.count} × {step.makes}, {size}{rest}"

    def _next(self, step: Step) -> str:
        users = used_in(self.plan, step.makes)
        if not users:
            if not self.plan.kept(step.makes):
                return "spare"
            if step.makes != self.plan.board:
                return f"pressed in step {len(self.plan.steps) + 2}"
            lies = pose(self.plan.board_at)
            made = "the face, ready for its backing" if self.plan.backed else "the finished board"
            return f"{made}, on the cover {lies}" if lies else made
        return f"used in step{_s(len(users))} {', '.join(map(str, users))}"


_WHAT = {
    Machine.PLANER: "thickness",
    Machine.RIP_FENCE: "width",
    Machine.SLED: "stop",
    Machine.RESAW_FENCE: "fence",
    Machine.SANDER: "thickness",
}
_CUTTERS = {
    Machine.SLED: "blade and fence",
    Machine.CARRIER: "blade and the carrier's fence",
    Machine.SHOOTING_BOARD: "plane and stop",
}


def _leads(step: Step, settings: tuple[SetUp, ...], solids: Solids) -> tuple[str, ...]:
    """Which cuts each setting is for, where there are several."""
    if len(settings) < 2:
        return ("",) * len(settings)
    if isinstance(step, Slice):
        return ("odd cuts, ", "even cuts, ")
    if not isinstance(step, Trim):
        return ("",) * len(settings)
    found: dict[int, list[str]] = {index: [] for index in range(len(settings))}
    for number, cut in enumerate(step.cuts, start=1):
        line = Line.at_angle((cut.x_mm, cut.y_mm), cut.angle_deg)
        stays = max(line.side(point) for point in solids[step.makes].hull)
        index = min(found, key=lambda i: abs(settings[i].size_mm - stays))
        found[index].append(str(number))
    return tuple(
        f"cut{_s(len(told))} {' and '.join(told)}, " if told else "" for told in found.values()
    )


def shown(picture: Picture) -> Content:
    """A picture as layouts take it."""
    return {"svg": svg(picture), "alt": picture.title, "width": picture.width_mm}


def _what(set_up: SetUp, step: Step) -> str:
    if isinstance(step, Trim) and step.each == 1:
        return "what stays"
    if isinstance(step, Slice) and abs(set_up.angle_deg - 90.0) > _SQUARE_DEG:
        return "stop, along the fence"
    return _WHAT[set_up.machine]


def _leaning(angle_deg: float) -> str:
    return f"{degrees(abs(90.0 - angle_deg))} off square"


def _once(rows: list[Content]) -> list[Content]:
    """Each setting once, in order."""
    kept: list[Content] = []
    for row in rows:
        if row not in kept:
            kept.append(row)
    return kept


def _ticks(step: Step) -> list[Content]:
    if isinstance(step, Slice) and step.count > _TICKS:
        return [{"name": f"bars of {step.per_bar}", "count": step.bars}]
    if isinstance(step, Laminate):
        rows: list[Content] = []
        if step.clampings != step.count and step.clampings:
            rows.append({"name": "clampings", "count": step.clampings})
        rows.append({"name": f"{step.makes} glued", "count": min(step.count, _TICKS)})
        return rows
    return [{"name": f"{step.makes} done", "count": min(step.count, _TICKS)}]


def _clampings(step: Laminate, plan: Plan) -> str:
    if step.beside:
        return f"each · in the clamps with {' and '.join(host(step, plan))}"
    return f"each · {step.clampings} clamping{_s(step.clampings)}"


def _blanks(step: Step) -> list[str]:
    if isinstance(step, Mill):
        return ["measured width", "measured depth"]
    if isinstance(step, Slice):
        return [f"first {step.makes} measures", f"last {step.makes} measures"]
    if isinstance(step, Laminate):
        return ["measured across the glue lines"]
    return [f"{step.makes} measures"]


def _s(count: int) -> str:
    return "" if count == 1 else "s"
