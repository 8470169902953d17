"""What changes once sizes are measured: the rest of the plan chosen again, and proven."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import Enum

from threadpoolctl import threadpool_limits

from seamwright.app.measuring import Record, thick_readings_of
from seamwright.bench import Proof, Severity, prove
from seamwright.design import Drawing
from seamwright.errors import FitError
from seamwright.fit import (
    GAP_MM,
    THINNEST,
    Deepened,
    FewerLeaves,
    Levers,
    Measured,
    Remake,
    Resolved,
    Rewritten,
    Shortage,
    Study,
    Thicker,
    deepen,
    fewer_leaves,
    least_remake,
    levers,
    measured_from,
    planned_mm,
    resolve,
    rewrite,
    shortage,
    thicker,
    thickness_from,
    with_depths,
)
from seamwright.plan import Laminate, Mill, Plan, Resaw, Slice, Step, Surface, Trim

_SHOWN_MM = 0.02
_SAME_MM = 1e-6


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
        deep: the thicknesses now; None where none can be had.
        thicker: the least to make again for a board as thick as drawn, where it comes out thinner.
        leaves: billets too shallow for all their leaves as planned.
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
    deep: Deepened | None
    thicker: Thicker | None
    leaves: tuple[FewerLeaves, ...]
    shortages: tuple[Shortage, ...]
    refused: str = ""


def mend(
    drawing: Drawing,
    looked: Study,
    record: Record,
    *,
    gap_mm: float = GAP_MM,
    needs: Mapping[int, float] | None = None,
) -> Mended:
    """Choose the rest of a plan again for what was measured.

    Args:
        drawing: the board.
        looked: the plan's fit.
        record: readings on that plan.
        gap_mm: miss that still counts as met.
        needs: for each planing, by its step, what it must leave for both faces [mm]; what the plan
            leaves where left out.
    """
    # many small systems of equations: several threads on each would only get in each other's way
    with threadpool_limits(1, user_api="blas"):
        return _mended(drawing, looked, record, gap_mm, needs or {})


def _mended(
    drawing: Drawing, looked: Study, record: Record, gap_mm: float, needs: Mapping[int, float]
) -> Mended:
    plan, known = looked.plan, levers(looked)
    readings = {r.step: r.sizes_mm for r in record.readings}
    measured = measured_from(looked, readings)
    thick = thickness_from(plan, readings, dict(thick_readings_of(record)))
    resolved = resolve(looked, measured, known)
    drawn_mm = planned_mm(plan)[plan.board]
    deep = deepen(plan, thick, measured.parts, needs=needs, drawn_mm=drawn_mm)
    refused = _too_thin(deep, drawn_mm)
    rewritten, proof = None, None
    verdict = Verdict.LOST
    if resolved is not None and resolved.mends(gap_mm) and deep is not None and not refused:
        try:
            rewritten = rewrite(looked, drawing, resolved, made=measured.parts)
        except FitError as error:
            refused = str(error.faults[0])
        else:
            rewritten = _deep(rewritten, deep, drawn_mm)
            proof = _proof(rewritten, drawing) if resolved.closes else None
            verdict = _verdict(plan, rewritten, proof)
            refused = _why(proof)
    short = deep is None or deep.board_mm < drawn_mm - _SHOWN_MM
    again = thicker(plan, thick, measured.parts, needs=needs, drawn_mm=drawn_mm) if short else None
    remake = None
    if verdict is Verdict.LOST:
        if resolved is None or not resolved.mends(gap_mm) or (rewritten is None and not short):
            remake = least_remake(looked, measured, gap_mm=gap_mm, known=known)
        verdict = Verdict.REMAKE if remake or again else Verdict.LOST
    return Mended(
        verdict=verdict,
        gap_mm=gap_mm,
        resolved=resolved,
        rewritten=rewritten,
        proof=proof,
        changes=changes(plan, rewritten.own_steps(), measured.parts) if rewritten else (),
        border_mm=_border_mm(known, resolved, measured),
        remake=remake,
        deep=deep,
        thicker=again,
        leaves=fewer_leaves(plan, thick, needs) if short else (),
        shortages=_shortages(plan, record),
        refused=refused,
    )


def _too_thin(deep: Deepened | None, drawn_mm: float) -> str:
    if deep is None:
        return "what is made is too thin: no thickness of the rest keeps the limits of the machines"
    if deep.board_mm < THINNEST * drawn_mm:
        return (
            f"the board would come out {deep.board_mm:.1f} mm thick, less than "
            f"{THINNEST * 100.0:.0f} % of the {drawn_mm:g} mm drawn"
        )
    return ""


def _deep(rewritten: Rewritten, deep: Deepened, drawn_mm: float) -> Rewritten:
    """With other thicknesses; the drawing says how thick the board then comes out."""
    depths = dict(deep.depths)
    for bar in rewritten.bars:
        depths |= {new: depths[old] for new, old in bar.copies.items()}
    plan = with_depths(rewritten.plan, depths)
    if abs(deep.board_mm - drawn_mm) < _SAME_MM:
        return replace(rewritten, plan=plan)
    drawing = replace(rewritten.drawing, thickness_mm=deep.board_mm)
    return replace(rewritten, plan=plan, drawing=drawing)


def _border_mm(known: Levers, resolved: Resolved | None, measured: Measured) -> float:
    if resolved is None:
        return 0.0
    sizes = [abs(resolved.sizes[size]) for size in known.border if size not in measured.made]
    return max(sizes, default=0.0)


def _shortages(plan: Plan, record: Record) -> tuple[Shortage, ...]:
    return tuple(
        shortage(plan, reading.step, reading.good)
        for reading in record.readings
        if reading.good is not None and reading.good < plan.steps[reading.step - 1].count
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


def changes(old: Plan, new: Sequence[Step], made: frozenset[str]) -> tuple[Change, ...]:
    """Settings in which a plan and its new steps differ by more than shows.

    Args:
        old: the plan.
        new: its steps with their new sizes, one for each.
        made: kinds that are made already; their steps are done.
    """
    found = []
    pairs = zip(old.steps, new, strict=True)
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
            ("thickness", before.depth_mm, after.depth_mm),
        ]
    if isinstance(before, Surface | Resaw) and isinstance(after, Surface | Resaw):
        what = "thickness" if isinstance(before, Surface) else "resaw fence"
        return [(what, before.set_up.size_mm, after.set_up.size_mm)]
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
    assert isinstance(before, Laminate) or before == after
    return []


def _nearest(sizes: list[float], wanted: float) -> float:
    return min(sizes, key=lambda size: abs(size - wanted))
