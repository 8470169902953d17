"""A beam over the boards of a problem: what is still needed, and the cheapest way to get there."""

from __future__ import annotations

import numpy as np

from seamwright.rack.grid import Floats
from seamwright.rack.kernels.arrays import Numbers
from seamwright.rack.kernels.compiled import compiled


@compiled
def cheapest(
    starts: Numbers,
    costs: Floats,
    gives: Numbers,
    needs: Numbers,
    prices: Floats,
    missing: Floats,
    width: int,
) -> Numbers:
    """The column taken at each stage, -1 for none, by the best choice found.

    At each stage at most one of its columns is taken. States are what is still needed; those are
    carried on whose cost so far, and what they still need at the prices, come to least.

    Args:
        starts: first column of each stage, and their number.
        costs, gives: of each column; what it gives each row.
        needs, prices, missing: by row: wanted, worth of one, cost of one left unmet.
        width: states carried on from stage to stage.
    """
    stages, rows = len(starts) - 1, len(needs)
    rest, spent = np.zeros((1, rows), np.int64), np.zeros(1)
    rest[0] = needs
    parents = np.full((stages, width), -1, np.int64)
    taken = np.full((stages, width), -1, np.int64)
    for stage in range(stages):
        first, last = starts[stage], starts[stage + 1]
        scores = _scores(rest, spent, costs[first:last], gives[first:last], prices)
        rest, spent = _carried(
            rest, spent, costs, gives, first, last, scores, parents[stage], taken[stage]
        )
    best, least = 0, np.inf
    for s in range(len(spent)):
        total = spent[s] + _worth(rest[s], missing)
        if total < least:
            best, least = s, total
    chosen = np.full(stages, -1, np.int64)
    for stage in range(stages - 1, -1, -1):
        chosen[stage] = taken[stage, best]
        best = parents[stage, best]
    return chosen


@compiled
def _worth(rest: Numbers, prices: Floats) -> float:
    """What is still needed at some prices."""
    worth = 0.0
    for r in range(len(rest)):
        worth += prices[r] * rest[r]
    return worth


@compiled
def _scores(rest: Numbers, spent: Floats, costs: Floats, gives: Numbers, prices: Floats) -> Floats:
    """Cost so far and worth of what is still needed: each state with no column, then with each."""
    ways = len(costs) + 1
    scores = np.empty(len(spent) * ways)
    for s in range(len(spent)):
        scores[s * ways] = spent[s] + _worth(rest[s], prices)
        for c in range(len(costs)):
            score = spent[s] + costs[c]
            useful = False
            for r in range(rest.shape[1]):
                short = rest[s, r]
                if short > 0 and gives[c, r] > 0:
                    useful = True
                    short = max(0, short - gives[c, r])
                score += prices[r] * short
            scores[s * ways + c + 1] = score if useful else np.inf
    return scores


@compiled
def _slot(seen: Numbers, states: Numbers, state: Numbers) -> int:
    """Where a state stands in a table of states, or the empty place where it would stand."""
    mixed = 0
    for r in range(len(state)):
        mixed = (mixed ^ state[r]) * 1_099_511_628_211
    at = (mixed ^ (mixed >> 29)) & (len(seen) - 1)
    while seen[at] >= 0:
        same = True
        for r in range(len(state)):
            if states[seen[at], r] != state[r]:
                same = False
                break
        if same:
            return at
        at = (at + 1) & (len(seen) - 1)
    return at


@compiled
def _carried(
    rest: Numbers,
    spent: Floats,
    costs: Floats,
    gives: Numbers,
    first: int,
    last: int,
    scores: Floats,
    parents: Numbers,
    taken: Numbers,
) -> tuple[Numbers, Floats]:
    """The best states after a stage, each once; where they come from is noted."""
    width, ways = len(parents), last - first + 1
    slots = 4
    while slots < 4 * width:
        slots *= 2
    seen = np.full(slots, -1, np.int64)
    after, paid = np.zeros((width, rest.shape[1]), np.int64), np.zeros(width)
    kept = 0
    for which in np.argsort(scores):
        if kept == width or scores[which] == np.inf:
            break
        s, c = which // ways, first + which % ways - 1
        after[kept] = rest[s] if c < first else np.maximum(0, rest[s] - gives[c])
        at = _slot(seen, after, after[kept])
        if seen[at] >= 0:
            continue
        seen[at] = kept
        paid[kept] = spent[s] if c < first else spent[s] + costs[c]
        parents[kept] = s
        taken[kept] = c if c >= first else -1
        kept += 1
    return after[:kept].copy(), paid[:kept].copy()
