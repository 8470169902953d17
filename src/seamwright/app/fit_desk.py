"""The fit of a job on the desk: looked at once for each state, kept with the job."""

from __future__ import annotations

import hashlib
import re
from collections import OrderedDict
from dataclasses import dataclass
from threading import Lock

from seamwright.app.desk import Desk
from seamwright.app.drawings import drawing_of
from seamwright.app.fitting import FitReport, fit
from seamwright.app.learning import History, history_of
from seamwright.app.measuring import (
    Reading,
    Record,
    check_belongs,
    fingerprint,
    read_record,
    record_text,
    with_reading,
    without_reading,
)
from seamwright.app.planning import PlanReport
from seamwright.design import Drawing
from seamwright.errors import Fault, FitError, LengthError
from seamwright.fit import main_size
from seamwright.lengths import Unit, parse_length, shop_fraction
from seamwright.pictures import Ruler, looks, svg
from seamwright.pictures.fit_picture import fit_picture
from seamwright.plan import Plan, Resaw, Surface, plan_to_json, read_accuracy, read_losses
from seamwright.store import Job, keep_measured, measured_record, measured_records

TRIALS = 40_000
_KEPT = 12
_MOST_TYPED = 2000
_ON_THE_MARK_MM = 0.002
_MIXED = re.compile(r"(?<![\d./-])(\d+)\s+(\d+/\d+)")


@dataclass(frozen=True, slots=True, kw_only=True)
class ToMeasure:
    """What can be written down of a step, and what was.

    Attributes:
        number: of the step.
        what: what is measured, in words.
        count: how many parts it makes.
        has_thickness: whether thickness is asked besides.
        done: whether anything was written down.
        sizes, thick, good: as typed, or as they may be typed again.
    """

    number: int
    what: str
    count: int
    has_thickness: bool
    done: bool
    sizes: str
    thick: str
    good: str


class FitShelf:
    """Fits that were looked at, the last few of them."""

    def __init__(self) -> None:
        self._kept: OrderedDict[str, FitReport] = OrderedDict()
        self._lock = Lock()

    def of(self, desk: Desk, job: Job, report: PlanReport) -> FitReport:
        """The fit of a job's plan as it stands, with what was measured on it.

        Raises:
            FitError: what was measured belongs to another drawing or plan.
        """
        record = record_of(desk, job, report.plan)
        profile = desk.store.shop_profile()
        history = own_history(desk)
        measured = record_text(record) if record else ""
        rack = desk.store.boards.rack()
        seen = (history, rack if record else None, plan_to_json(report.plan), measured, profile)
        told = "\0".join(map(str, seen))
        key = hashlib.sha256(told.encode()).hexdigest()
        with self._lock:
            if key not in self._kept:
                self._kept[key] = fit(
                    report.drawing,
                    report.plan,
                    history.accuracy,
                    history=history,
                    rack=rack,
                    job=job.id,
                    losses=read_losses(profile),
                    record=record,
                    trials=TRIALS,
                )
                while len(self._kept) > _KEPT:
                    self._kept.popitem(last=False)
            return self._kept[key]


def own_history(desk: Desk) -> History:
    """How true the shop works, after everything measured on its jobs."""
    prior = read_accuracy(desk.store.shop_profile())
    return history_of(prior, measured_records(desk.store))


def record_of(desk: Desk, job: Job, plan: Plan) -> Record | None:
    """What was measured on a job's plan.

    Raises:
        FitError: it belongs to the drawing, or the plan, as it was before a change.
    """
    text = measured_record(desk.store, job.id)
    if not text:
        return None
    record = read_record(text)
    check_belongs(record, drawing_of(job.design), where="what was measured")
    if record.plan != plan:
        raise FitError(
            Fault(
                "F113",
                "what was measured",
                "belongs to another plan of this board",
                "choose the way and the shop's values you measured with, or measure anew",
            )
        )
    return record


def measure(
    desk: Desk, job: Job, plan: Plan, step: int, *, typed: str, good: str, thick: str = ""
) -> None:
    """Keep what was typed for a step; nothing typed means done as planned.

    Raises:
        FitError, LengthError: it cannot be; nothing is kept then.
    """
    drawing = drawing_of(job.design)
    record = record_of(desk, job, plan) or Record(design=fingerprint(drawing), plan=plan)
    reading = Reading(
        step=step,
        sizes_mm=_sizes(typed, drawing, step),
        good=_count(good, step),
        thick_mm=_sizes(thick, drawing, step),
    )
    keep_measured(desk.store, job.id, record_text(with_reading(record, reading)))


def forget(desk: Desk, job: Job, plan: Plan, step: int) -> None:
    """Take back what was measured after a step."""
    record = record_of(desk, job, plan)
    if record is not None:
        left = without_reading(record, step)
        keep_measured(desk.store, job.id, record_text(left) if left.readings else "")


def forget_all(desk: Desk, job: Job) -> None:
    """Take back everything measured on a job."""
    keep_measured(desk.store, job.id, "")


def _sizes(typed: str, drawing: Drawing, step: int) -> tuple[float, ...]:
    faults = []
    sizes = []
    # 2 1/32 is one length, though a space stands in it
    whole = _MIXED.sub(r"\1-\2", typed[:_MOST_TYPED])
    for word in whole.replace(",", " ").replace(";", " ").split():
        try:
            sizes.append(float(parse_length(word, unit=drawing.unit)))
        except LengthError as error:
            faults.append(Fault(error.faults[0].code, f"step {step}", str(error.faults[0])[:200]))
    if faults:
        raise FitError(*faults)
    return tuple(sizes)


def _count(good: str, step: int) -> int | None:
    text = good.strip()
    if not text:
        return None
    if not text.isascii() or not text.isdigit() or len(text) > 6:
        raise FitError(
            Fault("F106", f"step {step}", f"says {text[:20]!r} good parts", "count them")
        )
    return int(text)


def fit_svg(report: FitReport) -> str:
    """The board with its meeting points and the settings that matter."""
    drawing = report.drawing
    ruler = Ruler(unit=drawing.unit)
    picture = fit_picture(drawing, report.stack, looks=looks(drawing.woods), ruler=ruler, scale=0.5)
    return svg(picture)


def to_measure(plan: Plan, number: int, record: Record | None, unit: Unit) -> ToMeasure:
    """What can be written down of a step, and what was."""
    step = plan.steps[number - 1]
    found = record.reading(number) if record else None
    return ToMeasure(
        number=number,
        what=main_size(step),
        count=step.count,
        has_thickness=not isinstance(step, Resaw | Surface),
        done=found is not None,
        sizes=_read_back(found.sizes_mm, unit) if found else "",
        thick=_read_back(found.thick_mm, unit) if found else "",
        good=str(found.good) if found and found.good is not None else "",
    )


def _read_back(readings_mm: tuple[float, ...], unit: Unit) -> str:
    """Readings as they may be typed again, to a hundredth of a millimetre."""
    return ", ".join(_hundredth(mm, unit) for mm in readings_mm)


def _hundredth(mm: float, unit: Unit) -> str:
    if unit is Unit.MM:
        return f"{mm:.2f}mm"
    mark = shop_fraction(mm, 64)
    if abs(mark.remainder_mm) < _ON_THE_MARK_MM:
        return Ruler(unit=unit).typed(mm)
    return f"{mm / 25.4:.4f}".rstrip("0")
