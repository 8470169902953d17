"""The solver against trying everything; bounds that hold for every choice."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import islice

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fakes.exhaustive import assignments
from fakes.problems import problems
from seamwright.geometry import IDENTITY
from seamwright.planner.counting import needed
from seamwright.planner.descent import descend
from seamwright.planner.must import needs
from seamwright.planner.options import TrimDown
from seamwright.planner.problem import Mode, Problem, Resawn, bars_of, recount
from seamwright.planner.solver import FEW_MODES, Relaxed


def best_of_all(problem: Problem) -> float:
    return min(recount(problem, picked).minutes for picked in assignments(problem))


@given(problems(), st.sampled_from([0, FEW_MODES]))
@settings(deadline=None, max_examples=120)
def test_the_solver_finds_what_trying_everything_finds(problem: Problem, few: int) -> None:
    least = best_of_all(problem)
    relaxed = Relaxed(problem, few=few)
    assert relaxed.bound <= least + 1e-6
    solved = relaxed.solve(seconds=20.0, beat=math.inf)
    assert solved.stopped == "proven"
    assert solved.choice is not None
    assert solved.choice.minutes == pytest.approx(least, abs=1e-5)
    assert solved.bound <= least + 1e-5
    assert solved.bound == pytest.approx(least, abs=1e-4)


@given(problems(), st.sampled_from([-3.0, 0.0, 0.5, 4.0]), st.sampled_from([0, FEW_MODES]))
@settings(deadline=None, max_examples=80)
def test_told_what_to_beat_it_beats_it_or_says_it_cannot(
    problem: Problem, more: float, few: int
) -> None:
    least = best_of_all(problem)
    solved = Relaxed(problem, few=few).solve(seconds=20.0, beat=least + more)
    if more > 0.0:
        assert solved.choice is not None
        assert solved.choice.minutes == pytest.approx(least, abs=1e-5)
    else:
        assert solved.choice is None
        assert solved.stopped in {"beaten", "proven"}
    assert solved.bound == pytest.approx(min(least, least + more), abs=1e-4)


@given(problems(), st.data())
@settings(deadline=None, max_examples=80)
def test_modes_that_are_not_tried_change_no_answer(problem: Problem, data: st.DataObject) -> None:
    modes = [(n, k) for n, node in enumerate(problem.nodes) for k in range(len(node.modes))]
    relaxed = Relaxed(problem, few=0)
    relaxed.stood |= data.draw(st.sets(st.sampled_from(modes)))
    solved = relaxed.solve(seconds=20.0, beat=math.inf)
    assert solved.choice is not None
    assert solved.choice.minutes == pytest.approx(best_of_all(problem), abs=1e-5)
    assert solved.bound == pytest.approx(best_of_all(problem), abs=1e-4)


@given(problems(), st.data(), st.sampled_from([0, FEW_MODES]))
@settings(deadline=None, max_examples=80)
def test_no_choice_with_something_resawn_is_left_out_where_only_they_count(
    problem: Problem, data: st.DataObject, few: int
) -> None:
    """One in which nothing is resawn may be found all the same; it is a choice of the problem."""
    modes = [(n, k) for n, node in enumerate(problem.nodes) for k in range(len(node.modes))]
    billets = data.draw(st.sets(st.sampled_from(modes)))
    trimmed = TrimDown(over=0, at=IDENTITY, cuts=())

    def mixed(n: int, k: int, mode: Mode) -> Mode:
        return replace(mode, way=Resawn(leaves=2) if (n, k) in billets else trimmed)

    nodes = tuple(
        replace(node, modes=tuple(mixed(n, k, mode) for k, mode in enumerate(node.modes)))
        for n, node in enumerate(problem.nodes)
    )
    problem = replace(problem, nodes=nodes)
    choices = [recount(problem, picked) for picked in assignments(problem)]
    least = min(
        (choice.minutes for choice in choices if billets & set(choice.modes.items())),
        default=math.inf,
    )
    relaxed = Relaxed(problem, few=few, resawn=True)
    assert relaxed.bound <= least + 1e-6
    beat = max(choice.minutes for choice in choices) + 1.0
    solved = relaxed.solve(seconds=20.0, beat=beat)
    assert solved.bound <= least + 1e-4
    if solved.choice is None:
        assert least == math.inf
    else:
        assert solved.choice.minutes <= least + 1e-5
        assert recount(problem, solved.choice.modes) == solved.choice


@given(problems(), st.data())
@settings(deadline=None, max_examples=80)
def test_beginning_with_another_drawings_modes_counts_right_too(
    problem: Problem, data: st.DataObject
) -> None:
    known = data.draw(st.sets(st.integers(0, len(problem.nodes) - 1)))
    former = {
        number: (
            data.draw(st.integers(0, len(problem.nodes[number].modes) - 1)),
            data.draw(st.integers(1, 5)),
        )
        for number in known
    }
    found = descend(problem, former)
    assert found.minutes >= best_of_all(problem) - 1e-9
    assert recount(problem, found.modes) == found
    again = {number: (mode, found.uses[number]) for number, mode in found.modes.items()}
    assert descend(problem, again).minutes <= found.minutes + 1e-9


@given(problems())
@settings(deadline=None, max_examples=80)
def test_descending_never_goes_below_the_best_and_counts_right(problem: Problem) -> None:
    least = best_of_all(problem)
    for found in (descend(problem), Relaxed(problem).rounded(draws=2)):
        assert found.minutes >= least - 1e-9
        assert recount(problem, found.modes) == found


@given(problems(), st.sampled_from([1, 3, 16]))
@settings(deadline=None, max_examples=120)
def test_no_choice_passes_the_bounds(problem: Problem, at_most: int) -> None:
    counts = needed(problem, at_most=at_most)
    need = needs(problem)
    nodes, pools = len(problem.nodes), len(problem.pools)
    for picked in islice(assignments(problem), 300):
        choice = recount(problem, picked)
        drawn: list[dict[float, int]] = [{} for _ in problem.pools]
        had = set(choice.modes)
        share = {0: float(problem.copies)}
        count = {0: problem.copies}
        for number, uses in choice.uses.items():
            node = problem.nodes[number]
            mode = node.modes[choice.modes[number]]
            assert uses <= -(-node.most // mode.yields)
            known = counts[number]
            assert known.least <= count[number] <= min(known.most, node.most)
            assert known.share_least - 1e-6 <= share[number] <= known.share_most + 1e-6
            if known.counts:
                assert count[number] in known.counts
            if known.exact:
                assert share[number] == pytest.approx(count[number])
            for child, times in mode.children:
                part = share[number] * times / mode.yields
                share[child] = share.get(child, 0.0) + part
                count[child] = count.get(child, 0) + times * uses
            had |= {nodes + pools + setting for setting in mode.settings}
            if mode.pool >= 0:
                had.add(nodes + mode.pool)
                had |= {nodes + pools + s for s in problem.pools[mode.pool].settings}
                own = drawn[mode.pool]
                own[mode.pitch_mm] = own.get(mode.pitch_mm, 0) + uses
        for number, k in choice.modes.items():
            missing = [t for t in range(nodes + pools + 8) if need[number][k] >> t & 1]
            assert set(missing) <= had
        for pool, own in zip(problem.pools, drawn, strict=True):
            assert sum(bars for _, bars in bars_of(pool, own)) <= pool.most
