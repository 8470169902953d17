"""Long sticks and clampings shared between strip sets: as few as there can be, and told truly."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from fakes.drawings import SMALL_BOARDS, block
from fakes.plans import plain_shop
from seamwright.bench import Severity, execute, prove
from seamwright.design import Drawing, read
from seamwright.errors import PlanError
from seamwright.geometry import Motion
from seamwright.plan import (
    Held,
    Laminate,
    Lot,
    Machine,
    Mill,
    Placed,
    Plan,
    SetUp,
    Shop,
    Slice,
    Step,
    check,
    default_shop,
    long_sticks,
    plan_from_json,
    plan_from_text,
    plan_to_json,
    plan_to_text,
    totals,
    unshared,
)
from seamwright.planner import make_plan
from seamwright.planner.long_sticks import with_long_sticks
from seamwright.planner.shared_clampings import _stages, with_shared_clampings
from seamwright.planner.sharing import shared_in_order
from seamwright.planner.sticks import with_equal_sticks_as_one

SHOP = plain_shop()
KERF_MM = SHOP.saws.table_kerf_mm


def stick(n: int, length: float, count: int, *, wood: str = "A", width: float = 40.0) -> Mill:
    return Mill(
        makes=f"S{n}", count=count, wood=wood, length_mm=length, width_mm=width, depth_mm=20.0
    )


def plan_of(steps: Sequence[Step], shop: Shop = SHOP) -> Plan:
    return Plan(title="", steps=tuple(steps), board=steps[0].makes, copies=1, shop=shop)


def fewest_long_ones(lengths: Sequence[float], longest: float) -> int:
    """Bin packing by CP-SAT; every figure a whole number."""
    model = cp_model.CpModel()
    bins = range(len(lengths))
    used = [model.new_bool_var("") for _ in bins]
    lies = [[model.new_bool_var("") for _ in bins] for _ in lengths]
    for row in lies:
        model.add_exactly_one(row)
    for b in bins:
        load = sum(round(n + KERF_MM) * row[b] for n, row in zip(lengths, lies, strict=True))
        model.add(load <= round(longest + KERF_MM) * used[b])
    model.minimize(sum(used))
    solver = cp_model.CpSolver()
    assert solver.solve(model) == cp_model.OPTIMAL
    return round(solver.objective_value)


@given(
    st.lists(
        st.tuples(st.sampled_from([305, 330, 394, 450, 597, 640, 1000]), st.integers(1, 4)),
        min_size=1,
        max_size=4,
        unique_by=lambda kind: kind[0],
    )
)
@settings(deadline=None, max_examples=40)
def test_as_few_long_sticks_as_there_can_be(kinds: list[tuple[int, int]]) -> None:
    plan = plan_of([stick(n, length, count) for n, (length, count) in enumerate(kinds)])
    found = with_long_sticks(plan)
    lengths = [float(length) for length, count in kinds for _ in range(count)]
    longest = plan.shop.limits.stick_length_mm
    assert totals(found).sticks == fewest_long_ones(lengths, longest)
    held: dict[str, int] = {}
    for step in found.steps:
        assert isinstance(step, Mill)
        for long in long_sticks(step, found):
            assert long.length_mm <= longest + 1e-6
            for each in long.holds:
                held[each.kind] = held.get(each.kind, 0) + each.count * long.times
    assert held == {step.makes: step.count for step in plan.steps}


def test_minutes_and_wood_added_up_by_hand() -> None:
    plan = plan_of([stick(1, 600.0, 1), stick(2, 500.0, 3)])
    found = with_long_sticks(plan)
    first, second = found.steps
    assert isinstance(first, Mill)
    assert isinstance(second, Mill)
    # 600 + 500 and a kerf fit 1200, and so do the other two
    assert first.long == (Lot(holds=(Held(kind="S1", count=1), Held(kind="S2", count=1)), times=1),)
    assert second.long == (Lot(holds=(Held(kind="S2", count=2),), times=1),)
    assert (first.parted, second.parted) == (0, 1)
    before, after = totals(plan), totals(found)
    assert (before.sticks, after.sticks) == (4, 2)
    m, extra = SHOP.minutes, SHOP.allowances
    rough = 2.0 * extra.rough_face_mm
    section = (40.0 + rough) * (20.0 + rough)
    wood = 2 * section * (extra.rough_length_mm - KERF_MM)
    assert before.wood_mm3 - after.wood_mm3 == pytest.approx(wood)
    saved = 2 * (m.stick - m.slice) + wood / 1e6 * m.wood_litre
    assert before.minutes - after.minutes == pytest.approx(saved)
    assert unshared(found) == plan


@pytest.mark.parametrize("other", [{"wood": "B"}, {"width": 40.1}])
def test_only_sticks_of_one_wood_and_section_share(other: dict[str, object]) -> None:
    plan = plan_of([stick(1, 600.0, 1), stick(2, 390.0, 1, **other)])  # type: ignore[arg-type]
    assert with_long_sticks(plan) == plan


def strip_set(n: int, length: float, widths: Sequence[float], clampings: int = 1) -> list[Step]:
    """Sticks and strip sets of them, as many as make that number of clampings."""
    count = clampings * (SHOP.limits.seams_per_glue_up // (len(widths) - 1)) if clampings > 1 else 1
    sticks = [
        stick(10 * n + i, length, count, wood="AB"[i % 2], width=width)
        for i, width in enumerate(widths)
    ]
    parts, y = [], 0.0
    for own in sticks:
        parts.append(Placed(part=own.makes, at=Motion(y_mm=y)))
        y += own.width_mm
    glued = Laminate(
        makes=f"L{n}", count=count, parts=tuple(parts), seams_deg=0.0, clampings=clampings
    )
    return [*sticks, glued]


def partitions(things: list[int]) -> Iterator[list[list[int]]]:
    if not things:
        yield []
        return
    first, *rest = things
    for found in partitions(rest):
        yield [[first], *found]
        for i, group in enumerate(found):
            yield [*found[:i], [first, *group], *found[i + 1 :]]


def least_saved(sets: list[tuple[float, list[float]]], shop: Shop) -> float:
    """The best of all ways to lay strip sets together, added up from the sizes alone [min]."""
    rough = 2.0 * shop.allowances.rough_face_mm
    best = 0.0
    for groups in partitions(list(range(len(sets)))):
        saved = 0.0
        for group in groups:
            lines = sum(len(sets[i][1]) - 1 for i in group)
            wide = sum(sum(sets[i][1]) for i in group)
            limits = shop.limits
            if lines > limits.seams_per_glue_up or wide > limits.clamp_reach_mm:
                saved = -1e9
            longest = max(sets[i][0] for i in group)
            saved += (len(group) - 1) * shop.minutes.glue_up
            for i in group:
                section = sum((width + rough) * (20.0 + rough) for width in sets[i][1])
                more = (longest - sets[i][0]) * section
                saved -= more / 1e6 * shop.minutes.wood_litre
        best = max(best, saved)
    return best


@given(
    st.lists(
        st.tuples(
            st.sampled_from([400.0, 410.0, 500.0, 760.0]),
            st.lists(st.sampled_from([20.0, 40.0, 150.0]), min_size=2, max_size=5),
        ),
        min_size=1,
        max_size=5,
    )
)
@settings(deadline=None, max_examples=60)
def test_no_other_way_to_lay_strip_sets_together_saves_more(
    sets: list[tuple[float, list[float]]],
) -> None:
    steps = [
        step for n, (length, widths) in enumerate(sets, 1) for step in strip_set(n, length, widths)
    ]
    plan = plan_of(sorted(steps, key=lambda step: isinstance(step, Laminate)))
    found = with_shared_clampings(plan)
    saved = totals(plan).minutes - totals(found).minutes
    # settings are the same: widths and depth stay
    assert saved == pytest.approx(least_saved(sets, SHOP), abs=1e-6)
    bad = [
        f for f in execute(found).findings if f.severity is not Severity.WARNING or f.code == "B325"
    ]
    assert not bad


def test_the_last_of_several_clampings_takes_another_kind_in() -> None:
    steps = [*strip_set(1, 500.0, [40.0, 40.0, 40.0]), *strip_set(2, 400.0, [30.0, 30.0])]
    steps[3] = replace(steps[3], count=7, clampings=2)  # four in the first, three in the second
    steps[:3] = [replace(s, count=7) for s in steps[:3]]
    plan = plan_of(sorted(steps, key=lambda step: isinstance(step, Laminate)))
    found = {step.makes: step for step in with_shared_clampings(plan).steps}
    one, other = found["L1"], found["L2"]
    assert isinstance(one, Laminate)
    assert isinstance(other, Laminate)
    assert [[(h.kind, h.count) for h in lot.holds] for lot in one.lots] == [
        [("L1", 4)],
        [("L1", 3), ("L2", 1)],
    ]
    assert (one.clampings, other.clampings, other.beside) == (2, 0, 1)
    made = found[other.parts[0].part]
    assert isinstance(made, Mill)
    assert made.length_mm == 500.0


def nines() -> tuple[Plan, Drawing]:
    """A board with sticks that come off another kind's long ones, and two kinds in the clamps."""
    rows = """
    [board]
    set = '''
    one one one one
    one one one one
    '''
    sashing = { wood = "C", width = "1/2" }
    """
    board = block("double nine patch", thickness="3/4", board=rows)
    shop = default_shop()
    shop = replace(shop, limits=replace(shop.limits, stick_length_mm=2400.0))
    return make_plan(board, shop).plan, board


