"""HiGHS and CP-SAT (OR-Tools) choose equally well: two programmes, two solvers, one optimum."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings

from fakes.problems import problems
from fakes.second_solver import least_minutes
from seamwright.planner.problem import Problem
from seamwright.planner.solver import Relaxed


@given(problems())
@settings(deadline=None, max_examples=200, derandomize=True)
def test_both_solvers_find_the_same_optimum(problem: Problem) -> None:
    solved = Relaxed(problem).solve(seconds=20.0, beat=math.inf)
    assert solved.choice is not None
    assert solved.stopped == "proven"
    assert solved.choice.minutes == pytest.approx(least_minutes(problem), abs=1e-5)
