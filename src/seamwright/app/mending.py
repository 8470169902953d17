"""What changes once sizes are measured: the rest of the plan chosen again, and proven."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from threadpoolctl import threadpool_limits

from seamwright.app.measuring import Record
from seamwright.bench import Proof, Severity, prove
from seamwright.design import Drawing
from seamwright.errors import FitError
from seamwright.fit import (
    GAP_MM,
    Remake,
    Resolved,
    Rewritten,
    Shortage,
    Study,
    least_remake,
    levers,
    measured_from,
    resolve,
    rewrite,
    shortage,
)
from seamwright.plan import Laminate, Mill, Plan, Slice, Step, Surface, Trim

_SHOWN_MM = 0.02


class Verdict(Enum):
    """How it stands."""

    AS_PLANNED = "as planned"
    """Nothing has to change."""
    MENDED = "mended"
    """The rest is chosen again, and proven with the measured sizes."""
    NEARLY = "nearly"
    """All points meet and all faces close to within the gap, but not as tightly as drawn."""
    REMAKE = "remake"
    """Something has to be made again."""
    LOST = "lost"
    """No choice of what is left helps, and no single step or pair of steps made again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One setting that changes.

    Attributes:
        step: its number, from 1.
        part: the kind it makes.
        what: which size, in words.
        old_mm, new_mm: before and now [mm].
    """

    step: int
    part: str
    what: str
    old_mm: float
    new_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Mended:
    """What became of a plan.

    Attributes:
        verdict: how it stands.
        gap_mm: miss that still counts as met.
        resolved: the sizes now; None where none can be had.
        rewritten: the plan with them; None where it cannot be written.
        proof: of the new plan on virtual wood, with the measured sizes, where all faces close.
        changes: settings that change.
        border_mm: how much the sizes of the border change at most [mm].
        remake: the least to make again, where that is needed.
        shortages: steps from which fewer good parts came than are needed, or spares cover it.
        refused: why the new plan cannot be written.
    """

    verdict: Verdict
    gap_mm: float
    resolved: Resolved | None
    rewritten: Rewritten | None
    proof: Proof | None
    changes: tuple[Change, ...]
    border_mm: float
    remake: Remake | None
    shortages: tuple[Shortage, ...]
    refused: str = ""


def mend(drawing: Drawing, looked: Study, record: Record, *, gap_mm: float = GAP_MM) -> Mended:
    """Choose the rest of a plan again for what was measured.

    Args:
        drawing: the board.
        looked: the plan's fit.
        record: readings on that plan.
        gap_mm: miss that still counts as met.
    """
    # many small systems of equations: several threads on each would only get in each other's way
    with threadpool_limits(1, user_api="blas"):
        return _mended(drawing, looked, record, gap_mm)


def _mended(drawing: Drawing, looked: Study, record: Record, gap_mm: float) -> Mended:
    known = levers(looked)
    measured = measured_from(looked, {r.step: r.sizes_mm for r in record.readings})
    resolved = resolve(looked, measured, known)
    shortages = tuple(
        shortage(looked.plan, reading.step, reading.good)
        for reading in record.readings
        if reading.good is not None and reading.good < looked.plan.steps[reading.step - 1].count
    )
    remake = None
    rewritten, proof, refused = None, None, ""
    verdict = Verdict.LOST
    if resolved is not None and resolved.mends(gap_mm):
        try:
            rewritten = rewrite(looked, drawing, resolved, made=measured.parts)
        except FitError as error:
            refused = str(error.faults[0])
        else:
            proof = _proof(rewritten, drawing) if resolved.closes else None
            verdict = _verdict(looked.plan, rewritten, proof)
            refused = _why(proof)
    if verdict is Verdict.LOST:
        remake = least_remake(looked, measured, gap_mm=gap_mm, known=known)
        verdict = Verdict.REMAKE if remake else Verdict.LOST
    return Mended(
        verdict=verdict,
        gap_mm=gap_mm,
        resolved=resolved,
        rewritten=rewritten,
        proof=proof,
        changes=changes(looked.plan, rewritten.plan, measured.parts) if rewritten else (),
        border_mm=max(
            (abs(resolved.sizes[size]) for size in known.border if size not in measured.made),
            default=0.0,
        )
        if resolved
        else 0.0,
        remake=remake,
        shortages=shortages,
        refused=refused,
    )


def _proof(rewritten: Rewritten, drawing: Drawing) -> Proof:
    """The new plan on virtual wood; and its board must still show what was drawn."""
    proof = prove(rewritten.plan, rewritten.drawing)
    shown = prove(rewritten.plan, drawing)
    if shown.missing or shown.doubled or shown.wood_errors or shown.grain_errors:
        return shown
    return proof


def _verdict(plan: Plan, rewritten: Rewritten, proof: Proof | None) -> Verdict:
    if proof is None:
        return Verdict.NEARLY
    if not proof.holds:
        return Verdict.LOST
    return Verdict.AS_PLANNED if rewritten.plan is plan else Verdict.MENDED


def _why(proof: Proof | None) -> str:
    if proof is None or proof.holds:
        return ""
    return next(str(f) for f in proof.findings if f.severity is not Severity.WARNING)


def changes(old: Plan, new: Plan, made: frozenset[str]) -> tuple[Change, ...]:
    """Settings in which two plans differ by more than shows.

    Args:
        old, new: the plans.
        made: kinds that are made already; their steps are done.
    """
    found = []
    pairs = zip(old.steps, new.steps, strict=True)
    for number, (before, after) in enumerate(pairs, start=1):
        if before.makes in made:
            continue
        for what, was, now in _sizes(before, after):
            if abs(was - now) >= _SHOWN_MM:
                found.append(
                    Change(step=number, part=before.makes, what=what, old_mm=was, new_mm=now)
                )
    return tuple(found)


def _sizes(before: Step, after: Step) -> list[tuple[str, float, float]]:
    if isinstance(before, Mill) and isinstance(after, Mill):
        return [
            ("width", before.width_mm, after.width_mm),
            ("length", before.length_mm, after.length_mm),
        ]
    if isinstance(before, Slice) and isinstance(after, Slice):
        told = [("stop", before.set_up.size_mm, after.set_up.size_mm)]
        if before.second_set_up and after.second_set_up:
            told.append(("second stop", before.second_set_up.size_mm, after.second_set_up.size_mm))
        return told
    if isinstance(before, Trim) and isinstance(after, Trim):
        return [
            ("what stays", was.size_mm, _nearest([up.size_mm for up in after.set_ups], was.size_mm))
            for was in before.set_ups
        ]
    assert isinstance(before, Laminate | Surface) or before == after
    return []


def _nearest(sizes: list[float], wanted: float) -> float:
    return min(sizes, key=lambda size: abs(size - wanted))
