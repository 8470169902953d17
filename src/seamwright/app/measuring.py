"""What was measured at the bench, kept with the plan it was measured on.

Beside a design file ``board.toml`` lies ``board.measured.json``; in the store the same text lies
with the job. The plan stands in it, so that step numbers keep their meaning whatever a later
version of the program would plan.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from os import PathLike
from pathlib import Path
from typing import Any

from seamwright.app.files import about, read_bytes
from seamwright.app.keeping import write_over
from seamwright.design import Drawing, write
from seamwright.errors import Fault, FitError
from seamwright.fit import main_size, nominal_mm, planned_mm
from seamwright.plan import Plan, Resaw, Surface, plan_from_json, plan_to_json

_KIND, _FORM = "seamwright measured", 1
_MOST_READINGS = 200
_FAR_OFF = 0.5
_FAR_MM = 6.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What was measured after one step.

    Attributes:
        step: its number, from 1.
        sizes_mm: every reading; none where the step was done and nothing measured.
        good: how many good parts came out of it; None where all did.
        thick_mm: readings of the thickness, where that is not what ``sizes_mm`` are.
    """

    step: int
    sizes_mm: tuple[float, ...] = ()
    good: int | None = None
    thick_mm: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """A plan under way and what was measured on it.

    Attributes:
        design: fingerprint of the drawing.
        plan: the plan.
        readings: one for each step measured, in working order.
    """

    design: str
    plan: Plan
    readings: tuple[Reading, ...] = ()

    def reading(self, step: int) -> Reading | None:
        """What was measured after a step."""
        return next((reading for reading in self.readings if reading.step == step), None)


def readings_of(record: Record) -> list[tuple[int, tuple[float, ...]]]:
    """Step numbers with their readings [mm]."""
    return [(reading.step, reading.sizes_mm) for reading in record.readings]


def thick_readings_of(record: Record) -> list[tuple[int, tuple[float, ...]]]:
    """Step numbers with their readings of thickness [mm]."""
    return [(reading.step, reading.thick_mm) for reading in record.readings if reading.thick_mm]


def fingerprint(drawing: Drawing) -> str:
    """Tells one drawing from another."""
    return hashlib.sha256(write(drawing).encode()).hexdigest()[:32]


def with_reading(record: Record, reading: Reading) -> Record:
    """A record with a step measured, or measured anew.

    Raises:
        FitError: there is no such step, or the sizes cannot be its.
    """
    faults = list(_faults(record.plan, reading))
    if faults:
        raise FitError(*faults)
    others = [known for known in record.readings if known.step != reading.step]
    ordered = sorted([*others, reading], key=lambda known: known.step)
    return replace(record, readings=tuple(ordered))


def without_reading(record: Record, step: int) -> Record:
    """A record in which a step counts as not done."""
    left = tuple(reading for reading in record.readings if reading.step != step)
    return replace(record, readings=left)


def _faults(plan: Plan, reading: Reading) -> Sequence[Fault]:
    if not 1 <= reading.step <= len(plan.steps):
        return [
            Fault(
                "F101",
                f"step {reading.step}",
                "is not in the plan",
                f"it has steps 1 to {len(plan.steps)}",
            )
        ]
    step = plan.steps[reading.step - 1]
    where = f"step {reading.step}"
    faults = []
    if len(reading.sizes_mm) > _MOST_READINGS:
        faults.append(Fault("F102", where, f"has more than {_MOST_READINGS} readings"))
    wanted = nominal_mm(plan, reading.step)
    if reading.sizes_mm and not wanted:
        faults.append(
            Fault("F103", where, "has no size to measure", "measure the parts that go into it")
        )
    for size in reading.sizes_mm if wanted else ():
        near = min(wanted, key=lambda mm: abs(mm - size))
        if not _can_be(size, near):
            faults.append(_far(where, size, main_size(step), near))
    faults += _thick_faults(plan, reading)
    if reading.good is not None and not 0 <= reading.good <= step.count:
        faults.append(
            Fault("F105", where, f"makes {step.count}, not {reading.good}", "count again")
        )
    return faults


