"""Laws of the rack: tables read back, and small random racks always pass the checker."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from checkers.cut_checker import check
from checkers.seeded_rack import SHOP
from seamwright.rack import (
    Board,
    Demand,
    Finish,
    Flaw,
    FlawKind,
    Rack,
    Ring,
    Stick,
    Stock,
    cut_plan,
    rules_of,
)
from seamwright.rack.exact import PlateFlaw, PlateItem, best_plate
from seamwright.rack.stock import confirm, reserve
from seamwright.rack.table import boards_from_csv, boards_to_csv

WORD = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1, max_size=8)


@st.composite
def boards(draw, name=WORD):
    length, width = draw(st.integers(250, 1400)), draw(st.integers(30, 160))
    flaws = []
    for _ in range(draw(st.integers(0, 3))):
        long, wide = draw(st.integers(1, length)), draw(st.integers(1, width))
        flaws.append(
            Flaw(
                kind=draw(st.sampled_from(FlawKind)),
                x_mm=draw(st.integers(0, length - long)) / 1,
                y_mm=draw(st.integers(0, width - wide)) / 1,
                length_mm=float(long),
                width_mm=float(wide),
            )
        )
    return Board(
        name=draw(name),
        wood=draw(st.sampled_from(("ash", "cherry"))),
        thickness_mm=draw(st.sampled_from((20.0, 26.0, 46.0, 52.0))),
        width_mm=float(width),
        length_mm=float(length),
        finish=draw(st.sampled_from(Finish)),
        ring=draw(st.sampled_from(Ring)),
        stock=draw(st.sampled_from((Stock.OFFCUT, Stock.BOARD))),
        moisture_pct=draw(st.none() | st.floats(0, 30)),
        price=draw(st.none() | st.floats(1, 100)),
        flaws=tuple(flaws),
    )


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(boards(), max_size=4, unique_by=lambda b: b.name))
def test_a_table_reads_back(found):
    assert boards_from_csv(boards_to_csv(tuple(found))) == tuple(found)


@st.composite
def cases(draw):
    number = draw(st.integers(1, 4))
    found = [draw(boards(st.just(f"B{n}"))) for n in range(number)]
    sticks = tuple(
        Stick(
            name=f"S{n}",
            wood=draw(st.sampled_from(("ash", "cherry"))),
            count=draw(st.integers(1, 6)),
            length_mm=float(draw(st.integers(120, 900))),
            width_mm=float(draw(st.integers(8, 80))),
            depth_mm=draw(st.sampled_from((15.0, 20.0, 38.0))),
        )
        for n in range(draw(st.integers(1, 3)))
    )
    return Rack(boards=tuple(found)), Demand(sticks=sticks)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(cases())
def test_every_plan_passes_the_checker(case):
    rack, demand = case
    plan = cut_plan(rack, demand, shop=SHOP, seconds=0.05)
    assert check(rack, demand, SHOP, rules_of(SHOP), plan) == []
    before = sum(b.litres for b in rack.boards)
    after = confirm(reserve(rack, plan, job="j"), plan, job="j")
    assert sum(b.litres for b in after.boards) <= before + 1e-9


@given(
    st.lists(
        st.builds(
            PlateItem,
            length=st.integers(2, 9),
            width=st.integers(2, 9),
            value=st.integers(1, 60),
        ),
        min_size=1,
        max_size=4,
    ),
    st.integers(0, 9),
    st.integers(0, 9),
)
def test_a_flaw_never_helps_a_plate(items, x, y):
    size = {"length": 12, "width": 11, "items": tuple(items)}
    flaw = PlateFlaw(x=x, y=y, length=2, width=2)
    assert best_plate(**size, flaws=(flaw,)) <= best_plate(**size)
