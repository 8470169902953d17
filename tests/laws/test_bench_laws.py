"""Laws of the virtual bench: wood is neither made nor lost, and where a thing lies is no matter."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fakes import plans
from seamwright.bench import execute, prove
from seamwright.geometry import Motion, area
from seamwright.plan import Laminate

sizes = st.floats(min_value=8.0, max_value=90.0)
kerfs = st.floats(min_value=0.5, max_value=6.0)
motions = st.builds(
    Motion,
    turn_deg=st.floats(0.0, 360.0) | st.sampled_from([0.0, 45.0, 90.0, 180.0]),
    over=st.booleans(),
    x_mm=st.floats(-500.0, 500.0),
    y_mm=st.floats(-500.0, 500.0),
)


@given(sizes, kerfs)
@settings(deadline=None, max_examples=40)
def test_a_nine_patch_of_any_size_with_any_saw_holds(size: float, kerf: float) -> None:
    plan, drawing = plans.nine_patch(s=size, shop=plans.roomy_shop(kerf_mm=kerf))
    proof = prove(plan, drawing)
    assert proof.holds, [str(f) for f in proof.findings]
    assert abs(proof.balance.error_mm3) < 1e-3


@given(sizes, kerfs)
@settings(deadline=None, max_examples=40)
def test_triangles_head_to_tail_of_any_size_with_any_saw_hold(leg: float, kerf: float) -> None:
    plan, drawing = plans.half_square(leg=leg, shop=plans.roomy_shop(kerf_mm=kerf))
    proof = prove(plan, drawing)
    assert proof.holds, [str(f) for f in proof.findings]


@given(st.integers(1, 40), st.integers(0, 10**6))
@settings(deadline=None, max_examples=30)
def test_random_boards_glued_up_from_halves_hold(count: int, seed: int) -> None:
    plan, drawing = plans.random_halves(count, seed=seed)
    proof = prove(plan, drawing)
    assert proof.holds, [str(f) for f in proof.findings]
    assert abs(proof.balance.error_mm3) < 1e-2


@given(st.sampled_from(sorted(plans.ALL)), motions)
@settings(deadline=None, max_examples=60)
def test_moving_drawing_and_last_glue_up_together_changes_nothing(
    name: str, motion: Motion
) -> None:
    plan, drawing = plans.ALL[name]()
    last = [step for step in plan.steps if isinstance(step, Laminate)][-1]
    seams = motion.undirected_deg(last.seams_deg)
    moved = replace(
        last,
        parts=tuple(replace(p, at=motion.after(p.at)) for p in last.parts),
        seams_deg=seams,
    )
    if last.corner_deg is not None:
        # turned over, the press runs the other way round from the first seam to the second
        corner = motion.undirected_deg(last.corner_deg)
        pair = (corner, seams) if motion.over else (seams, corner)
        moved = replace(moved, seams_deg=pair[0], corner_deg=pair[1])
    patches = tuple(
        replace(p, points=motion.polygon(p.points), grain_deg=motion.undirected_deg(p.grain_deg))
        for p in drawing.patches
    )
    proof = prove(
        replace(plan, steps=tuple(moved if s is last else s for s in plan.steps)),
        replace(drawing, patches=patches),
    )
    assert proof.holds, [str(f) for f in proof.findings]


@given(st.sampled_from(sorted(plans.ALL)))
@settings(deadline=None)
def test_every_step_accounts_for_its_own_wood(name: str) -> None:
    plan, _ = plans.ALL[name]()
    shelf = execute(plan)
    for step in shelf.steps:
        went_in = sum(shelf.solid(kind).volume_mm3 * count for kind, count in step.went_in)
        came_out = step.came_out.volume_mm3 * step.count
        if step.rest is not None:
            came_out += step.rest.volume_mm3 * sum(count for _, count in step.went_in)
        lost = step.kerf_mm3 + step.offcut_mm3 + step.planed_mm3
        assert went_in + step.milled_mm3 == pytest.approx(came_out + lost, abs=1e-3)


@given(st.sampled_from(sorted(plans.ALL)))
@settings(deadline=None)
def test_dust_and_offcuts_lie_within_what_was_sawn(name: str) -> None:
    plan, _ = plans.ALL[name]()
    shelf = execute(plan)
    for step in shelf.steps:
        if not step.dust:
            continue
        ((kind, count),) = step.went_in
        sawn = shelf.solid(kind)
        lost = sum(area(piece.points) for piece in (*step.dust, *step.offcuts))
        each = step.count // count
        kept = each * step.came_out.area_mm2 + (step.rest.area_mm2 if step.rest else 0.0)
        assert lost + kept == pytest.approx(sawn.area_mm2)
