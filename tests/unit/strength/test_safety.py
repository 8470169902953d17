from __future__ import annotations

from dataclasses import replace

import pytest

from seamwright.plan import (
    Allowances,
    EdgeCut,
    Hold,
    Laminate,
    Limits,
    Machine,
    Mill,
    Minutes,
    Placed,
    Plan,
    Resaw,
    SawCut,
    Saws,
    SetUp,
    Shop,
    Slice,
    Step,
    Surface,
    Trim,
)
from seamwright.strength import Finding, Verdict
from seamwright.strength.safety import (
    BoardUse,
    Finish,
    dust_findings,
    plan_cautions,
    use_findings,
)
from seamwright.woods import all_species, find_species, sources

MAPLE, OAK, POPLAR, WALNUT = (
    find_species(name) for name in ("hard maple", "red oak", "yellow poplar", "walnut")
)


def told(findings: tuple[Finding, ...], code: str) -> list[Finding]:
    return [finding for finding in findings if finding.code == code]


def test_hard_maple_for_cutting_needs_no_caution_about_the_wood() -> None:
    findings = use_findings({"A": MAPLE}, use=BoardUse.CUTTING, finish=Finish.MINERAL_OIL)
    assert not told(findings, "F2")
    assert not told(findings, "F3")
    assert "FDA Food Code 4-101.17" in told(findings, "F1")[0].sources
    assert "21 CFR 175.105" in told(findings, "F5")[0].sources


def test_open_pores_and_soft_woods_are_told() -> None:
    findings = use_findings({"A": OAK, "B": POPLAR}, use=BoardUse.CUTTING, finish=Finish.NONE)
    assert "northern red oak" in told(findings, "F2")[0].subject
    assert "yellow-poplar" in told(findings, "F3")[0].subject


def test_a_board_to_look_at_is_told_nothing_about_food() -> None:
    assert use_findings({"A": OAK}, use=BoardUse.DISPLAY, finish=Finish.FILM) == ()


def test_hot_dishes_are_a_risk_for_glue() -> None:
    findings = use_findings({"A": MAPLE}, use=BoardUse.HOT_DISHES, finish=Finish.NONE)
    assert told(findings, "H1")[0].verdict is Verdict.RISK
    assert "120 °C" in told(findings, "H2")[0].why


@pytest.mark.parametrize("finish", [Finish.NUT_OIL, Finish.DRYING_OIL])
def test_oils_with_a_danger_are_told(finish: Finish) -> None:
    findings = use_findings({"A": MAPLE}, use=BoardUse.SERVING, finish=finish)
    assert told(findings, "F6")[0].verdict is Verdict.CARE


def test_dust_of_a_sensitiser_comes_with_precautions() -> None:
    findings = dust_findings({"A": WALNUT, "B": MAPLE})
    (walnut,) = told(findings, "D1")
    assert "allergic" in walnut.why
    assert "mask" in walnut.change
    assert set(walnut.sources) <= set(sources())
    assert "sugar maple: in no list we have, which is no clearance" in told(findings, "D2")[0].why


def test_every_wood_with_a_hazard_can_be_told() -> None:
    woods = {wood.key: wood for wood in all_species() if wood.hazard is not None}
    assert len(told(dust_findings(woods), "D1")) == len(woods) >= 18


def plan(*steps: Step) -> Plan:
    shop = Shop(
        saws=Saws(
            **dict.fromkeys(
                ("table_kerf_mm", "table_depth_mm", "resaw_kerf_mm", "resaw_depth_mm"), 3.0
            )
        ),
        allowances=Allowances(**dict.fromkeys(Allowances.__slots__, 1.0)),
        limits=Limits(**dict.fromkeys(Limits.__slots__, 1)),
        minutes=Minutes(**dict.fromkeys(Minutes.__slots__, 1.0)),
    )
    return Plan(title="t", steps=steps, board=steps[-1].makes, copies=1, shop=shop)


STICK = Mill(makes="S1", count=2, wood="A", length_mm=200.0, width_mm=20.0, depth_mm=20.0)
PAIR = Laminate(
    makes="L1",
    count=1,
    parts=(Placed(part="S1"), Placed(part="S1")),
    seams_deg=0.0,
    clampings=1,
)
CUT = Slice(
    takes="L1",
    bars=1,
    makes="P1",
    count=6,
    per_bar=6,
    cuts=tuple(SawCut(at_mm=25.0 * i) for i in range(7)),
    head_to_tail=False,
    set_up=SetUp(machine=Machine.SLED, size_mm=20.0),
)
FLAT = Surface(
    takes="P1",
    makes="Q1",
    count=6,
    depth_mm=18.0,
    set_up=SetUp(machine=Machine.PLANER, size_mm=18.0),
)


