"""The verb "plan": proven before it is shown, and told in words."""

from dataclasses import replace

import pytest

import seamwright
from seamwright.app import (
    UnprovenError,
    best_words,
    look_first,
    plan,
    planning,
    proof_words,
    read_design,
    step_words,
    totals_words,
)
from seamwright.bench import Proof
from seamwright.design import Kind
from seamwright.errors import Cancelled, PlanError
from seamwright.plan import Laminate, Mill, Slice, default_shop

HEAD = 'title = "Tray"\nunit = "{unit}"\nthickness = "{deep}"\n'
WOODS = 'woods = { A = "sugar maple", B = "black walnut" }\n'
FOUR = (
    HEAD
    + WOODS.replace("{", "{{").replace("}", "}}")
    + ("[block.b]\ncolumns = '{side} {side}'\nrows = '{side} {side}'\ncells = '''\nA B\nB A\n'''\n")
)


def board(unit="in", deep="3/4", side="3"):
    return read_design(FOUR.format(unit=unit, deep=deep, side=side).encode(), name="try")


@pytest.fixture(scope="module")
def report():
    return plan(board())


def test_it_holds_and_is_best(report):
    assert report.proof.holds
    assert report.best.proven
    assert report.totals.minutes == pytest.approx(report.best.cost)


def test_it_is_the_same_from_the_outer_door(report):
    again = seamwright.plan(board())
    assert again.plan == report.plan
    assert seamwright.prove(report.plan, board()).holds


def test_a_plan_that_fails_is_never_shown(monkeypatch):
    """A planner that makes the second stick of the wrong wood is found out."""
    honest = planning.prefer_plan

    def careless(*args, **options):
        planned = honest(*args, **options)
        first = next(step for step in planned.plan.steps if isinstance(step, Mill))
        wrong = replace(first, wood="B" if first.wood == "A" else "A")
        steps = tuple(wrong if step is first else step for step in planned.plan.steps)
        return replace(planned, plan=replace(planned.plan, steps=steps))

    monkeypatch.setattr(planning, "prefer_plan", careless)
    with pytest.raises(UnprovenError) as refused:
        plan(board())
    assert isinstance(refused.value.proof, Proof)
    assert not refused.value.proof.holds
    assert "step 1, S" in str(refused.value)
    assert refused.value.faults[-1].remedy.startswith("the plan was thrown away")


def test_no_plan_is_told_with_reasons():
    shop = default_shop()
    tight = replace(shop, limits=replace(shop.limits, clamp_reach_mm=100.0))
    with pytest.raises(PlanError, match="clamp"):
        plan(board(), tight)


def test_it_can_be_stopped():
    with pytest.raises(Cancelled):
        plan(board(), cancelled=lambda: True)


@pytest.mark.parametrize("seconds", [0.0, -1.0, float("nan")])
def test_time_must_be_some(seconds):
    with pytest.raises(ValueError, match="more than 0"):
        plan(board(), seconds=seconds)


def test_progress_only_grows():
    told = []
    plan(board(), progress=lambda share, doing: told.append((share, doing)))
    shares = [share for share, _ in told]
    assert shares == sorted(shares)
    assert shares[0] >= 0.0
    assert told[-1] == (1.0, "done")


def test_every_step_has_words(report):
    told = step_words(report.plan, report.drawing)
    assert [words.number for words in told] == list(range(1, len(report.plan.steps) + 1))
    for words, step in zip(told, report.plan.steps, strict=True):
        assert step.makes in words.title
        assert words.lines


def test_sizes_are_told_in_both_units(report):
    mill = next(s for s in report.plan.steps if isinstance(s, Mill))
    words = step_words(report.plan, report.drawing)[report.plan.number(mill.makes) - 1]
    assert "″" in words.title
    assert " mm)" in words.title
    metric = plan(board(unit="mm", deep="20", side="75"))
    assert " mm (" in step_words(metric.plan, metric.drawing)[0].title


def test_stops_are_set_from_real_parts(report):
    for words, step in zip(step_words(report.plan, report.drawing), report.plan.steps, strict=True):
        if isinstance(step, Slice) and step.set_up.match and "set already" not in words.lines[0]:
            assert f"Set the stop from a real {step.set_up.match}, not from a ruler" in words.lines


def test_glue_ups_count_their_seams(report):
    for words, step in zip(step_words(report.plan, report.drawing), report.plan.steps, strict=True):
        if isinstance(step, Laminate):
            assert words.lines[0].startswith(f"{len(step.parts) - 1} seam")


def test_words_on_the_whole(report):
    assert totals_words(report)[0].startswith(f"{len(report.plan.steps)} steps, ")
    assert totals_words(report)[2].endswith("at the bench, glue drying not counted")
    assert best_words(report).startswith("Proven best")
    assert "every patch is there once" in proof_words(report)
    loose = replace(report.planned, best=replace(report.best, proven=False, gap=0.0412))
    assert "at most 4.1 % above" in best_words(replace(report, planned=loose))
    best = replace(report.best, cost=report.best.chosen - 30.0)
    cheaper = replace(report, planned=replace(report.planned, best=best))
    assert best_words(cheaper).endswith(
        "What saves 30 min more was found afterwards, without proof."
    )


def test_warnings_are_passed_on(report):
    told = look_first(report)
    assert len(told) >= len(report.warnings)
    assert all(str(warning) in told for warning in report.warnings)


def test_an_overlay_without_a_backing_is_told_to_be_planned_as_its_face_alone(report):
    assert not any("overlay" in line for line in look_first(report))
    over = replace(report, drawing=replace(report.drawing, kind=Kind.OVERLAY))
    assert any("face alone" in line for line in look_first(over))
