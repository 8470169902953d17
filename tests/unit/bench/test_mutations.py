"""Every way of spoiling a sound plan that we could think of must be caught by the proof."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fakes import plans
from fakes.spoiling import SHIFT, spoilt_plans
from seamwright.bench import Severity, prove
from seamwright.geometry import Motion
from seamwright.plan import Laminate

# What changes nothing that the drawing can see: a strip slid along its glue line within the
# offcut, sticks all deeper together and planed to size, a stop that only the sled sees. Each still
# gets its warning, or takes more wood.
HARMLESS = {
    "nine patch": {
        f"step {number} laminate {kind}: part {i} right"
        for number, kind in ((3, "L1"), (4, "L2"))
        for i in range(3)
    },
    "half square": {"step 3 slice TA: stop", "step 4 slice TB: stop"},
    "cut corners": {
        *(f"step 3 laminate L1: part {i} right" for i in range(2)),
        "step 6 slice TB: stop",
    },
    "resawn": set(),
    "leaning": {f"step 3 laminate L1: part {i} right" for i in range(2)},
    "quarter turns": {"step 1 mill SA: deeper"},
    "swirl": set(),
    "filled row": {"step 4 slice P2: stop"},
}


@pytest.mark.parametrize("name", plans.ALL)
def test_every_spoilt_plan_is_caught(name: str) -> None:
    plan, drawing = plans.ALL[name]()
    escaped = []
    tried = 0
    for what, bad in spoilt_plans(plan):
        tried += 1
        proof = prove(bad, drawing)
        if proof.holds:
            escaped.append(what)
        else:
            assert any(f.severity is not Severity.WARNING for f in proof.findings), what
            assert all(str(f).strip() and f.step <= len(bad.steps) for f in proof.findings), what
    assert tried > 40
    assert set(escaped) == HARMLESS[name]


@pytest.mark.parametrize("name", plans.ALL)
def test_every_spoilt_drawing_is_caught(name: str) -> None:
    plan, drawing = plans.ALL[name]()
    for i, patch in enumerate(drawing.patches):
        others = (drawing.patches[:i], drawing.patches[i + 1 :])
        for changed in (
            replace(patch, grain_deg=patch.grain_deg + 90.0),
            replace(patch, grain_deg=patch.grain_deg + 0.1),
            replace(patch, wood="B" if patch.wood == "A" else "A"),
            replace(patch, points=Motion(x_mm=SHIFT).polygon(patch.points)),
        ):
            bad = replace(drawing, patches=(*others[0], changed, *others[1]))
            assert not prove(plan, bad).holds, (i, changed)
        assert not prove(plan, replace(drawing, patches=(*others[0], *others[1]))).holds
    assert not prove(plan, replace(drawing, copies=2)).holds
    assert not prove(plan, replace(drawing, thickness_mm=drawing.thickness_mm + SHIFT)).holds


def test_a_part_turned_over_into_its_own_shape_is_caught_by_its_grain() -> None:
    # a right isosceles triangle mirrored across its own axis: same outline, grain across
    plan, drawing = plans.cut_corners()
    glue_up = next(step for step in plan.steps if step.makes == "U1")
    assert isinstance(glue_up, Laminate)
    first, *rest = glue_up.parts
    mirrored = replace(first, at=Motion(over=True, turn_deg=90.0))
    bad = replace(glue_up, parts=(mirrored, *rest))
    steps = tuple(bad if s is glue_up else s for s in plan.steps)
    proof = prove(replace(plan, steps=steps), drawing)
    assert not proof.holds
    assert (proof.grain_errors, proof.wood_errors) == (1, 0)
    assert proof.area_error_mm2 < 1e-6
    assert any("patch c1" in str(f) and "grain at 90°" in str(f) for f in proof.findings)