def test_small_parts_and_traps_are_told_for_their_step() -> None:
    findings = plan_cautions(plan(STICK, PAIR, CUT, FLAT))
    by_code = {finding.code: finding for finding in findings}
    assert by_code["P1"].subject == "step 1, mill S1"
    assert by_code["P2"].verdict is Verdict.CARE
    assert "thrown back" in by_code["K1"].why
    assert by_code["P3"].subject == "step 3, slice P1"
    assert "shorter than planers take" in by_code["P5"].why


def test_cautions_defer_to_the_manual_and_never_take_a_guard_off() -> None:
    for finding in plan_cautions(plan(STICK, PAIR, CUT, FLAT)):
        assert "the machine's manual and your local codes go before this" in finding.change
        assert "every guard stays on" in finding.change
        assert finding.sources


def test_a_long_wide_stick_needs_no_caution() -> None:
    stick = Mill(makes="S1", count=1, wood="A", length_mm=900.0, width_mm=160.0, depth_mm=20.0)
    assert plan_cautions(plan(stick)) == ()


SET_UP = SetUp(machine=Machine.SLED, size_mm=30.0, angle_deg=45.0)


def trimmed(takes: str) -> Trim:
    cut = EdgeCut(x_mm=0.0, y_mm=0.0, angle_deg=45.0)
    return Trim(takes=takes, makes="T1", count=1, cuts=(cut,), set_ups=(SET_UP,))


def codes(*steps: Step) -> list[str]:
    return [finding.code for finding in plan_cautions(plan(*steps))]


def test_a_small_part_is_not_trimmed_by_hand_and_a_large_one_leaves_room_for_the_offcut() -> None:
    assert codes(STICK, PAIR, CUT, trimmed("P1"))[-1] == "P4"
    wide = Mill(makes="S1", count=1, wood="A", length_mm=900.0, width_mm=160.0, depth_mm=20.0)
    assert codes(wide, trimmed("S1")) == ["K2"]


@pytest.mark.parametrize(
    ("hold", "code"), [(Hold.LONG_END, "P6"), (Hold.CARRIER, "P7"), (Hold.HAND, "P8")]
)
def test_a_part_held_otherwise_is_told_so_and_the_manual_goes_before(hold, code) -> None:
    (finding,) = plan_cautions(plan(replace(trimmed("unknown"), hold=hold)))
    assert finding.code == code
    assert "every guard stays on" in finding.change


def test_a_resaw_is_told_to_mind_the_pinch() -> None:
    billet = Mill(makes="S1", count=1, wood="A", length_mm=400.0, width_mm=160.0, depth_mm=60.0)
    leaves = Resaw(
        takes="S1",
        billets=1,
        makes="R1",
        count=2,
        leaves=2,
        set_up=SetUp(machine=Machine.RESAW_FENCE, size_mm=28.0),
    )
    thin = Surface(
        takes="R1",
        makes="Q1",
        count=2,
        depth_mm=20.0,
        set_up=SetUp(machine=Machine.PLANER, size_mm=20.0),
    )
    assert codes(billet, leaves, thin) == ["K3"]


def test_large_slices_are_told_of_the_trap_only() -> None:
    wide = Slice(
        takes="L1",
        bars=1,
        makes="P1",
        count=1,
        per_bar=1,
        cuts=(SawCut(at_mm=0.0), SawCut(at_mm=120.0)),
        head_to_tail=False,
        set_up=SetUp(machine=Machine.SLED, size_mm=117.0),
    )
    assert codes(STICK, PAIR, wide)[-1] == "K1"


def test_a_part_that_no_step_makes_is_told_what_can_be_told() -> None:
    assert codes(trimmed("unknown")) == ["K2"]


def test_a_wood_of_unknown_hardness_under_a_knife() -> None:
    findings = use_findings({"A": find_species("wenge")}, use=BoardUse.CUTTING, finish=Finish.NONE)
    assert "not known" in told(findings, "F3")[0].why
    assert told(findings, "F4")[0].sources == ("DUST-1990",)
