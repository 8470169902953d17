"""What is ruled out by reduced costs, against adding them up from what reachability says."""

from __future__ import annotations

from random import Random

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from fakes.problems import problems
from seamwright.planner.columns import build
from seamwright.planner.exclusive import Exclusions
from seamwright.planner.must import needs
from seamwright.planner.problem import Problem
from seamwright.planner.ruling_out import may_cost

Pick = tuple[int, int]


def reached(problem: Problem, without: Pick) -> set[Pick]:
    """Modes that some plan may pick that never picks one of them."""
    found: set[Pick] = set()
    todo, seen = [0], {0}
    while todo:
        node = todo.pop()
        for k, mode in enumerate(problem.nodes[node].modes):
            if (node, k) == without:
                continue
            found.add((node, k))
            fresh = {child for child, _ in mode.children} - seen
            seen |= fresh
            todo.extend(fresh)
    return found


@given(problems(), st.integers(0, 10**6))
@settings(deadline=None, max_examples=120)
def test_a_mode_is_out_where_it_and_all_that_comes_with_it_cost_too_much(
    problem: Problem, seed: int
) -> None:
    columns, exclusions = build(problem), Exclusions(problem)
    chance = Random(seed)
    count = len(columns.model.cost)
    value = np.array([chance.choice([0.0, 0.0, 0.0, 0.5]) for _ in range(count)])
    reduced = np.array([chance.choice([-1.0, 0.0, 1.0, 2.5]) for _ in range(count)])
    room = chance.choice([0.5, 2.25, 4.75])
    extra = np.where(value < 1e-9, np.maximum(reduced, 0.0), 0.0)

    def of(pick: Pick) -> float:
        return min(extra[column] for column, _ in columns.picked[pick])

    picks = list(columns.picked)
    things = [
        min(of((n, k)) for k in range(len(node.modes))) for n, node in enumerate(problem.nodes)
    ]
    things += [extra[column] for column in (*columns.pools, *columns.settings)]
    need = needs(problem)
    keep = may_cost(columns, exclusions, value, reduced, room)
    for node, k in picks:
        comes = [other for other in picks if (node, k) not in reached(problem, other)]
        needed = {t for n, j in comes for t in range(len(things)) if need[n][j] >> t & 1}
        needed -= {n for n, _ in comes}
        total = sum(map(of, comes)) + sum(things[thing] for thing in needed)
        assert keep[node][k] == (total <= room)
