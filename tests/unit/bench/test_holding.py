"""Parts that are trimmed from a long end, in a carrier, or by hand: geometry, wood and limits."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fakes.plans import plan, roomy_shop, stick
from seamwright.bench import Severity, Shelf, execute
from seamwright.plan import EdgeCut, Hold, SetUp, Shop, Trim, default_shop, numbered_faults

BAR = stick("S1", "A", 200.0, 40.0, 20.0)


def shop_with(**small: float) -> Shop:
    jigs = replace(
        default_shop().small_parts, carrier_min_mm=0.0, hand_min_mm=0.0, hand_over_mm=1.5
    )
    return replace(roomy_shop(), small_parts=replace(jigs, **small))


def cut_off(hold: Hold, *, at_mm: float = 60.0) -> Trim:
    """Everything right of x = at_mm comes off."""
    return Trim(
        takes="S1",
        makes="T1",
        count=1,
        cuts=(EdgeCut(x_mm=at_mm, y_mm=0.0, angle_deg=90.0),),
        set_ups=(SetUp(machine=hold.machine, size_mm=at_mm),),
        hold=hold,
    )


def run(step: Trim, shop: Shop) -> Shelf:
    return execute(plan((BAR, step), "T1", shop))


def codes(shelf: Shelf) -> list[str]:
    return [f.code for f in shelf.findings if f.severity is not Severity.WARNING]


@pytest.mark.parametrize("hold", list(Hold))
def test_however_it_is_held_the_same_part_comes_out(hold: Hold) -> None:
    shelf = run(cut_off(hold), shop_with())
    assert not codes(shelf)
    assert shelf.solid("T1").area_mm2 == pytest.approx(60.0 * 40.0, abs=1e-3)


def test_by_hand_the_saw_runs_outside_the_line_and_the_plane_takes_the_rest() -> None:
    shop = shop_with()
    shop = replace(shop, saws=replace(shop.saws, resaw_kerf_mm=1.0, table_kerf_mm=3.0))
    done = run(cut_off(Hold.HAND), shop).steps[1]
    assert done.planed_mm3 == pytest.approx(1.5 * 40.0 * 20.0, abs=1.0)
    assert done.kerf_mm3 == pytest.approx(1.0 * 40.0 * 20.0, abs=1.0)
    assert done.offcut_mm3 == pytest.approx((200.0 - 62.5) * 40.0 * 20.0, abs=1.0)


def test_less_than_the_allowance_is_planed_and_not_sawn() -> None:
    done = run(cut_off(Hold.HAND, at_mm=199.0), shop_with()).steps[1]
    assert done.planed_mm3 == pytest.approx(1.0 * 40.0 * 20.0, abs=1.0)
    assert done.kerf_mm3 == done.offcut_mm3 == 0.0


def test_wood_is_accounted_for_by_hand_and_at_the_saw() -> None:
    for hold in Hold:
        done = run(cut_off(hold), shop_with()).steps[1]
        lost = done.kerf_mm3 + done.offcut_mm3 + done.planed_mm3
        assert lost == pytest.approx(140.0 * 40.0 * 20.0, abs=2.0)


def test_limits_of_the_carrier() -> None:
    step = cut_off(Hold.CARRIER)
    assert codes(run(step, shop_with(carrier_min_mm=40.0))) == []
    assert codes(run(step, shop_with(carrier_min_mm=41.0))) == ["B311"]
    assert codes(run(step, shop_with(carriers=0))) == ["B313"]
    shop = shop_with(carrier_base_mm=12.0)
    assert codes(run(step, replace(shop, saws=replace(shop.saws, table_depth_mm=32.0)))) == []
    assert codes(run(step, replace(shop, saws=replace(shop.saws, table_depth_mm=31.0)))) == ["B312"]


def test_limits_of_the_shooting_board() -> None:
    step = cut_off(Hold.HAND)
    assert codes(run(step, shop_with(hand_min_mm=40.0))) == []
    # the finished part counts, not what it is cut from
    assert codes(run(cut_off(Hold.HAND, at_mm=30.0), shop_with(hand_min_mm=31.0))) == ["B311"]
    assert codes(run(step, shop_with(shooting_boards=0))) == ["B313"]
    assert codes(run(step, shop_with(hand_depth_mm=19.0))) == ["B312"]
    assert codes(run(step, shop_with(hand_long_mm=60.0))) == []
    assert codes(run(step, shop_with(hand_long_mm=59.0))) == ["B316"]


def test_a_long_end_must_be_long_and_the_part_no_splinter() -> None:
    shop = shop_with()
    shop = replace(shop, allowances=replace(shop.allowances, tail_mm=150.0))
    kerf = shop.saws.table_kerf_mm
    assert codes(run(cut_off(Hold.LONG_END, at_mm=50.0 - kerf), shop)) == []
    assert codes(run(cut_off(Hold.LONG_END, at_mm=51.0 - kerf), shop)) == ["B314"]
    thin = replace(shop, limits=replace(shop.limits, slice_min_mm=31.0))
    assert codes(run(cut_off(Hold.LONG_END, at_mm=30.0), thin)) == ["B315"]


def test_what_holds_a_part_must_be_what_is_set() -> None:
    step = replace(cut_off(Hold.CARRIER), set_ups=(SetUp(machine=Hold.SLED.machine, size_mm=60.0),))
    shelf = execute(plan((BAR, step), "T1", shop_with()))
    assert not codes(shelf)
    made = plan((BAR, step), "T1", shop_with())
    assert [(n, f.code) for n, f in numbered_faults(made)] == [(2, "P127")]