def test_a_whole_plan_holds_and_is_written_both_ways() -> None:
    plan, board = nines()
    hosts = [step for step in plan.steps if isinstance(step, Laminate) and step.lots]
    beside = [step for step in plan.steps if isinstance(step, Laminate) and step.beside]
    for one in hosts:
        (lot,) = one.lots
        first = plan.number(one.makes)
        assert [plan.number(held.kind) - first for held in lot.holds] == [*range(len(lot.holds))]
    assert any(isinstance(step, Mill) and step.parted for step in plan.steps)
    assert prove(plan, board).holds
    assert check(plan) is None
    assert plan_from_json(plan_to_json(plan)) == plan
    assert plan_from_text(plan_to_text(plan)) == plan
    alone = unshared(plan)
    assert prove(alone, board).holds
    assert totals(alone).glue_ups == totals(plan).glue_ups + len(beside)
    assert totals(alone).minutes > totals(plan).minutes


def spoiled(plan: Plan, kind: type[Mill | Laminate], **change: object) -> Plan:
    """The plan with the first step of a kind that has lots changed."""
    steps = list(plan.steps)
    at = next(
        n
        for n, s in enumerate(steps)
        if isinstance(s, kind) and (s.long if isinstance(s, Mill) else s.lots)
    )
    steps[at] = replace(steps[at], **change)  # type: ignore[arg-type]
    return replace(plan, steps=tuple(steps))


