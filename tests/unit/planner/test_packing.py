"""Slices onto bars: all of them, none over-full, none more than a search of everything needs."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seamwright.planner.bar_costs import most_bars
from seamwright.planner.laying import weights
from seamwright.planner.packing import Wanted, fullest_mm, pack, pitch_of, shared_out, sizes_of
from seamwright.planner.problem import Pool, bars_minutes, bars_of, shares


def pool_for(room: float, pitches: set[float], *, least: float = 305.0) -> Pool:
    return Pool(
        bar=0, deep=False, room_mm=room, full_mm=fullest_mm(room, pitches), overhead_mm=160.0,
        least_mm=least, per_bar=5.0, per_mm=0.01, settings=(), most=99,
    )  # fmt: skip


@st.composite
def orders(draw: st.DrawFn) -> tuple[Pool, list[Wanted]]:
    room = draw(st.floats(20.0, 1000.0))
    parts = draw(st.lists(st.floats(0.01, 1.0), min_size=1, max_size=6))
    wanted = [
        Wanted(node=i, pitch_mm=share * room, count=draw(st.integers(1, 60)))
        for i, share in enumerate(parts)
    ]
    return pool_for(room, {want.pitch_mm for want in wanted}), wanted


@given(orders())
@settings(deadline=None, max_examples=200)
def test_everything_wanted_lies_on_as_many_bars_as_were_paid_for(order) -> None:
    pool, wanted = order
    loads = pack(wanted, partial(shares, pool))
    cut: dict[int, int] = {}
    for load, bars in loads:
        assert bars >= 1
        assert load
        pitch = sum(wanted[node].pitch_mm * count for node, count in load)
        assert pitch <= pool.room_mm * (1.0 + 1e-9) + 1e-6
        order_on_bar = [node for node, _ in load]
        assert order_on_bar == sorted(set(order_on_bar)), "each stop is set once"
        for node, count in load:
            assert count >= 1
            cut[node] = cut.get(node, 0) + count * bars
    assert cut == {want.node: want.count for want in wanted}
    drawn: dict[float, int] = {}
    for want in wanted:
        drawn[want.pitch_mm] = drawn.get(want.pitch_mm, 0) + want.count
    assert sum(bars for _, bars in loads) == sum(bars for _, bars in bars_of(pool, drawn))
    total = sum(want.pitch_mm * want.count for want in wanted)
    assert sum(bars for _, bars in loads) <= most_bars(pool.room_mm, total, set(drawn))


def ways_to_lay(slices: list[int]) -> Iterator[list[list[int]]]:
    """Every way to part slices into bars, each once: a search that knows no bound."""
    if not slices:
        yield []
        return
    first, rest = slices[0], slices[1:]
    for bars in ways_to_lay(rest):
        yield [[first], *bars]
        for i, bar in enumerate(bars):
            yield [*bars[:i], [first, *bar], *bars[i + 1 :]]


@given(
    st.integers(10, 40),
    st.lists(st.integers(2, 40), min_size=1, max_size=7),
    st.integers(0, 40),
)
@settings(deadline=None, max_examples=150)
def test_nothing_cheaper_among_all_ways_to_lay_them(room: int, slices: list[int], least) -> None:
    slices = [min(each, room) for each in slices]
    pool = pool_for(float(room), set(map(float, slices)), least=160.0 + least)
    drawn = {float(each): slices.count(each) for each in slices}
    cheapest = min(
        sum(
            pool.per_bar + pool.per_mm * max(pool.least_mm, pool.overhead_mm + sum(bar))
            for bar in bars
        )
        for bars in ways_to_lay(slices)
        if all(sum(bar) <= room for bar in bars)
    )
    assert bars_minutes(pool, drawn) == pytest.approx(cheapest, abs=1e-9)


@given(
    st.integers(20, 60),
    st.dictionaries(st.integers(3, 60), st.integers(1, 9), min_size=1, max_size=8),
    st.lists(st.integers(3, 60), max_size=20),
)  # fmt: skip
@settings(deadline=None, max_examples=150)
def test_no_bar_weighs_more_than_one(room: int, counts: dict[int, int], load: list[int]) -> None:
    counts = {pitch: count for pitch, count in counts.items() if pitch <= room} or {room: 1}
    sizes = sizes_of({float(pitch): count for pitch, count in counts.items()})
    weight = dict(zip((pitch for pitch, _ in sizes), weights(float(room), sizes), strict=True))
    on_bar = 0
    heavy = 0.0
    for pitch in load:
        if pitch in counts and on_bar + pitch <= room:
            on_bar, heavy = on_bar + pitch, heavy + weight[pitch]
    assert heavy <= 1.0
    asked = sum(weight[pitch] * count for pitch, count in sizes)
    assert asked <= sum(bars for _, bars in shared_out(float(room), 0.0, sizes))
    total = sum(pitch * count for pitch, count in sizes)
    assert asked >= total / room - 1e-4, "as much as length alone tells"


def test_weights_tell_what_length_does_not() -> None:
    sizes = ((60.0, 3), (40.0, 1))
    told = sum(w * n for w, (_, n) in zip(weights(100.0, sizes), sizes, strict=True))
    assert told > 2.99
    assert sum(pitch * count for pitch, count in sizes) < 300.0


def test_one_pitch_fills_bars_to_the_brim() -> None:
    pool = pool_for(100.0, {30.0})
    assert pool.full_mm == 90.0
    assert [sum(bars for _, bars in bars_of(pool, {30.0: n})) for n in (3, 6, 7)] == [1, 2, 3]


def test_loads_are_even() -> None:
    assert shared_out(100.0, 0.0, ((10.0, 12),)) == (((6,), 2),)


def test_long_and_short_share_a_bar_where_that_saves_one() -> None:
    laid = shared_out(100.0, 0.0, ((55.0, 4), (45.0, 4)))
    assert laid == (((1, 1), 4),)


def test_where_longest_first_needs_a_bar_more_all_ways_are_tried() -> None:
    # longest first: 41 35 | 27 27 27 | 19 with 100 to a bar; by hand 41 + 35 + 22 | 27 + 27 + 44
    sizes = ((44.0, 1), (41.0, 1), (35.0, 1), (27.0, 2), (22.0, 1))
    laid = shared_out(98.0, 0.0, sizes)
    assert sum(bars for _, bars in laid) == 2
    assert sorted(pitch_of(share, sizes) for share, _ in laid) == [98.0, 98.0]


def test_nothing_wanted_needs_no_bar() -> None:
    assert bars_of(pool_for(100.0, {30.0}), {}) == ()


def test_a_bar_is_never_shorter_than_the_planer_takes() -> None:
    pool = pool_for(100.0, {30.0})
    assert bars_of(pool, {30.0: 1}) == ((305.0, 1),)
    long_and_short = bars_of(pool_for(1000.0, {30.0, 990.0}), {990.0: 1, 30.0: 1})
    assert long_and_short == ((1150.0, 1), (305.0, 1))


@given(st.floats(20.0, 1000.0), st.integers(1, 30))
@settings(deadline=None)
def test_what_just_fits_a_bar_is_laid_on_it(room: float, count: int) -> None:
    sizes = sizes_of({room / count: count})
    assert shared_out(room, 0.0, sizes) == (((count,), 1),)


def test_what_no_bar_holds_is_refused() -> None:
    with pytest.raises(ValueError, match="no bar of 20"):
        shared_out(20.0, 0.0, ((21.0, 3),))
