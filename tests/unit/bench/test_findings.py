"""What the bench says, rule by rule and limit by limit, in words a woodworker understands."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fakes import plans
from fakes.plans import plan, put, roomy_shop, sled, stick
from seamwright.bench import Severity, Shelf, execute, prove
from seamwright.geometry import area
from seamwright.plan import EdgeCut, Plan, Resaw, SawCut, SetUp, Shop, Slice, Step, Trim

WRONG, UNSAFE, WARNING = Severity.WRONG, Severity.UNSAFE, Severity.WARNING


def run(*steps: Step, shop: Shop | None = None) -> Shelf:
    return execute(plan(steps, steps[-1].makes, shop or roomy_shop()))


def told(shelf: Shelf) -> list[tuple[int, str, Severity]]:
    return [(f.step, f.code, f.severity) for f in shelf.findings]


def words(shelf: Shelf) -> str:
    return "\n".join(str(f) for f in shelf.findings)


def with_limit(section: str, **values: float) -> Shop:
    shop = roomy_shop()
    return replace(shop, **{section: replace(getattr(shop, section), **values)})


def slicing(*cuts: SawCut, per_bar: int | None = None, **more: object) -> Slice:
    pieces = len(cuts) - 1 if per_bar is None else per_bar
    return Slice(
        takes="S1", bars=1, makes="P1", count=pieces, per_bar=pieces, cuts=cuts,
        head_to_tail=False, set_up=sled(20.0), **more,  # type: ignore[arg-type]
    )  # fmt: skip


BAR = stick("S1", "A", 200.0, 40.0, 20.0)


# ------------------------------------------------------------------ slicing


def test_kerfs_that_run_into_each_other() -> None:
    shelf = run(BAR, slicing(SawCut(at_mm=10.0), SawCut(at_mm=60.0, angle_deg=150.0)))
    assert "cuts 1 and 2 running into each other" in words(shelf)
    assert "cut 3 to the left of cut 2" in words(
        run(BAR, slicing(SawCut(at_mm=10.0), SawCut(at_mm=60.0), SawCut(at_mm=61.0)))
    )


def test_points_a_hair_below_the_edge_are_dust_and_deep_below_it_are_wrong() -> None:
    shop = roomy_shop()
    bar = stick("S1", "A", 400.0, 60.0, 20.0)
    for short_mm, code, severity in ((0.2, "B113", WARNING), (2.0, "B106", WRONG)):
        cuts = plans.half_squares("P1", "S1", leg=60.0, per_bar=3, shop=shop)
        # every piece is so much shorter: the pairs that lie head to tail move together
        moved = [SawCut(at_mm=c.at_mm - short_mm * i, angle_deg=c.angle_deg)
                 for i, c in enumerate(cuts.cuts)]  # fmt: skip
        shelf = run(bar, replace(cuts, cuts=tuple(moved), set_up=sled(60.0 - short_mm)))
        assert (2, code, severity) in told(shelf)
        if severity is WARNING:
            (piece,) = dict(shelf.solids)["P1"].pieces
            assert len(piece.points) == 3
            # a half square: as wide as it is high
            assert area(piece.points) == pytest.approx((60.0 - short_mm) ** 2 / 2.0, rel=1e-6)
            assert all(f.severity is WARNING for f in shelf.findings)


def test_what_is_trimmed_reaches_no_further_than_its_wood() -> None:
    """A hull holds no wood between parts of unequal height."""
    tall, low = stick("S1", "A", 200.0, 60.0, 20.0), stick("S2", "B", 200.0, 59.9, 20.0)
    glue_up = plans.glued("L1", [put("S1"), put("S2", x=200.0)], 90.0)
    trim = Trim(
        takes="L1", makes="T1", count=1, set_ups=(sled(150.0, 45.0),),
        cuts=(EdgeCut(x_mm=200.0, y_mm=59.9, angle_deg=135.0),),
    )  # fmt: skip
    shelf = run(tall, low, glue_up, trim)
    hull = dict(shelf.solids)["T1"].hull
    wood = [p for piece in dict(shelf.solids)["T1"].pieces for p in piece.points]
    assert max(x + y for x, y in hull) == pytest.approx(max(x + y for x, y in wood), abs=1e-9)


def test_a_bar_that_is_too_short_for_its_last_cut() -> None:
    shelf = run(BAR, slicing(SawCut(at_mm=150.0), SawCut(at_mm=210.0)))
    assert (2, "B108", WRONG) in told(shelf)
    assert "cut 2 where the bar is not whole: 0 mm of 40 mm is wood" in words(shelf)
    shelf = run(BAR, slicing(*(SawCut(at_mm=10.0 + 53.0 * i) for i in range(5))))
    assert (2, "B107", WRONG) in told(shelf)
    assert "piece 4 of a bar is not the first" in words(shelf)


def test_a_bar_whose_end_was_never_trued() -> None:
    shelf = run(BAR, slicing(SawCut(at_mm=40.0, angle_deg=60.0), per_bar=1, squared=True))
    assert "its first end where the bar is not whole" in words(shelf)
    shelf = run(BAR, slicing(SawCut(at_mm=40.0), per_bar=1, squared=True))
    assert not shelf.findings


def test_a_slice_of_the_bar_that_leaves_nothing() -> None:
    gone = slicing(SawCut(at_mm=10.0), SawCut(at_mm=220.0), rest="S2")
    assert (2, "B111", WRONG) in told(run(BAR, gone))
    assert (2, "B110", WRONG) in told(run(BAR, slicing(SawCut(at_mm=-90.0), SawCut(at_mm=-40.0))))


def test_a_bar_off_the_fence() -> None:
    glued = plans.glued("S1", [put("A1", y=5.0), put("A1", y=25.0)], 0.0)
    shelf = run(
        stick("A1", "A", 200.0, 20.0, 20.0, count=2),
        glued,
        slicing(SawCut(at_mm=10.0), SawCut(at_mm=60.0)),
    )
    assert "S1, whose lower edge is 5 mm off the fence line" in words(shelf)


def test_limits_of_the_sled() -> None:
    cuts = (SawCut(at_mm=10.0), SawCut(at_mm=33.0))
    shop = with_limit("limits", slice_min_mm=21.0)
    assert told(run(BAR, slicing(*cuts), shop=shop)) == [(2, "B301", UNSAFE)]
    assert "P1 is 20 mm thin; the sled needs at least 21 mm" in words(
        run(BAR, slicing(*cuts), shop=shop)
    )
    shop = with_limit("saws", table_depth_mm=19.0)
    assert told(run(BAR, slicing(*cuts), shop=shop)) == [(2, "B302", UNSAFE)]
    # 200 less the right face of the last cut, 36
    shop = with_limit("allowances", tail_mm=165.0)
    assert "leaves 164 mm of S1 to hold" in words(run(BAR, slicing(*cuts), shop=shop))
    assert not told(run(BAR, slicing(*cuts), shop=with_limit("allowances", tail_mm=164.0)))
    shop = with_limit("allowances", square_end_mm=14.0)
    assert told(run(BAR, slicing(*cuts), shop=shop)) == [(2, "B304", WARNING)]


# ------------------------------------------------------------------ trimming


def trimming(*cuts: EdgeCut) -> Trim:
    return Trim(takes="S1", makes="T1", count=1, cuts=cuts, set_ups=(sled(20.0),))


def test_a_cut_beside_the_part_and_a_trim_without_cuts() -> None:
    idle = EdgeCut(x_mm=0.0, y_mm=-1.0, angle_deg=0.0)
    assert told(run(BAR, trimming(idle))) == [(2, "B121", WARNING)]
    assert told(run(BAR, trimming())) == [(2, "B120", WARNING)]


def test_a_part_trimmed_to_nothing() -> None:
    gone = EdgeCut(x_mm=0.0, y_mm=50.0, angle_deg=0.0)
    shelf = run(BAR, trimming(gone))
    assert told(shelf) == [(2, "B122", WRONG)]
    assert "T1" not in dict(shelf.solids)


def stepped() -> tuple[Step, ...]:
    """A U: two legs 30 wide on a base, the notch between them 40 wide and 60 deep."""
    return (
        stick("A1", "A", 100.0, 20.0, 20.0),
        stick("A2", "A", 30.0, 60.0, 20.0, count=2),
        plans.glued("S1", [put("A1"), put("A2", y=20.0), put("A2", x=70.0, y=20.0)], 0.0),
    )


def test_parts_side_by_side_in_one_glue_up_stay_clear_of_each_other() -> None:
    shelf = run(*stepped())
    assert not [f for f in shelf.findings if f.severity is not WARNING]
    assert shelf.solid("S1").area_mm2 == 100.0 * 20.0 + 2 * 30.0 * 60.0
    assert not shelf.solid("S1").is_convex


def test_a_part_that_falls_apart_when_its_base_is_sawn_off() -> None:
    shelf = run(*stepped(), trimming(EdgeCut(x_mm=0.0, y_mm=30.0, angle_deg=0.0)))
    assert (4, "B123", WRONG) in told(shelf)
    assert "falls into 2 separate parts" in words(shelf)
    whole = run(*stepped(), trimming(EdgeCut(x_mm=0.0, y_mm=5.0, angle_deg=0.0)))
    assert "separate" not in words(whole)


def test_limits_of_trimming() -> None:
    cut = EdgeCut(x_mm=0.0, y_mm=5.0, angle_deg=0.0)
    shop = with_limit("limits", part_min_mm=41.0)
    assert told(run(BAR, trimming(cut), shop=shop)) == [(2, "B311", UNSAFE)]
    shop = with_limit("saws", table_depth_mm=19.0)
    assert told(run(BAR, trimming(cut), shop=shop)) == [(2, "B312", UNSAFE)]


# ------------------------------------------------------------------ gluing


def two(x: float = 0.0, y: float = 40.0, **more: object) -> Shelf:
    return run(
        replace(BAR, count=2), replace(plans.glued("L1", [put("S1"), put("S1", x, y)], 0.0), **more)
    )


def test_two_parts_that_fit() -> None:
    shelf = two()
    assert not shelf.findings
    (line,) = shelf.steps[1].glue_lines
    assert (line.start, line.end) == ((0.0, 40.0), (200.0, 40.0))


def test_a_gap_an_overlap_and_an_offset() -> None:
    assert "S1 is not glued to S1, a gap of 0.5 mm stays open" in words(two(y=40.5))
    assert "S1 lying 0.5 mm into S1: they overlap by 100 mm²" in words(two(y=39.5))
    assert "they share no edge" in words(two(x=300.0))
    assert told(two(x=50.0)) == [(2, "B135", WARNING)] * 2
    assert "glues 150 mm of an edge of S1 that is 200 mm long" in words(two(x=50.0))


def test_a_joint_that_the_clamps_do_not_close() -> None:
    # end to end, with seams said to run along
    shelf = run(replace(BAR, count=2), plans.glued("L1", [put("S1"), put("S1", x=200.0)], 0.0))
    assert (2, "B134", WRONG) in told(shelf)
    assert "meeting along a line that these clamps do not close" in words(shelf)


def test_parts_listed_out_of_order() -> None:
    parts = [put("S1"), put("S1", y=80.0), put("S1", y=40.0)]
    shelf = run(replace(BAR, count=3), plans.glued("L1", parts, 0.0))
    assert (2, "B132", WRONG) in told(shelf)
    backwards = [put("S1", y=80.0), put("S1", y=40.0), put("S1")]
    assert not run(replace(BAR, count=3), plans.glued("L1", backwards, 0.0)).findings


def test_parts_of_unequal_depth() -> None:
    shelf = run(
        BAR,
        stick("S2", "B", 200.0, 40.0, 21.0),
        plans.glued("L1", [put("S1"), put("S2", y=40.0)], 0.0),
    )
    assert "unequal depth: S1 is 20 mm, S2 21 mm" in words(shelf)


def test_limits_of_clamps_and_open_time() -> None:
    steps = (replace(BAR, count=6), plans.glued("L1", [put("S1"), put("S1", y=40.0)], 0.0, count=3))
    shop = with_limit("limits", clamp_reach_mm=79.0)
    assert told(run(*steps, shop=shop)) == [(2, "B321", UNSAFE)]
    together = (steps[0], replace(steps[1], clampings=1))
    shop = with_limit("limits", seams_per_glue_up=2)
    assert told(run(*steps, shop=shop)) == []
    assert "closes 3 glue lines in one clamping" in words(run(*together, shop=shop))


# ------------------------------------------------------------------ thickness


@pytest.mark.parametrize(
    ("limit", "value", "code", "severity"),
    [
        ("stick_min_length_mm", 201.0, "B331", UNSAFE),
        ("stick_min_width_mm", 41.0, "B332", UNSAFE),
        ("stick_min_depth_mm", 21.0, "B333", UNSAFE),
        ("stick_length_mm", 199.0, "B334", WARNING),
        ("stock_thickness_mm", 19.0, "B335", WARNING),
        ("stock_width_mm", 39.0, "B335", WARNING),
    ],
)
def test_limits_of_sticks(limit: str, value: float, code: str, severity: Severity) -> None:
    assert told(run(BAR, shop=with_limit("limits", **{limit: value}))) == [(1, code, severity)]


def test_a_rough_board_must_be_thicker_than_the_stick() -> None:
    shop = with_limit("limits", stock_thickness_mm=24.0)
    shop = replace(shop, allowances=replace(shop.allowances, rough_face_mm=2.0))
    assert not run(BAR, shop=shop).findings
    shop = replace(shop, allowances=replace(shop.allowances, rough_face_mm=2.1))
    assert "needs a rough board 24.2 mm × 44.2 mm" in words(run(BAR, shop=shop))


def resawing(leaves: int, size: float, *, count: int | None = None) -> Resaw:
    return Resaw(
        takes="S1", billets=1, makes="R1", count=count or leaves, leaves=leaves,
        set_up=SetUp(machine=plans.Machine.RESAW_FENCE, size_mm=size),
    )  # fmt: skip


def test_resawing() -> None:
    # 20 less one kerf of 1, in two
    shelf = run(BAR, resawing(2, 9.5))
    assert not shelf.findings
    assert shelf.solid("R1").depth_mm == 9.5
    assert (2, "B143", WRONG) in told(run(BAR, resawing(2, 9.0)))
    assert (2, "B101", WRONG) in told(run(BAR, resawing(2, 9.5, count=3)))
    assert (2, "B141", WRONG) in told(run(BAR, resawing(1, 20.0)))
    assert "20 cuts of 1 mm leave nothing" in words(run(BAR, resawing(21, 1.0)))


def test_limits_of_the_band_saw() -> None:
    shop = with_limit("saws", resaw_depth_mm=39.0)
    shelf = run(BAR, resawing(2, 9.5), shop=shop)
    assert told(shelf) == [(2, "B341", UNSAFE)]
    assert "S1, which stands 40 mm tall on its edge; the band saw takes 39 mm" in words(shelf)
    shop = with_limit("limits", resaw_min_leaf_mm=10.0)
    assert told(run(BAR, resawing(2, 9.5), shop=shop)) == [(2, "B342", UNSAFE)]


def test_planing() -> None:
    assert not run(BAR, plans.planed("F1", "S1", 18.0)).findings
    assert told(run(BAR, plans.planed("F1", "S1", 20.0))) == [(2, "B147", WARNING)]
    assert "S1 is only 20 mm deep" in words(run(BAR, plans.planed("F1", "S1", 21.0)))
    assert told(run(BAR, plans.planed("F1", "S1", 0.0))) == [(2, "B144", WRONG)]
    off = replace(plans.planed("F1", "S1", 18.0), set_up=plans.planer(17.0))
    assert told(run(BAR, off)) == [(2, "B146", WRONG)]


def test_limits_of_the_planer() -> None:
    glued = plans.glued("L1", [put("S1"), put("S1", y=40.0)], 0.0)
    steps = (replace(BAR, count=2), glued, plans.planed("F1", "L1", 19.0))
    shop = with_limit("allowances", plane_face_mm=0.6)
    assert "has 0.5 mm a face to plane flat; the shop leaves 0.6 mm" in words(
        run(*steps, shop=shop)
    )
    shop = with_limit("limits", stick_min_depth_mm=19.5)
    assert (3, "B353", UNSAFE) in told(run(*steps, shop=shop))
    short = (stick("S1", "A", 90.0, 40.0, 20.0), plans.planed("F1", "S1", 19.0))
    shop = with_limit("limits", stick_min_length_mm=91.0)
    assert (2, "B352", WARNING) in told(run(*short, shop=shop))


# ------------------------------------------------------------------ order and counts


def test_an_unsafe_plan_is_never_shown_as_good() -> None:
    making, drawing = plans.nine_patch()
    limits = replace(making.shop.limits, slice_min_mm=41.0)
    proof = prove(replace(making, shop=replace(making.shop, limits=limits)), drawing)
    assert proof.area_error_mm2 == 0.0
    assert not proof.holds


def test_a_board_left_rough_from_its_last_glue_up_gets_a_warning() -> None:
    making, drawing = plans.nine_patch()
    rough = replace(making, steps=making.steps[:-1], board="U1")
    proof = prove(rough, replace(drawing, thickness_mm=20.6))
    assert proof.holds
    assert any(f.code == "B205" for f in proof.findings)


def test_what_is_missing_is_told_once_and_where() -> None:
    making, drawing = plans.nine_patch()
    proof = prove(Plan(title="", steps=making.steps[1:], board="F1", copies=1, shop=making.shop),
                  drawing)  # fmt: skip
    first = proof.findings[0]
    assert str(first) == "step 2, L1 needs SA, which is not made before this step"
    assert any(str(f).startswith("the board is never finished") for f in proof.findings)
    assert len(proof.missing) == 9
    assert proof.area_error_mm2 == pytest.approx(120.0 * 120.0)


def test_wood_that_comes_to_lie_in_the_wrong_patch_is_traced_to_its_stick() -> None:
    making, drawing = plans.cut_corners()
    oak = replace(making.steps[1], wood="A")  # type: ignore[call-arg]
    proof = prove(replace(making, steps=(making.steps[0], oak, *making.steps[2:])), drawing)
    assert proof.wood_errors == 4
    found = [str(f) for f in proof.findings if f.code == "B210"]
    assert "step 2, SB of pear comes to lie in a patch of bog oak: c1" in found


def test_steps_that_make_no_sense_at_all() -> None:
    along = slicing(SawCut(at_mm=10.0, angle_deg=0.0), SawCut(at_mm=50.0, angle_deg=0.0))
    assert told(run(BAR, along)) == [(2, "B103", WRONG)]
    assert told(run(BAR, slicing(SawCut(at_mm=10.0), per_bar=1))) == [(2, "B102", WRONG)]
    assert told(run(BAR, plans.glued("L1", [], 0.0))) == [(2, "B155", WRONG)]
    assert told(run(BAR, plans.glued("L1", [put("S1")], 0.0))) == [(2, "B130", WRONG)]
    dust = stick("S1", "A", 0.002, 0.0015, 20.0)
    assert told(run(dust)) == [(1, "B156", WRONG)]
    assert told(run(replace(BAR, length_mm=1e7))) == [(1, "B150", WRONG)]
    none = replace(resawing(2, 9.5), billets=0)
    assert (2, "B152", WRONG) in told(run(BAR, none))
    flat = slicing(SawCut(at_mm=10.0), SawCut(at_mm=50.0), rest="P1")
    assert told(run(BAR, flat)) == [(2, "B151", WRONG)]


def test_another_piece_in_the_bar_makes_slices_unequal() -> None:
    # A and B end to end: the second slice is of the other wood
    shelf = run(
        stick("A1", "A", 100.0, 40.0, 20.0),
        stick("B1", "B", 100.0, 40.0, 20.0),
        plans.glued("S1", [put("A1"), put("B1", x=100.0)], 90.0),
        slicing(SawCut(at_mm=10.0), SawCut(at_mm=33.0), SawCut(at_mm=136.0)),
        slicing(SawCut(at_mm=10.0), SawCut(at_mm=55.0), SawCut(at_mm=100.0)),
    )
    assert "piece 2 of a bar is not the first" in words(shelf)


def test_a_stop_that_is_no_measure_of_a_triangle() -> None:
    making, drawing = plans.half_square()
    slices = making.steps[2]
    assert isinstance(slices, Slice)
    off = replace(slices, set_up=sled(55.0), second_set_up=None)
    proof = prove(replace(making, steps=(*making.steps[:2], off, *making.steps[3:])), drawing)
    assert any(f.code == "B112" and f.severity is WARNING for f in proof.findings)


def test_triangles_begin_at_an_end_that_is_true_already() -> None:
    # a bar end left slanted by the last cut of an even number of triangles is square again
    shop = roomy_shop()
    first = plans.half_squares("P1", "S1", leg=40.0, per_bar=2, shop=shop)
    k2 = 3.0 * 2.0**0.5
    again = replace(
        first,
        takes="S2",
        makes="P2",
        cuts=(SawCut(at_mm=40.0, angle_deg=135.0), SawCut(at_mm=40.0 + k2)),
        squared=True,
    )
    shelf = run(BAR, replace(first, rest="S2"), again, shop=shop)
    assert not shelf.findings
    one, other = (
        sorted((round(x, 6) + 0.0, round(y, 6) + 0.0) for x, y in shelf.solid(kind).hull)
        for kind in ("P1", "P2")
    )
    assert one == other == [(0.0, 0.0), (0.0, 40.0), (40.0, 0.0)]
    single = replace(again, per_bar=1, count=1, cuts=again.cuts[:1])
    assert not run(BAR, replace(first, rest="S2"), single, shop=shop).findings
