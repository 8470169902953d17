"""The cut list: every set-up at every saw in the order of work, for a spreadsheet."""

from __future__ import annotations

from seamwright.papers.sticks import table_csv
from seamwright.pictures import Ruler
from seamwright.plan import Plan, Slice, Step, Trim, inputs, set_ups


def cuts_csv(plan: Plan, *, ruler: Ruler) -> bytes:
    """One row for each setting of each step.

    Args:
        plan: the plan.
        ruler: how sizes are written.
    """
    head = (
        "step", "work", "takes", "makes", "count", "machine", "setting", "setting_mm",
        "angle_deg", "set_from", "cuts",
    )  # fmt: skip
    rows: list[tuple[object, ...]] = []
    for number, step in enumerate(plan.steps, start=1):
        taken = " ".join(f"{count}x{kind}" for kind, count in inputs(step).items())
        first = (number, step.verb, taken, step.makes, step.count)
        if not set_ups(step):
            rows.append((*first, "clamps", "", "", "", "", ""))
        rows.extend(
            (
                *first,
                s.machine.value,
                ruler.inch(s.size_mm),
                f"{s.size_mm:.4f}".rstrip("0").rstrip("."),
                f"{s.angle_deg:.4f}".rstrip("0").rstrip("."),
                s.match,
                _cuts(step),
            )
            for s in set_ups(step)
        )
    return table_csv(head, rows)


def _cuts(step: Step) -> int | str:
    if isinstance(step, Slice):
        return step.bars * len(step.cuts) // len(set_ups(step))
    if isinstance(step, Trim):
        return step.count if step.each == 1 else step.count - step.count // step.each
    return ""
