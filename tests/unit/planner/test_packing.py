"""Slices onto bars: all of them, no bar over-full, no more bars than were paid for."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from seamwright.planner.packing import Wanted, pack
from seamwright.planner.pricing import _sure_fill_mm
from seamwright.planner.problem import Pool, bar_length_mm, bars_needed


def pool_for(room: float, pitches: set[float]) -> Pool:
    return Pool(
        bar=0, deep=False, room_mm=room, full_mm=_sure_fill_mm(room, pitches), overhead_mm=160.0,
        least_mm=305.0, per_bar=5.0, per_mm=0.01, settings=(), most=99,
    )  # fmt: skip


@st.composite
def orders(draw: st.DrawFn) -> tuple[Pool, list[Wanted]]:
    room = draw(st.floats(20.0, 1000.0))
    shares = draw(st.lists(st.floats(0.01, 1.0), min_size=1, max_size=6))
    wanted = [
        Wanted(node=i, pitch_mm=share * room, count=draw(st.integers(1, 60)))
        for i, share in enumerate(shares)
    ]
    return pool_for(room, {want.pitch_mm for want in wanted}), wanted


@given(orders())
@settings(deadline=None, max_examples=300)
def test_everything_wanted_lies_on_as_many_bars_as_were_paid_for(order) -> None:
    pool, wanted = order
    loads = pack(pool, wanted)
    cut: dict[int, int] = {}
    for load, bars in loads:
        assert bars >= 1
        assert load
        pitch = sum(wanted[node].pitch_mm * count for node, count in load)
        assert pitch <= pool.room_mm * (1.0 + 1e-9) + 1e-9
        order_on_bar = [node for node, _ in load]
        assert order_on_bar == sorted(set(order_on_bar)), "each stop is set once"
        for node, count in load:
            assert count >= 1
            cut[node] = cut.get(node, 0) + count * bars
    assert cut == {want.node: want.count for want in wanted}
    total = sum(want.pitch_mm * want.count for want in wanted)
    assert sum(bars for _, bars in loads) <= bars_needed(pool, total)


def test_one_pitch_fills_bars_to_the_brim() -> None:
    pool = pool_for(100.0, {30.0})
    assert pool.full_mm == 90.0
    assert bars_needed(pool, 90.0) == 1
    assert bars_needed(pool, 180.0) == 2
    assert bars_needed(pool, 210.0) == 3
    loads = pack(pool, [Wanted(node=4, pitch_mm=30.0, count=7)])
    assert sum(bars for _, bars in loads) == 3


def test_loads_are_even() -> None:
    pool = pool_for(100.0, {10.0})
    assert pack(pool, [Wanted(node=1, pitch_mm=10.0, count=12)]) == [(((1, 6),), 2)]


def test_long_slices_go_first_where_order_would_waste_bars() -> None:
    pool = pool_for(100.0, {55.0, 45.0})
    wanted = [Wanted(node=0, pitch_mm=55.0, count=4), Wanted(node=1, pitch_mm=45.0, count=4)]
    loads = pack(pool, wanted)
    assert sum(bars for _, bars in loads) <= bars_needed(pool, 400.0)


def test_nothing_wanted_needs_no_bar() -> None:
    assert bars_needed(pool_for(100.0, {30.0}), 0.0) == 0


def test_a_bar_is_never_shorter_than_the_planer_takes() -> None:
    pool = pool_for(100.0, {30.0})
    assert bar_length_mm(pool, 1, 30.0) == 305.0
    assert bar_length_mm(pool, 2, 90.0) == 410.0
