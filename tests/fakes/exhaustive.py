"""All ways to choose, one after the other, with no bound and no pruning."""

from __future__ import annotations

from collections.abc import Iterator

from seamwright.planner.problem import Problem


def assignments(problem: Problem) -> Iterator[dict[int, int]]:
    """Every way to give each part that is needed one mode, from the board down."""
    picked: dict[int, int] = {}

    def from_node(number: int, needed: frozenset[int]) -> Iterator[dict[int, int]]:
        if number == len(problem.nodes):
            yield dict(picked)
        elif number not in needed:
            yield from from_node(number + 1, needed)
        else:
            for k, mode in enumerate(problem.nodes[number].modes):
                picked[number] = k
                yield from from_node(number + 1, needed | {child for child, _ in mode.children})
            picked.pop(number, None)

    return from_node(0, frozenset({0}))