def _thick_faults(plan: Plan, reading: Reading) -> list[Fault]:
    step = plan.steps[reading.step - 1]
    where = f"step {reading.step}"
    if not reading.thick_mm:
        return []
    if isinstance(step, Resaw | Surface):
        return [
            Fault("F107", where, "is about thickness anyway", "give it as the size it is to have")
        ]
    if len(reading.thick_mm) > _MOST_READINGS:
        return [Fault("F102", where, f"has more than {_MOST_READINGS} readings")]
    planned = planned_mm(plan)[step.makes]
    return [
        _far(where, size, "thickness", planned)
        for size in reading.thick_mm
        if not _can_be(size, planned)
    ]


def _can_be(size: float, near: float) -> bool:
    return math.isfinite(size) and abs(size - near) <= max(_FAR_MM, _FAR_OFF * near) and size > 0.0


def _far(where: str, size: float, what: str, near: float) -> Fault:
    return Fault(
        "F104",
        where,
        f"was measured as {size:g} mm; the {what} should be {near:g} mm",
        "look at the reading and its unit again",
    )


def record_text(record: Record) -> str:
    """A record as it is kept."""
    table = {
        "kind": _KIND,
        "form": _FORM,
        "design": record.design,
        "readings": [
            {"step": r.step, "sizes_mm": list(r.sizes_mm), "good": r.good}
            | ({"thick_mm": list(r.thick_mm)} if r.thick_mm else {})
            for r in record.readings
        ],
        "plan": plan_to_json(record.plan),
    }
    return json.dumps(table, ensure_ascii=False, indent=1) + "\n"


def read_record(text: str) -> Record:
    """The record in a text.

    Raises:
        FitError: it is none of ours, or damaged.
        PlanError: the plan in it cannot be read.
    """
    try:
        table = json.loads(text)
        if table.get("kind") != _KIND or table.get("form") != _FORM:
            raise ValueError("another kind")
        record = Record(
            design=str(table["design"]),
            plan=plan_from_json(table["plan"]),
        )
        readings = [_reading(entry) for entry in table["readings"]]
    except (AttributeError, KeyError, TypeError, ValueError, RecursionError):
        raise FitError(
            Fault("F111", "the measured sizes", "cannot be read", "they were damaged: measure anew")
        ) from None
    for reading in readings:
        record = with_reading(record, reading)
    return record


def _reading(entry: dict[str, Any]) -> Reading:
    good = entry["good"]
    return Reading(
        step=int(entry["step"]),
        sizes_mm=tuple(float(size) for size in entry["sizes_mm"]),
        good=None if good is None else int(good),
        # records of earlier versions say nothing of it
        thick_mm=tuple(float(size) for size in entry.get("thick_mm", ())),
    )


def record_path(design: str | PathLike[str]) -> Path:
    """Where measured sizes lie: beside the design file.

    >>> record_path("work/board.toml").name
    'board.measured.json'
    """
    return Path(design).with_suffix(".measured.json")


def load_record(design: str | PathLike[str], drawing: Drawing) -> Record | None:
    """The record beside a design file; None where nothing was measured.

    Raises:
        FileError, FitError: it cannot be read, or belongs to another drawing.
    """
    path = record_path(design)
    if not path.exists():
        return None
    with about(path):
        record = read_record(read_bytes(path).decode("utf-8", errors="replace"))
        check_belongs(record, drawing, where=str(path))
    return record


def check_belongs(record: Record, drawing: Drawing, *, where: str) -> None:
    """Refuse measured sizes of another drawing.

    Raises:
        FitError: the drawing has changed since.
    """
    if record.design != fingerprint(drawing):
        raise FitError(
            Fault(
                "F112",
                where,
                "belongs to the drawing as it was before it was changed",
                "take the change back, or move the measured sizes away and measure anew",
            )
        )


def save_record(design: str | PathLike[str], record: Record) -> Path:
    """Keep a record beside its design file.

    Raises:
        FileError: it cannot be written.
    """
    return write_over(record_path(design), record_text(record).encode())
