"""Overlays: a thin face from deep billets, what it is glued to, and what the bench says of both."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shapely import Polygon as Shape

from seamwright.bench import Severity, execute, prove
from seamwright.design import Backing, Drawing, Kind, read, write
from seamwright.errors import DesignError, PlanError
from seamwright.plan import (
    Machine,
    Mill,
    Plan,
    Resaw,
    Surface,
    backing_minutes,
    default_shop,
    face_press,
    plan_from_json,
    plan_from_text,
    plan_to_json,
    plan_to_text,
    read_gluing,
    totals,
)
from seamwright.plan.effort import rough_volume_mm3
from seamwright.planner import Prefer, forbid_each, make_plan, prefer_plan

PANEL = '[backing]\npanel = "birch plywood"\nthickness = 12\n'
SOLID = '[backing]\nwood = "A"\ngrain = "across"\nthickness = 15\n'


def overlay(
    backing: str = PANEL, *, thickness: float = 3.0, kind: str = "overlay", size: int = 150
) -> Drawing:
    return read(
        f"""
        unit = "mm"
        kind = "{kind}"
        thickness = {thickness}
        copies = 2
        woods = {{ A = "pear", B = "bog oak" }}
        [block.one]
        from = "pinwheel"
        size = {size}
        [board]
        set = "one one"
        """
        + backing,
        name="face",
    )


@pytest.fixture(scope="module")
def plan() -> Plan:
    planned = make_plan(overlay(), default_shop(), seconds=10.0)
    assert planned.best.proven
    assert totals(planned.plan).minutes == pytest.approx(planned.best.cost)
    return planned.plan


def broken(plan: Plan, drawing: Drawing) -> list[str]:
    proof = prove(plan, drawing)
    assert proof.holds == (not [f for f in proof.findings if f.severity is not Severity.WARNING])
    return [f.code for f in proof.findings if f.severity is not Severity.WARNING]


def test_the_face_is_sawn_from_a_billet_and_sanded_and_proves(plan: Plan) -> None:
    assert broken(plan, overlay()) == []
    leaves = [step for step in plan.steps if isinstance(step, Resaw)]
    assert leaves
    assert all(step.set_up.size_mm < default_shop().limits.resaw_min_leaf_mm + 1 for step in leaves)
    sanded = [s for s in plan.steps if isinstance(s, Surface) and s.makes != "Veneer"]
    assert {step.set_up.machine for step in sanded} == {Machine.SANDER}
    assert sanded[-1].depth_mm == pytest.approx(3.0 + default_shop().overlays.finish_mm)
    # nothing but billets goes over the planer
    least = default_shop().limits.stick_min_depth_mm
    assert all(step.depth_mm >= least for step in plan.steps if isinstance(step, Mill))


def test_the_backing_stands_out_all_round_and_its_work_is_counted(plan: Plan) -> None:
    assert plan.backed is not None
    proud = default_shop().overlays.proud_mm
    assert plan.backed.material == "birch plywood"
    assert (plan.backed.wide_mm, plan.backed.high_mm) == pytest.approx(
        (300.0 + 2.0 * proud, 150.0 + 2.0 * proud)
    )
    assert plan.backed.thick_mm == pytest.approx(3.0 + 12.0 + 3.0)
    work = default_shop().overlays
    assert backing_minutes(plan.shop) == work.cut + work.press + work.flush + work.sand
    bare = replace(plan, shop=replace(plan.shop, overlays=replace(work, backings=0)))
    assert totals(plan).minutes - totals(bare).minutes == pytest.approx(
        2.0 * backing_minutes(plan.shop)
    )
    assert totals(plan).glue_ups - totals(bare).glue_ups == 2


def test_cauls_clamps_and_glue_of_a_pressing_by_hand(plan: Plan) -> None:
    # 306.4 mm over cauls 44.45 and a platen 36 deep: 160.9 mm a pair, so two pairs
    assert plan.backed is not None
    press = face_press(plan.backed, plan.shop, read_gluing())
    assert (press.cauls, press.clamps) == (2, 4)
    square_m = plan.backed.wide_mm * plan.backed.high_mm / 1e6
    assert press.glue_g == pytest.approx(2.0 * square_m * 200.0 * 1.2)


def test_a_plan_with_a_backing_is_written_and_read_back(plan: Plan) -> None:
    assert 'backed material="birch plywood" depth_mm=12.0' in plan_to_text(plan)
    assert plan_from_text(plan_to_text(plan)) == plan == plan_from_json(plan_to_json(plan))


@pytest.mark.parametrize("backing", [PANEL, SOLID])
def test_a_design_file_brings_its_backing_back(backing: str) -> None:
    drawing = overlay(backing)
    assert drawing.backing is not None
    assert read(write(drawing), name="again") == drawing


def test_solid_wood_has_a_grain_and_a_panel_none() -> None:
    assert overlay(SOLID).backing == Backing(material="A", thickness_mm=15.0, grain_deg=0.0)
    assert overlay(PANEL).backing == Backing(material="birch plywood", thickness_mm=12.0)
    assert overlay("").backing is None


@pytest.mark.parametrize(
    ("backing", "kind", "code"),
    [
        (PANEL, "through", "D417"),
        ("[backing]\nthickness = 12\n", "overlay", "D418"),
        (PANEL + 'wood = "A"\n', "overlay", "D418"),
        ('[backing]\nwood = "Q"\nthickness = 12\n', "overlay", "D419"),
        (PANEL + "grain = 45\n", "overlay", "D419"),
    ],
)
def test_a_backing_that_makes_no_sense_is_refused(backing: str, kind: str, code: str) -> None:
    with pytest.raises(DesignError) as refused:
        overlay(backing, kind=kind)
    assert code in {fault.code for fault in refused.value.faults}


def test_without_a_backing_a_panel_of_the_shop_is_taken() -> None:
    made = make_plan(overlay(""), default_shop(), seconds=5.0).plan
    assert made.backed is not None
    assert (made.backed.material, made.backed.depth_mm) == ("plywood", 12.0)
    assert broken(made, overlay("")) == []


def test_the_bench_sees_another_backing_and_too_small_a_one(plan: Plan) -> None:
    backed = plan.backed
    assert backed is not None
    for change, code in (
        ({"material": "cardboard"}, "B207"),
        ({"depth_mm": 11.0}, "B208"),
        ({"face_mm": 2.0}, "B209"),
    ):
        assert broken(replace(plan, backed=replace(backed, **change)), overlay()) == [code]
    small = replace(plan, backed=replace(backed, wide_mm=302.0, counter=None))
    assert "B215" in broken(small, overlay())
    assert "B206" in broken(plan, replace(overlay(), kind=Kind.THROUGH))
    scarce = replace(plan.shop, clamps=replace(plan.shop.clamps, count=3))
    assert broken(replace(plan, shop=scarce), overlay()) == ["B325"]


def test_a_face_larger_than_the_clamps_press_is_refused_with_what_would_do() -> None:
    large = overlay(size=400)
    with pytest.raises(PlanError) as refused:
        make_plan(large, default_shop(), seconds=2.0)
    (fault,) = refused.value.faults
    assert fault.code == "P113"
    assert "the shop has 8" in fault.message
    needed = int(fault.remedy.split()[1])
    shop = default_shop()
    shop = replace(shop, clamps=replace(shop.clamps, count=needed))
    assert broken(make_plan(large, shop, seconds=5.0).plan, large) == []


def test_too_thin_a_face_is_refused_and_the_least_one_proves() -> None:
    with pytest.raises(PlanError) as refused:
        make_plan(overlay(thickness=1.0), default_shop(), seconds=2.0)
    (fault,) = refused.value.faults
    assert "is 1.0 mm thick; the drum sander takes nothing under 2.0 mm" in fault.message
    thin = overlay(thickness=float(fault.remedy.split()[4]))
    assert broken(make_plan(thin, default_shop(), seconds=5.0).plan, thin) == []


def test_other_ways_and_reasons_keep_the_backing(plan: Plan) -> None:
    quick = prefer_plan(overlay(), default_shop(), Prefer.QUICKEST).plan
    assert quick.backed == plan.backed
    assert quick.shop == plan.shop
    reasons = forbid_each(overlay(), default_shop(), seconds=5.0)
    assert reasons.planned.plan.backed == plan.backed
    assert broken(reasons.planned.plan, overlay()) == []


def test_a_board_that_runs_through_has_none() -> None:
    through = overlay("", kind="through", thickness=19.0)
    made = make_plan(through, default_shop(), seconds=5.0).plan
    assert made.backed is None
    assert made.shop == default_shop()


def test_the_balancing_veneer_is_made_of_one_wood_as_large_as_the_backing(plan: Plan) -> None:
    backed = plan.backed
    assert backed is not None
    assert (backed.counter, backed.core) == ("Veneer", None)
    shelf = execute(plan)
    veneer = dict(shelf.solids)["Veneer"]
    assert sorted(Shape(veneer.hull).bounds[2:]) == pytest.approx([156.4, 306.4], abs=1e-3)
    assert Shape(veneer.hull).area == pytest.approx(156.4 * 306.4, rel=1e-6)
    assert veneer.depth_mm == pytest.approx(3.0)
    assert {piece.wood for piece in veneer.pieces} in ({"A"}, {"B"})
    assert shelf.counts("Veneer").left == 2, "one for each board"
    assert shelf.counts("Board").left == 2


def test_its_minutes_and_its_wood_are_in_the_sums(plan: Plan) -> None:
    bought = make_plan(overlay(PANEL + 'veneer = "bought"\n'), default_shop(), seconds=10.0)
    assert bought.plan.backed is not None
    assert bought.plan.backed.made == ()
    assert bought.best.proven
    mine, theirs = totals(plan), totals(bought.plan)
    assert mine.minutes > theirs.minutes
    own = [s for s in plan.steps if isinstance(s, Mill) and s.makes.startswith("V")]
    assert mine.wood_mm3 - theirs.wood_mm3 == pytest.approx(
        sum(rough_volume_mm3(step, plan.shop) for step in own)
    )


@pytest.mark.parametrize(("grain", "veneer"), [("across", "B"), ("up", "A")])
def test_a_backing_of_solid_wood_is_glued_up_its_grain_as_drawn(grain: str, veneer: str) -> None:
    text = f'[backing]\nwood = "A"\ngrain = "{grain}"\nthickness = 15\nveneer = "{veneer}"\n'
    wanted = overlay(text)
    planned = make_plan(wanted, default_shop(), seconds=10.0).plan
    assert broken(planned, wanted) == []
    assert planned.backed is not None
    assert planned.backed.made == ("Backing", "Veneer")
    solids = dict(execute(planned).solids)
    core = solids["Backing"]
    assert core.depth_mm == pytest.approx(15.0)
    assert {piece.wood for piece in core.pieces} == {"A"}
    assert {piece.wood for piece in solids["Veneer"].pieces} == {veneer}
    # along its grain it is as long as the backing is that way
    (deg,) = {piece.grain_deg for piece in core.pieces}
    wide, high = Shape(core.hull).bounds[2:]
    along = wide if deg < 1.0 else high
    assert along == pytest.approx(306.4 if grain == "across" else 156.4, abs=1e-3)
    assert plan_from_text(plan_to_text(planned)) == planned


def test_the_bench_sees_what_is_wrong_with_backing_and_veneer(plan: Plan) -> None:
    backed = plan.backed
    assert backed is not None
    solids = dict(execute(plan).solids)
    smallest = min(solids, key=lambda kind: Shape(solids[kind].hull).area)
    for change, code in (
        ({"counter": "Nothing"}, "B216"),
        ({"counter_mm": 2.0}, "B217"),
        ({"counter": smallest}, "B218"),
    ):
        changed = replace(plan, backed=replace(backed, **change))
        assert code in broken(changed, overlay())
    thinner = replace(plan, backed=replace(backed, counter_mm=2.8))
    assert broken(thinner, overlay()) == []
    assert any(finding.code == "B217" for finding in prove(thinner, overlay()).findings)
    other = overlay(PANEL + f'veneer = "{"A" if _wood_of(plan) == "B" else "B"}"\n')
    assert broken(plan, other) == ["B219"]
    fewer = tuple(replace(step, count=1) if step.makes == "Veneer" else step for step in plan.steps)
    assert "P144" in broken(replace(plan, steps=fewer), overlay())


def _wood_of(plan: Plan) -> str:
    return next(s.wood for s in plan.steps if isinstance(s, Mill) and s.makes.startswith("V"))
