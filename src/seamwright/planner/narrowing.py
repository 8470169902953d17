"""A problem with some of its modes taken out, and with them all that only they would use."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from seamwright.planner.problem import Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class Narrowed:
    """Fewer modes to choose from.

    Attributes:
        problem: the same nodes, under the same numbers; those that nothing uses have no modes.
        kept: for each node, which modes of the whole problem its modes are.
    """

    problem: Problem
    kept: tuple[tuple[int, ...], ...]

    def whole(self, picked: dict[int, int]) -> dict[int, int]:
        """The same choice in the whole problem's numbers."""
        return {node: self.kept[node][mode] for node, mode in picked.items()}


def everything(problem: Problem) -> Narrowed:
    """The problem as it is."""
    return Narrowed(
        problem=problem, kept=tuple(tuple(range(len(node.modes))) for node in problem.nodes)
    )


def narrowed(before: Narrowed, keep: Sequence[Sequence[bool]]) -> Narrowed | None:
    """Take modes out.

    Args:
        before: what there was to choose from.
        keep: for each node and mode of it, whether it stays.
    Returns:
        What is left; None where the board cannot be made of it.
    """
    nodes = before.problem.nodes
    left: list[list[int]] = [[] for _ in nodes]
    for n in range(len(nodes) - 1, -1, -1):
        # children stand after their parents, so it is known of them whether they can be made
        left[n] = [
            k
            for k, mode in enumerate(nodes[n].modes)
            if keep[n][k] and all(left[child] for child, _ in mode.children)
        ]
    if not left[0]:
        return None
    used = [False] * len(nodes)
    used[0] = True
    for n, node in enumerate(nodes):
        if not used[n]:
            left[n] = []
        for k in left[n]:
            for child, _ in node.modes[k].children:
                used[child] = True
    return Narrowed(
        problem=replace(
            before.problem,
            nodes=tuple(
                replace(node, modes=tuple(node.modes[k] for k in own))
                for node, own in zip(nodes, left, strict=True)
            ),
        ),
        kept=tuple(
            tuple(kept[k] for k in own) for kept, own in zip(before.kept, left, strict=True)
        ),
    )
