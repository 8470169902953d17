"""Carrying out a plan, step by step."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import astuple

from seamwright.bench.facing import mill, resaw, surface
from seamwright.bench.gluing import glue
from seamwright.bench.lots import check_lots
from seamwright.bench.model import Carried, Finding, Shelf, Solid, Stock
from seamwright.bench.notes import Notes
from seamwright.bench.remembering import Workbook
from seamwright.bench.shapes import are_equal, is_crumb
from seamwright.bench.slicing import slice_bars
from seamwright.bench.tolerance import BEYOND_REASON, TOUCH_MM
from seamwright.bench.trimming import trim_parts
from seamwright.plan import (
    Laminate,
    Mill,
    Plan,
    Resaw,
    Shop,
    Slice,
    Step,
    Trim,
    inputs,
    numbers,
    outputs,
)


def execute(plan: Plan, *, workbook: Workbook | None = None) -> Shelf:
    """Carry a plan out on virtual wood.

    Every rule of the bench is checked on the way. A step that breaks one is told in the findings
    and carried out as far as it makes sense; where it makes none, what it should have made is
    missing from the shelf, and so is all that needs it.

    Args:
        plan: any plan, sound or not.
        workbook: what was carried out before, which changes nothing but the time it takes.
    Returns:
        What is on the bench after the last step.
    """
    page = workbook.opened(plan.shop) if workbook is not None else None
    sane_saws = all(abs(kerf) <= BEYOND_REASON for kerf in astuple(plan.shop.saws))
    solids: dict[str, Solid] = {}
    made: dict[str, int] = {}
    used: dict[str, int] = {}
    steps: list[Carried] = []
    findings: list[Finding] = []
    for number, step in enumerate(plan.steps, start=1):
        notes = Notes(step=number, subject=step.makes or "a part without a name")
        if not sane_saws:
            notes.wrong(
                "B150", "is made with a saw whose kerf or reach is no number, or beyond all reason"
            )
            findings.extend(notes.found)
            continue
        known = page.known(step) if page else None
        recalled = page.recalled(known, step, number) if page else None
        # what was made by the same numbers before was sane, and was there; lots are not of these
        lots = isinstance(step, Laminate) and step.is_shared
        sane = recalled is not None and not lots
        if _is_ready(step, solids, made, used, notes, sane=sane):
            carried = recalled or _carry(step, solids, plan.shop, notes, number)
            if carried is not None and (recalled is not None or _is_there(carried, notes)):
                if page:
                    page.entered(known, carried, clean=not notes.found)
                _check_same_kind(carried.came_out, solids.get(step.makes), notes)
                steps.append(carried)
                solids.setdefault(step.makes, carried.came_out)
                if carried.rest is not None:
                    solids[carried.rest.kind] = carried.rest
                for kind, count in _made(step, carried).items():
                    made[kind] = made.get(kind, 0) + count
                for kind, count in carried.went_in:
                    used[kind] = used.get(kind, 0) + count
        findings.extend(notes.found)
    if sane_saws:
        findings.extend(check_lots(plan, solids))
    return Shelf(
        solids=tuple(solids.items()),
        stock=tuple(
            (kind, Stock(made=count, used=used.get(kind, 0))) for kind, count in made.items()
        ),
        steps=tuple(steps),
        findings=tuple(findings),
    )


def _is_there(carried: Carried, notes: Notes) -> bool:
    """Whether what was made is wood and not a line or a point."""
    made = (carried.came_out, *([carried.rest] if carried.rest else []))
    for solid in made:
        if len(solid.hull) < 3 or is_crumb(solid.hull):
            notes.wrong("B156", "comes out thinner than anything")
            return False
    return True


def _check_same_kind(made: Solid, before: Solid | None, notes: Notes) -> None:
    """Slices of one kind are equal, whichever bar they come from."""
    if before is None:
        return
    if abs(made.depth_mm - before.depth_mm) > TOUCH_MM or not are_equal(made.pieces, before.pieces):
        notes.wrong("B157", "is not equal to the parts of the same kind made before")


def _made(step: Step, carried: Carried) -> dict[str, int]:
    """What there really is after a step: the rest of a bar may be missing."""
    rest = carried.rest.kind if carried.rest else None
    return {kind: n for kind, n in outputs(step).items() if kind in {step.makes, rest}}


def _is_ready(
    step: Step,
    solids: Mapping[str, Solid],
    made: Mapping[str, int],
    used: Mapping[str, int],
    notes: Notes,
    *,
    sane: bool,
) -> bool:
    """Whether a step can be begun: sane numbers, a new kind, its parts at hand."""
    if not sane and not all(abs(number) <= BEYOND_REASON for number in numbers(step)):
        notes.wrong("B150", "has a size that is not a number, or beyond all reason")
        return False
    again = [kind for kind in outputs(step) if kind in made]
    if isinstance(step, Slice) and step.makes in again and step.makes not in used:
        # bars of several lengths may give slices of one kind, as long as all are cut before
        # any is used
        again.remove(step.makes)
    if again or (isinstance(step, Slice) and step.rest == step.makes):
        twice = again[0] if again else step.makes
        notes.wrong("B151", "is made a second time: every kind is made once", subject=twice)
        return False
    if step.count < 1:
        notes.wrong("B152", f"is to be made {step.count} times")
        return False
    ready = True
    for kind, count in inputs(step).items():
        left = made.get(kind, 0) - used.get(kind, 0)
        if kind not in solids:
            notes.wrong("B153", f"needs {kind}, which is not made before this step")
            ready = False
        elif count < 1:
            notes.wrong("B152", f"takes {count} of {kind}")
            ready = False
        elif count > left:
            notes.wrong("B154", f"needs {count} of {kind}, but only {left} are at hand")
    if isinstance(step, Laminate) and not step.parts:
        notes.wrong("B155", "is glued from no parts at all")
        ready = False
    return ready


def _carry(
    step: Step, solids: Mapping[str, Solid], shop: Shop, notes: Notes, number: int
) -> Carried | None:
    if isinstance(step, Mill):
        return mill(step, shop, notes, number)
    if isinstance(step, Laminate):
        return glue(step, [solids[placed.part] for placed in step.parts], shop, notes, number)
    taken = solids[step.takes]
    if isinstance(step, Slice):
        return slice_bars(step, taken, shop, notes, number)
    if isinstance(step, Resaw):
        return resaw(step, taken, shop, notes, number)
    if isinstance(step, Trim):
        return trim_parts(step, taken, shop, notes, number)
    return surface(step, taken, shop, notes, number)