def codes(plan: Plan) -> set[str]:
    return {finding.code for finding in execute(plan).findings}


@pytest.mark.parametrize(
    ("kind", "change", "code"),
    [
        (Mill, {"long": ()}, "B145"),
        (Mill, {"parted": 1}, "B145"),
        (Mill, {"wood": "C"}, "B144"),
        (Laminate, {"lots": ()}, "B145"),
        (Laminate, {"clampings": 2}, "B137"),
        (Laminate, {"beside": 1}, "B145"),
    ],
)
def test_a_lot_that_cannot_be_is_told(
    kind: type[Mill | Laminate], change: dict[str, object], code: str
) -> None:
    plan, _ = nines()
    wrong = spoiled(plan, kind, **change)
    assert code not in codes(plan)
    assert code in codes(wrong)
    with pytest.raises(PlanError, match=r"lot|section|clampings|long sticks"):
        check(wrong)


@pytest.mark.parametrize(
    ("limits", "code"),
    [
        ({"stick_length_mm": 1200.0}, "B334"),
        ({"clamp_reach_mm": 100.0}, "B321"),
        ({"seams_per_glue_up": 3}, "B322"),
    ],
)
def test_the_bench_measures_lots_against_the_shop(limits: dict[str, float], code: str) -> None:
    plan, _ = nines()
    shop = replace(plan.shop, limits=replace(plan.shop.limits, **limits))  # type: ignore[arg-type]
    told = {f.step for f in execute(replace(plan, shop=shop)).findings if f.code == code}
    hosts = {
        plan.number(s.makes)
        for s in plan.steps
        if (isinstance(s, Mill) and s.long) or (isinstance(s, Laminate) and s.lots)
    }
    assert told & hosts


