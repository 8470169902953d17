"""Hand-written plans, whose arithmetic stands in the tests, on the virtual bench."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import pytest

from fakes import plans
from fakes.plans import nine_patch, plain_shop, put, rectangle, roomy_shop
from seamwright.bench import Severity, execute, prove
from seamwright.errors import BenchError
from seamwright.geometry import area
from seamwright.plan import Laminate, check


@pytest.mark.parametrize("name", plans.ALL)
def test_a_sound_plan_holds(name: str) -> None:
    plan, drawing = plans.ALL[name]()
    check(plan)
    proof = prove(plan, drawing)
    assert proof.holds, [str(finding) for finding in proof.findings]
    assert proof.area_error_mm2 < 1e-6
    assert (proof.grain_errors, proof.wood_errors) == (0, 0)
    assert (proof.missing, proof.doubled, proof.split_patches, proof.joined_patches) == ((),) * 4
    assert abs(proof.balance.error_mm3) < 1e-3
    assert {f.severity for f in proof.findings} <= {Severity.WARNING}


def test_where_the_wood_of_a_nine_patch_goes() -> None:
    # sticks 305 × 40 × 20.6; kerf 3, planed 0.8 a face, 2 slices of the first set, 1 of the second
    plan, drawing = nine_patch()
    balance = prove(plan, drawing).balance
    milled = 6 * 305.0 * 40.0 * 20.6
    board = 120.0 * 120.0 * 19.0
    planed = 120.0 * 120.0 * 1.6
    kerf = (3 + 2) * 3.0 * 120.0 * 20.6
    assert balance.milled_mm3 == pytest.approx(milled)
    assert balance.boards_mm3 == pytest.approx(board)
    assert balance.planed_mm3 == pytest.approx(planed)
    assert balance.kerf_mm3 == pytest.approx(kerf)
    assert balance.spares_mm3 == 0.0
    assert balance.offcuts_mm3 == pytest.approx(milled - board - planed - kerf)


def test_what_each_step_of_a_nine_patch_did() -> None:
    plan, _ = nine_patch()
    shelf = execute(plan)
    assert [step.number for step in shelf.steps] == list(range(1, 9))
    strips = shelf.steps[2]
    assert strips.went_in == (("SA", 2), ("SB", 1))
    assert [(line.start, line.end) for line in strips.glue_lines] == [
        ((0.0, 40.0), (305.0, 40.0)),
        ((0.0, 80.0), (305.0, 80.0)),
    ]
    assert [(line.first, line.second) for line in strips.glue_lines] == [(0, 1), (1, 2)]
    slices = shelf.steps[4]
    assert [place.x_mm for place in slices.places] == [13.0, 56.0]
    assert sum(area(piece.points) for piece in slices.dust) == pytest.approx(3 * 3.0 * 120.0)
    assert {piece.wood for piece in slices.dust} == {"A", "B"}
    # the end squared off is 10 long, the tail what is left of 305
    assert sum(area(p.points) for p in slices.offcuts) == pytest.approx((305 - 3 * 3 - 80) * 120.0)
    assert shelf.solid("P1").hull == rectangle(0.0, 0.0, 40.0, 120.0)
    assert shelf.counts("P1").made == 2
    assert shelf.counts("P1").left == 0
    assert shelf.solid("F1").depth_mm == 19.0
    assert [piece.stick for piece in shelf.solid("P2").pieces] == ["SB", "SA", "SB"]


@pytest.mark.parametrize("kerf", [1.0, 2.4, 3.175])
def test_a_square_split_on_its_diagonal_loses_kerf_over_root_two_of_each_leg(kerf: float) -> None:
    # elementary geometry: the cut takes k/2 on either side of the diagonal, and the leg of a right
    # isosceles triangle is √2 times its height, so each leg is s − √2·k/2 = s − k/√2
    side = 80.0
    shop = roomy_shop(kerf_mm=kerf)
    step = plans.Trim(
        takes="S1",
        makes="T1",
        count=1,
        # left face of the band half a kerf to the left of the falling diagonal, going up
        cuts=(
            plans.EdgeCut(
                x_mm=side - kerf / math.sqrt(2.0) / 2.0,
                y_mm=-kerf / math.sqrt(2.0) / 2.0,
                angle_deg=135.0,
            ),
        ),
        set_ups=(plans.sled(side, 45.0),),
    )
    plan = plans.plan([plans.stick("S1", "A", side, side, 20.0), step], "T1", shop)
    shelf = execute(plan)
    (piece,) = shelf.solid("T1").pieces
    leg = side - kerf / math.sqrt(2.0)
    corners = {(round(x, 9), round(y, 9)) for x, y in piece.points}
    assert corners == {(0.0, 0.0), (round(leg, 9), 0.0), (0.0, round(leg, 9))}
    (fallen,) = shelf.steps[1].offcuts
    assert area(fallen.points) == pytest.approx(leg * leg / 2.0)
    assert shelf.steps[1].kerf_mm3 == pytest.approx((side * side - leg * leg) * 20.0)


def test_a_slanted_cut_takes_kerf_times_root_two_along_the_bar() -> None:
    plan, _ = plans.half_square(leg=60.0)
    (slicing,) = [step for step in execute(plan).steps if step.came_out.kind == "TA"]
    # cuts: 90° from 10 to 13, slanted 135° one leg on, 90° after it
    first, second = slicing.places
    assert (first.turn_deg, first.x_mm) == (0.0, 13.0)
    # the second lies turned, its right angle at the far top corner
    assert second.turn_deg == 180.0
    assert second.x_mm == pytest.approx(13.0 + 60.0 + 3.0 * math.sqrt(2.0))
    assert second.y_mm == pytest.approx(60.0)


def test_leaves_of_a_billet() -> None:
    plan, _ = plans.resawn()
    shelf = execute(plan)
    # leaf 12 + 4 × 0.8 = 15.2, billet 2 × 15.2 + 1
    assert shelf.solid("L1").depth_mm == pytest.approx(31.4)
    assert shelf.solid("R1").depth_mm == pytest.approx(15.2)
    assert shelf.steps[3].kerf_mm3 == pytest.approx(320.0 * 80.0 * 1.0)
    assert shelf.steps[4].planed_mm3 == pytest.approx(2 * 320.0 * 80.0 * 1.6)


def test_slices_of_two_sizes_come_off_one_bar() -> None:
    plan, _ = plans.quarter_turns()
    shelf = execute(plan)
    # 450 − 10 − 2 × 45 − 3 kerfs, then 2 × 30 and 2 kerfs more
    assert shelf.solid("SR").hull == rectangle(0.0, 0.0, 450.0 - 109.0, 45.0)
    assert shelf.counts("SR").made == shelf.counts("SR").used == 1
    tail = [p for p in shelf.steps[2].offcuts if area(p.points) > 1.0]
    assert sum(area(p.points) for p in tail) == pytest.approx((450.0 - 109.0 - 66.0) * 45.0)


def test_spares_are_counted_not_complained_of() -> None:
    plan, drawing = plans.quarter_turns()
    steps = [
        replace(step, count=3, per_bar=3, cuts=(*step.cuts, replace(step.cuts[-1], at_mm=96.0)))
        if step.makes == "P2"
        else step
        for step in plan.steps
    ]
    proof = prove(replace(plan, steps=tuple(steps)), drawing)
    assert proof.holds, [str(finding) for finding in proof.findings]
    assert proof.balance.spares_mm3 == pytest.approx(2 * 30.0 * 45.0 * 21.6)


def test_a_patch_of_two_pieces_and_two_patches_of_one_piece_are_reported() -> None:
    plan, drawing = nine_patch()
    one, *rest = drawing.patches
    low, high = (
        replace(one, name=name, points=rectangle(0.0, y, 40.0, y + 20.0))
        for name, y in (("low", 0.0), ("high", 20.0))
    )
    proof = prove(plan, replace(drawing, patches=(low, high, *rest)))
    assert proof.holds
    assert set(proof.joined_patches) == {"low", "high"}
    other = replace(
        drawing,
        patches=(
            plans.patch("row", rectangle(0, 0, 320, 30), "A"),
            plans.patch("wide", rectangle(0, 30, 320, 130), "B"),
            plans.patch("top", rectangle(0, 130, 320, 160), "A"),
        ),
        thickness_mm=12.0,
    )
    proof = prove(plans.resawn()[0], other)
    assert proof.holds
    assert proof.split_patches == (("wide", 2),)


def test_a_proof_can_be_written_down() -> None:
    plan, drawing = nine_patch()
    told = json.loads(json.dumps(prove(plan, drawing).as_dict()))
    assert told["holds"] is True
    assert told["area_error_mm2"] == 0.0
    assert told["balance"]["spares_mm3"] == 0.0


def test_a_kind_that_was_never_made_is_refused_in_words() -> None:
    plan, _ = nine_patch()
    with pytest.raises(BenchError, match="P9 was never made"):
        execute(plan).solid("P9")


def test_moving_drawing_and_plan_together_changes_nothing() -> None:
    plan, drawing = plans.cut_corners()
    motion = plans.Motion(turn_deg=30.0, over=True, x_mm=100.0, y_mm=-40.0)
    glue_up = next(step for step in plan.steps if step.makes == "U2")
    assert isinstance(glue_up, Laminate)
    moved = replace(
        glue_up,
        parts=tuple(replace(p, at=motion.after(p.at)) for p in glue_up.parts),
        seams_deg=motion.undirected_deg(glue_up.seams_deg),
    )
    steps = tuple(moved if step is glue_up else step for step in plan.steps)
    patches = tuple(
        replace(p, points=motion.polygon(p.points), grain_deg=motion.undirected_deg(p.grain_deg))
        for p in drawing.patches
    )
    proof = prove(replace(plan, steps=steps), replace(drawing, patches=patches))
    assert proof.holds, [str(finding) for finding in proof.findings]
    still = prove(replace(plan, steps=steps), drawing)
    assert not still.holds


def test_a_deeper_board_than_drawn_is_wrong_but_an_overlay_may_be_thin() -> None:
    plan, drawing = nine_patch(thickness=19.0)
    assert not prove(plan, replace(drawing, thickness_mm=20.0)).holds
    overlay = replace(drawing, thickness_mm=25.0, kind=plans.Kind.OVERLAY)
    assert prove(plan, overlay).holds
    assert not prove(plan, replace(overlay, thickness_mm=18.0)).holds


def test_boards_in_copies() -> None:
    plan, drawing = nine_patch()
    twice = replace(drawing, copies=2)
    assert not prove(plan, twice).holds
    assert not prove(replace(plan, copies=2), twice).holds
    steps = tuple(
        replace(step, count=step.count * 2, **changes)
        for step in plan.steps
        for changes in (
            {"bars": 2} if isinstance(step, plans.Slice)
            else {"clampings": 2} if isinstance(step, Laminate) else {},
        )
    )  # fmt: skip
    proof = prove(replace(plan, steps=steps, copies=2), twice)
    assert proof.holds, [str(finding) for finding in proof.findings]
    assert proof.balance.boards_mm3 == pytest.approx(2 * 120.0 * 120.0 * 19.0)


def test_a_part_placed_twice_is_told_by_its_name() -> None:
    plan, drawing = nine_patch(shop=plain_shop())
    last = next(step for step in plan.steps if step.makes == "U1")
    assert isinstance(last, Laminate)
    crowded = replace(last, parts=(*last.parts[:2], put("P1", x=40.0)))
    proof = prove(
        replace(plan, steps=tuple(crowded if s is last else s for s in plan.steps)), drawing
    )
    assert any("overlap" in str(f) and f.step == 7 for f in proof.findings)
    assert set(proof.missing) == {"2.0", "2.1", "2.2"}
    assert "1.0" in proof.doubled or proof.wood_errors
