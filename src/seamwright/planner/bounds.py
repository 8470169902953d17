"""How many of each node can any plan need? Tight answers make the exact choice fast.

Two bounds, the smaller counts. Downwards: a child is needed at most as often as its parents' most
demanding modes say. Upwards: one of a node contains at most so many of another, whichever way it
is taken apart; so the board does too, plus what billets waste when their number is rounded up.
"""

from __future__ import annotations

from collections.abc import Sequence

from seamwright.planner.problem import Mode, Problem


def most_needed(nodes: Sequence[Sequence[Mode]], copies: int) -> list[int]:
    """For each node a number that no plan exceeds.

    Args:
        nodes: modes of every node; children stand after their parents, node 0 is the board.
        copies: boards wanted.
    """
    contained = _contained(nodes)
    ceiling = [0.0] * len(nodes)
    for node, times in contained[0].items():
        ceiling[node] = copies * times
    for modes in nodes:
        for mode in modes:
            waste = (mode.yields - 1) / mode.yields
            if not waste:
                continue
            for child, count in mode.children:
                for node, times in contained[child].items():
                    ceiling[node] += waste * count * times
    most = [0] * len(nodes)
    most[0] = copies
    for number, modes in enumerate(nodes):
        most[number] = min(most[number], int(ceiling[number] + 1e-6)) if number else copies
        reach: dict[int, int] = {}
        for mode in modes:
            uses = -(-most[number] // mode.yields)
            for child, times in mode.children:
                reach[child] = max(reach.get(child, 0), uses * times)
        for child, count in reach.items():
            most[child] += count
    return most


def _contained(nodes: Sequence[Sequence[Mode]]) -> list[dict[int, float]]:
    """Row n: how many of every node one of node n contains at the most, itself included.

    Most nodes contain few others: rows hold only what is there.
    """
    rows: list[dict[int, float]] = [{} for _ in nodes]
    for number in range(len(nodes) - 1, -1, -1):
        row = rows[number]
        for mode in nodes[number]:
            inside: dict[int, float] = {}
            for child, count in mode.children:
                share = count / mode.yields
                for node, times in rows[child].items():
                    inside[node] = inside.get(node, 0.0) + share * times
            for node, times in inside.items():
                if times > row.get(node, 0.0):
                    row[node] = times
        row[number] = 1.0
    return rows


def possible_counts(problem: Problem, *, at_most: int = 10) -> list[tuple[int, ...]]:
    """For each node the counts in which it may be needed, ascending; empty where they are many.

    Args:
        problem: nodes with their ``most``.
        at_most: nodes with more possible counts than this are given up, and so are those below.
    """
    sums: list[set[int] | None] = [set() for _ in problem.nodes]
    sums[0] = {problem.copies}
    found: list[tuple[int, ...]] = []
    for number, node in enumerate(problem.nodes):
        own = sums[number]
        counts = sorted(c for c in own if 0 < c <= node.most) if own is not None else []
        found.append(tuple(counts) if len(counts) <= at_most else ())
        shares: dict[int, set[int] | None] = {}
        for mode in node.modes:
            for child, times in mode.children:
                if not found[-1]:
                    shares[child] = None
                    continue
                share = shares.setdefault(child, set())
                if share is not None:
                    share.update(times * -(-count // mode.yields) for count in found[-1])
        for child, share in shares.items():
            sums[child] = _added(sums[child], share, problem.nodes[child].most)
    return found


def _added(sums: set[int] | None, share: set[int] | None, most: int) -> set[int] | None:
    if sums is None or share is None:
        return None
    both = sums | share | {a + b for a in sums for b in share}
    kept = {count for count in both if count <= most}
    return kept if len(kept) <= 64 else None
