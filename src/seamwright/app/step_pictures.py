"""A plan's drawings for the screen, step by step."""

from __future__ import annotations

from functools import lru_cache

from seamwright.app.drawings import drawing_of
from seamwright.app.planning import PlanReport
from seamwright.lengths import Unit
from seamwright.papers import backing_steps
from seamwright.pictures import Easel, Ruler, backing_picture, looks, panel, step_picture, svg
from seamwright.pictures.space import exploded
from seamwright.pictures.space.camera import Camera
from seamwright.plan import Laminate, Step
from seamwright.woods import Species

_WIDE_MM, _HIGH_MM = 190.0, 110.0


def step_svg(report: PlanReport, number: int, *, unit: Unit) -> str:
    """The drawing of a step, as on its bench sheet.

    Raises:
        IndexError: there is no such step.
    """
    backed = report.plan.backed
    if backed is not None and number > len(report.plan.steps):
        ruler = Ruler(unit=unit)
        later = backing_steps(report.plan, ruler, report.gluing)
        cauls = later[number - len(report.plan.steps) - 1].cauls
        return svg(
            backing_picture(
                backed,
                report.drawing.outline,
                cauls,
                ruler=ruler,
                width_mm=_WIDE_MM,
                height_mm=_HIGH_MM,
            )
        )
    step = _step(report, number)
    easel = Easel.of(
        report.plan,
        report.drawing,
        report.shelf,
        width_mm=_WIDE_MM,
        height_mm=_HIGH_MM,
        ruler=Ruler(unit=unit),
        own=report.own,
    )
    return svg(step_picture(step, easel))


def exploded_svg(report: PlanReport, number: int, *, round_deg: float, raised_deg: float) -> str:
    """A glue-up pulled apart, seen from where the user wants.

    Raises:
        IndexError: there is no such step, or it is no glue-up.
    """
    step = _step(report, number)
    if not isinstance(step, Laminate):
        raise IndexError(number)
    picture = exploded(
        step,
        solids=dict(report.shelf.solids),
        looks=looks(report.drawing.woods, own=report.own),
        width_mm=_WIDE_MM,
        height_mm=_HIGH_MM,
        camera=Camera(round_deg=round_deg, raised_deg=raised_deg),
    )
    return svg(picture)


def glue_ups(report: PlanReport) -> frozenset[int]:
    """Numbers of the steps that are glue-ups."""
    return frozenset(
        n for n, step in enumerate(report.plan.steps, start=1) if isinstance(step, Laminate)
    )


@lru_cache(maxsize=64)
def board_svg(design: str, own: tuple[Species, ...] = ()) -> str:
    """A small picture of a board, for the shelf; ``own`` are the user's own woods."""
    drawing = drawing_of(design)
    picture = panel(
        drawing,
        looks=looks(drawing.woods, own=own),
        ruler=Ruler(unit=drawing.unit),
        scale=0.25,
        names=False,
        sizes=False,
    )
    return svg(picture)


def _step(report: PlanReport, number: int) -> Step:
    if not 1 <= number <= len(report.plan.steps):
        raise IndexError(number)
    return report.plan.steps[number - 1]