def test_what_overhangs_in_the_clamps_is_told() -> None:
    steps = [*strip_set(1, 500.0, [40.0, 40.0]), *strip_set(2, 500.0, [30.0, 30.0])]
    plan = plan_of(sorted(steps, key=lambda step: isinstance(step, Laminate)))
    found = with_shared_clampings(plan)
    assert codes(found) & {"B325", "B326"} == set()
    for change, code in (({"length_mm": 494.0}, "B325"), ({"depth_mm": 21.0}, "B326")):
        other = tuple(
            replace(s, **change) if isinstance(s, Mill) and s.width_mm == 30.0 else s  # type: ignore[arg-type]
            for s in found.steps
        )
        assert code in codes(replace(found, steps=other))


@given(SMALL_BOARDS)
@settings(deadline=None, max_examples=25)
def test_no_board_becomes_dearer_and_every_plan_holds(board: Drawing) -> None:
    try:
        plan = make_plan(board, SHOP, seconds=2.0).plan
    except PlanError:
        return
    assert prove(plan, board).holds
    assert check(plan) is None
    alone = unshared(plan)
    assert prove(alone, board).holds
    assert totals(plan).minutes <= totals(shared_in_order(alone, {}).plan).minutes + 1e-6
    assert totals(plan).minutes <= totals(alone).minutes + 1e-6


@given(st.lists(st.lists(st.integers(0, 20), min_size=2, max_size=3), min_size=1, max_size=14))
def test_what_is_made_in_one_stage_does_not_wait_for_one_another(rows: list[list[int]]) -> None:
    steps: list[Step] = [stick(0, 400.0, 1)]
    takes: dict[str, set[str]] = {"S0": set()}
    for n, row in enumerate(rows, 1):
        parts = [steps[i % len(steps)].makes for i in row]
        takes[f"L{n}"] = set(parts).union(*(takes[part] for part in parts))
        placed = tuple(Placed(part=part) for part in parts)
        steps.append(Laminate(makes=f"L{n}", count=1, parts=placed, seams_deg=0.0, clampings=1))
    for stages in _stages(steps):
        for kind, before in takes.items():
            assert all(stages[other] < stages[kind] for other in before)


def test_glue_ups_of_unlike_blocks_lie_in_the_clamps_together() -> None:
    rows = "".join(
        f'[block.{name.split()[0]}]\nfrom = "{name}"\nsize = "4"\n'
        for name in ("double nine patch", "ohio star", "jacobs ladder")
    )
    board = read(
        'unit = "in"\nthickness = "3/4"\n'
        'woods = { A = "pear", B = "bog oak", C = "plum", D = "lime" }\n'
        f'{rows}[board]\nset = "double ohio jacobs"',
        name="sampler",
    )
    planned = make_plan(board, default_shop())
    plan = planned.plan
    sticks = {step.makes for step in plan.steps if isinstance(step, Mill)}
    later = [
        step
        for step in plan.steps
        if isinstance(step, Laminate) and step.lots
        if not {placed.part for placed in step.parts} <= sticks
    ]
    assert later
    assert planned.best.proven
    assert prove(plan, board).holds
    assert check(plan) is None
    assert not [f for f in execute(plan).findings if f.code in {"B325", "B326", "B321", "B322"}]


def test_as_many_strip_sets_as_anybody_draws_are_laid_together() -> None:
    steps = [s for n in range(1, 1200) for s in strip_set(n, 400.0 + n / 8.0, [20.0, 20.0])]
    plan = plan_of(sorted(steps, key=lambda step: isinstance(step, Laminate)))
    found = with_shared_clampings(plan)
    assert totals(found).glue_ups < totals(plan).glue_ups / 2


def test_a_second_stop_follows_a_stick_that_has_another_name() -> None:
    stop = SetUp(machine=Machine.SLED, size_mm=40.0, match="S2")
    cut = Slice(
        takes="S2", bars=1, makes="P1", count=1, per_bar=1, cuts=(), head_to_tail=True,
        set_up=stop, second_set_up=stop,
    )  # fmt: skip
    plan = with_equal_sticks_as_one(plan_of([stick(1, 400.0, 1), stick(2, 400.0, 1), cut]))
    (milled, made) = plan.steps
    assert isinstance(milled, Mill)
    assert isinstance(made, Slice)
    assert (milled.makes, milled.count, made.takes) == ("S1", 2, "S1")
    assert made.second_set_up is not None
    assert (made.set_up.match, made.second_set_up.match) == ("S1", "S1")
