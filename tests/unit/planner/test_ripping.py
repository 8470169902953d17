"""Strip sets ripped from wide laminations: only where it saves, and every one like the first."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fakes.drawings import block
from seamwright.app import step_words
from seamwright.bench import execute, prove
from seamwright.design import Drawing
from seamwright.errors import PlanError
from seamwright.fit.compiling import program
from seamwright.geometry import Motion
from seamwright.pictures import Easel, Ruler, Text, looks, step_picture
from seamwright.plan import (
    EdgeCut,
    Laminate,
    Machine,
    Mill,
    Placed,
    Plan,
    SetUp,
    Shop,
    Slice,
    Step,
    Surface,
    Trim,
    check,
    default_shop,
    inputs,
    plan_from_json,
    plan_from_text,
    plan_to_json,
    plan_to_text,
    totals,
)
from seamwright.planner import make_plan
from seamwright.planner.ripping import with_wide_laminations

SHOP = default_shop()
KERF_MM = SHOP.saws.table_kerf_mm


def bars(count: int, widths: list[float], woods: str, shop: Shop = SHOP) -> Plan:
    """So many strip sets, side by side in the clamps, planed and each sliced once."""
    shop = replace(shop, limits=replace(shop.limits, seams_per_glue_up=40))
    sticks = [
        Mill(makes=f"S{i}", count=count, wood=wood, length_mm=500.0, width_mm=width, depth_mm=22.0)
        for i, (width, wood) in enumerate(zip(widths, woods, strict=True), 1)
    ]
    parts, y = [], 0.0
    for stick in sticks:
        parts.append(Placed(part=stick.makes, at=Motion(y_mm=y)))
        y += stick.width_mm
    steps: list[Step] = [
        *sticks,
        Laminate(makes="L1", count=count, parts=tuple(parts), seams_deg=0.0, clampings=1),
        Surface(
            takes="L1",
            makes="L2",
            count=count,
            depth_mm=20.4,
            set_up=SetUp(machine=Machine.PLANER, size_mm=20.4),
        ),
    ]
    return Plan(title="", steps=tuple(steps), board="L2", copies=count, shop=shop)


def ripped(plan: Plan) -> Trim | None:
    return next((s for s in plan.steps if isinstance(s, Trim) and s.each > 1), None)


@pytest.mark.parametrize(
    ("count", "woods", "each"),
    [(2, "ABA", 1), (4, "ABA", 4), (4, "ABC", 1), (6, "ABC", 1), (7, "ABC", 7), (7, "ABA", 7)],
)
def test_it_is_taken_where_planings_and_sticks_pay_for_rips_and_settings(
    count: int, woods: str, each: int
) -> None:
    plan = bars(count, [20.0, 30.0, 20.0], woods)
    found = with_wide_laminations(plan)
    step = ripped(found)
    assert (step.each if step else 1) == each
    m, extra = SHOP.minutes, SHOP.allowances
    rough, deep = 2.0 * extra.rough_face_mm, 22.0 + 2.0 * extra.rough_face_mm
    litre = 500.0 + extra.rough_length_mm
    litre *= deep * m.wood_litre / 1e6
    same = woods[0] == woods[-1]
    joins = count - 1
    # each join: a planing less, a rip and a kerf more; a stick less, or a glue line more
    saved = joins * (m.surface - m.trim - KERF_MM * litre)
    saved += joins * (m.stick + rough * litre if same else -m.glue_line)
    # fence for the rip and for the strips between two sets; the clampings stay one
    saved -= 2.0 * m.set_up
    if each > 1:
        assert totals(plan).minutes - totals(found).minutes == pytest.approx(saved)
    else:
        assert saved <= 1e-6


def test_every_part_that_comes_off_is_like_the_first() -> None:
    plan = with_wide_laminations(bars(4, [20.0, 30.0, 20.0], "ABA"))
    shelf = execute(plan)
    assert not shelf.findings
    step = ripped(plan)
    assert step is not None
    assert inputs(step) == {step.takes: 1}
    made = dict(shelf.solids)[step.makes]
    assert [(round(min(y for _, y in p.points)), p.wood) for p in made.pieces] == [
        (0, "A"),
        (20, "B"),
        (50, "A"),
    ]
    wide = dict(shelf.solids)[step.takes]
    assert max(y for _, y in wide.hull) == pytest.approx(4 * 70.0 + 3 * KERF_MM)
    assert check(plan) is None
    assert plan_from_json(plan_to_json(plan)) == plan
    assert plan_from_text(plan_to_text(plan)) == plan


@pytest.mark.parametrize(
    ("change", "code"),
    [
        # a rip in the wrong place gives unequal parts
        ({"cuts": (EdgeCut(x_mm=0.0, y_mm=69.0, angle_deg=180.0),)}, "B124"),
        ({"each": 5, "count": 5}, "B124"),
        ({"count": 6}, "B125"),
        ({"cuts": ()}, "B125"),
    ],
)
def test_the_bench_tells_a_rip_that_cannot_be(change: dict[str, object], code: str) -> None:
    plan = with_wide_laminations(bars(4, [20.0, 30.0, 20.0], "ABA"))
    steps = tuple(
        replace(s, **change) if isinstance(s, Trim) else s  # type: ignore[arg-type]
        for s in plan.steps
    )
    wrong = replace(plan, steps=steps)
    assert code in {finding.code for finding in execute(wrong).findings}
    if code == "B125":
        with pytest.raises(PlanError):
            check(wrong)


@given(
    st.integers(2, 8),
    st.lists(
        st.tuples(st.sampled_from([12.0, 20.0, 55.0]), st.sampled_from("AB")),
        min_size=2,
        max_size=5,
    ),
)
@settings(deadline=None, max_examples=60)
def test_no_plan_becomes_dearer_and_all_parts_are_made(
    count: int, strips: list[tuple[float, str]]
) -> None:
    plan = bars(count, [width for width, _ in strips], "".join(wood for _, wood in strips))
    found = with_wide_laminations(plan)
    assert totals(found).minutes <= totals(plan).minutes + 1e-6
    assert check(found) is None
    before, after = execute(plan), execute(found)
    if ripped(found) is not None:
        codes = {f.code for f in after.findings} - {f.code for f in before.findings}
        assert not codes
    (one,) = (solid for kind, solid in before.solids if kind == "L2")
    (other,) = (solid for kind, solid in after.solids if kind == "L2")
    assert other.area_mm2 == pytest.approx(one.area_mm2)
    assert sum(s.count for s in found.steps if s.makes == "L2") == count


def batch() -> tuple[Plan, Drawing]:
    """Boards enough that strip sets are ripped from wide laminations."""
    board = replace(
        block("double nine patch", thickness="3/4", board='[board]\nset = "one one one"'),
        copies=24,
    )
    return make_plan(board, SHOP, seconds=8.0).plan, board


def test_a_batch_is_planned_with_it_and_holds() -> None:
    plan, board = batch()
    step = ripped(plan)
    assert step is not None
    assert prove(plan, board).holds
    assert check(plan) is None
    words = step_words(plan, board)[plan.number(step.makes) - 1]
    assert words.title.startswith("Rip ")
    assert f"{step.each} from each" in words.title
    assert any("rip fence" in line.lower() for line in words.lines)
    # the stop of a slice is set from a stick that is really made
    made = {s.makes for s in plan.steps}
    assert all(
        not s.set_up.match or s.set_up.match in made for s in plan.steps if isinstance(s, Slice)
    )


def test_real_sizes_are_followed_through_a_rip() -> None:
    """The fence, not the strips, makes a ripped part as wide as it is."""
    plan = with_wide_laminations(bars(4, [20.0, 30.0, 20.0], "ABA"))
    step = ripped(plan)
    assert step is not None
    made = program(plan)
    run = made.run(made.uniform({}))
    points = np.asarray(run.points[step.makes])
    assert points.imag.max() == pytest.approx(70.0, abs=1e-6)


def test_its_drawing_names_every_rip() -> None:
    plan = with_wide_laminations(bars(4, [20.0, 30.0, 20.0], "ABA"))
    step = ripped(plan)
    assert step is not None
    easel = Easel(
        solids=dict(execute(plan).solids),
        looks=looks((("A", "pear"), ("B", "plum"))),
        ruler=Ruler(),
        saws=plan.shop.saws,
        width_mm=186.0,
        height_mm=60.0,
    )
    picture = step_picture(step, easel)
    assert picture.width_mm <= 187.0
    texts = [item.text for item in picture.items if isinstance(item, Text)]
    assert [text for text in texts if text in "1234"] == ["1", "2", "3"]
    assert Ruler().inch(70.0) in texts
