"""A choice stage by stage: what is still needed, and what was lost on the way there."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from seamwright.rack.grid import Floats
from seamwright.rack.kernels.arrays import Counts, Ints, Numbers
from seamwright.rack.kernels.compiled import compiled

_MIX = np.uint64(0x9E3779B97F4A7C15)
_SHIFT = np.uint64(29)
_NONE = np.uint64(0)
_LOW = np.uint64(0x7FFFFFFF)
_CLOSELY = 10
"""How many columns ruled out at once take as long as one that is not."""


class Stages(NamedTuple):
    """Columns stage by stage, each stage's by what they lose, and what not using a stage loses.

    Attributes:
        starts: first column of each stage, and their number.
        loss, gives: of each column.
        skips: what each stage loses if none of its columns is used.
        prices: of a unit of each row that is more than needed.
        short: of a unit of each row that is missing in the end.
    """

    starts: Numbers
    loss: Floats
    gives: Counts
    skips: Floats
    prices: Floats
    short: Floats


class States(NamedTuple):
    """Choices so far, told apart by what they still need.

    Attributes:
        rest: what is still needed.
        lost: so far.
        least: what each loses in the end, at least.
        before, taken: the state each comes from, and the column; -1 for none.
    """

    rest: Counts
    lost: Floats
    least: Floats
    before: Ints
    taken: Ints


class Pairs(NamedTuple):
    """Pairs of rows, and what is lost from each stage on to meet the two of them.

    Attributes:
        one, other: the rows.
        wide, step: what counts for a unit of one and of the other in finding a place in ``lost``.
        lost: at [stage, pair, rest of one * wide + rest of other * step].
    """

    one: Numbers
    other: Numbers
    wide: Numbers
    step: Numbers
    lost: Floats


@compiled
def pairs_of(stages: Stages, needs: Counts) -> Pairs:
    """What is lost from each stage on to meet a pair of rows, whatever becomes of the others."""
    rows, last = len(needs), len(stages.skips)
    number = max(1, rows * (rows - 1) // 2)
    one, other = np.zeros(number, np.int64), np.zeros(number, np.int64)
    n = 0
    for a in range(rows):
        for b in range(a + 1, rows):
            one[n], other[n] = a, b
            n += 1
    wide, step = np.ones(number, np.int64), np.zeros(number, np.int64)
    size = 1
    for q in range(number):
        if one[q] != other[q]:
            wide[q], step[q] = needs[other[q]] + 1, 1
        size = max(size, (needs[one[q]] + 1) * wide[q])
    lost = np.zeros((last + 1, number, size))
    most = np.zeros(rows, np.int64)
    for c in range(len(stages.loss)):
        for r in range(rows):
            most[r] = max(most[r], stages.gives[c, r])
    for q in range(number):
        a, b = one[q], other[q]
        if a != b:
            _fill(lost[:, q], stages, a, b, needs[a], needs[b], most[a], most[b])
    return Pairs(one, other, wide, step, lost)


@compiled
def _fill(
    lost: Floats, stages: Stages, a: int, b: int, need_a: int, need_b: int, most_a: int, most_b: int
) -> None:
    """One pair from the last stage to the first."""
    wide, last = need_b + 1, len(stages.skips)
    price_a, price_b = stages.prices[a], stages.prices[b]
    for i in range(need_a + 1):
        for j in range(wide):
            lost[last, i * wide + j] = stages.short[a] * i + stages.short[b] * j
    best = np.empty((most_a + 1, most_b + 1))
    for k in range(last - 1, -1, -1):
        best[:] = np.inf
        for c in range(stages.starts[k], stages.starts[k + 1]):
            x, y = stages.gives[c, a], stages.gives[c, b]
            best[x, y] = min(best[x, y], stages.loss[c])
        after, now = lost[k + 1], lost[k]
        for n in range((need_a + 1) * wide):
            now[n] = after[n] + stages.skips[k]
        for x in range(most_a + 1):
            for y in range(most_b + 1):
                loss = best[x, y]
                if loss == np.inf:
                    continue
                for i in range(need_a + 1):
                    paid = loss + price_a * max(0, x - i)
                    low = max(0, i - x) * wide
                    for j in range(wide):
                        whole = paid + price_b * max(0, y - j) + after[low + max(0, j - y)]
                        now[i * wide + j] = min(now[i * wide + j], whole)


@compiled
def least_of(pairs: Pairs, stage: int, rest: Counts) -> float:
    """What a choice loses from a stage on, at least."""
    return float(_strictest(pairs, pairs.lost[stage], rest, np.inf)[0])


@compiled
def _strictest(pairs: Pairs, lost: Floats, rest: Counts, enough: float) -> tuple[float, int]:
    """What the strictest pair says is lost, and which it is; the first to say enough will do."""
    most, which = 0.0, 0
    for q in range(len(pairs.one)):
        at = rest[pairs.one[q]] * pairs.wide[q] + rest[pairs.other[q]] * pairs.step[q]
        if lost[q, at] > most:
            most, which = lost[q, at], q
            if most >= enough:
                break
    return most, which


@compiled
def _next(
    rest: Counts,
    base: float,
    c: int,
    last: int,
    stages: Stages,
    pairs: Pairs,
    likely: int,
    after: Floats,
    cut: float,
    ceiling: float,
) -> tuple[int, float, int]:
    """The next column that one pair of rows does not rule out, and the least that others lose.

    Its number is that of the last one where none is left that could be carried on.
    """
    a, b, wide, step = (
        pairs.one[likely],
        pairs.other[likely],
        pairs.wide[likely],
        pairs.step[likely],
    )
    x, y, price_x, price_y = rest[a], rest[b], stages.prices[a], stages.prices[b] * step
    dropped = np.inf
    for n in range(c, last):
        least = base + stages.loss[n]
        if least >= cut:
            return last, _lower(dropped, least, ceiling), n + 1 - c
        i, j = x - stages.gives[n, a], y - stages.gives[n, b]
        least += price_x * max(0, -i) + price_y * max(0, -j)
        least += after[likely, max(0, i) * wide + max(0, j) * step]
        if least < cut:
            return n, dropped, n + 1 - c
        dropped = _lower(dropped, least, ceiling)
    return last, dropped, last - c


@compiled
def _lower(dropped: float, least: float, ceiling: float) -> float:
    return min(dropped, least) if least < ceiling else dropped


@compiled
def _taken(rest: Counts, gives: Counts, c: int, prices: Floats, left: Counts) -> float:
    """What is left to meet after a column; worth of what is too much, ∞ where it is of no use."""
    useful, over = False, 0.0
    for r in range(len(rest)):
        x, y = rest[r], gives[c, r]
        useful = useful or (x > 0 and y > 0)
        over += prices[r] * max(0, y - x)
        left[r] = max(0, x - y)
    return over if useful else np.inf


@compiled
def _slot(seen: Ints, rest: Counts, state: Counts) -> int:
    """Where a state stands in a table of states, or the empty place where it would stand."""
    mixed = _NONE
    for r in range(len(state)):
        mixed = (mixed ^ np.uint64(state[r])) * _MIX
        mixed ^= mixed >> _SHIFT
    at = np.int64(mixed & _LOW) & (len(seen) - 1)
    while seen[at] >= 0:
        j, same = seen[at], True
        for r in range(len(state)):
            if rest[j, r] != state[r]:
                same = False
                break
        if same:
            return int(at)
        at = (at + 1) & (len(seen) - 1)
    return int(at)


@compiled
def _table(room: int, rows: int) -> States:
    return States(
        np.empty((room, rows), np.int16),
        np.empty(room),
        np.empty(room),
        np.empty(room, np.int32),
        np.empty(room, np.int32),
    )


@compiled
def _cleared(states: States, n: int, seen: Ints) -> float:
    """Keep the best half of a full table; what the best of the others loses at least."""
    order = np.argsort(states.least[:n], kind="mergesort")
    kept = np.sort(order[: n // 2])
    dropped = states.least[order[n // 2]]
    seen[:] = -1
    for new in range(len(kept)):
        old = kept[new]
        states.rest[new] = states.rest[old]
        states.lost[new], states.least[new] = states.lost[old], states.least[old]
        states.before[new], states.taken[new] = states.before[old], states.taken[old]
        seen[_slot(seen, states.rest, states.rest[new])] = new
    return float(dropped)


@compiled
def _put(
    states: States, n: int, seen: Ints, rest: Counts, lost: float, least: float, s: int, c: int
) -> int:
    """Keep a state if it lost less than any with the same needs; how many there are then."""
    at = _slot(seen, states.rest, rest)
    j = seen[at]
    if j < 0:
        j, n = n, n + 1
        seen[at] = j
        states.rest[j] = rest
    elif states.lost[j] <= lost:
        return n
    states.lost[j], states.least[j] = lost, least
    states.before[j], states.taken[j] = s, c
    return n


@compiled
def _spread(
    had: States,
    s: int,
    stage: int,
    stages: Stages,
    pairs: Pairs,
    ceiling: float,
    now: States,
    n: int,
    seen: Ints,
    cut: float,
    likely: int,
) -> tuple[int, float, float, int, int]:
    """One state with no column of a stage, and with each.

    Returns:
        How many states there are, what has to be lost to be dropped, the least that something
        dropped loses, columns looked at, and the pair of rows that ruled the last one out.
    """
    dropped, after = np.inf, pairs.lost[stage + 1]
    first, last = stages.starts[stage], stages.starts[stage + 1]
    rest, base = had.rest[s], had.lost[s]
    left, lost, c, tried = rest.copy(), base + stages.skips[stage], first - 1, 1
    while True:
        most, which = _strictest(pairs, after, left, cut - lost)
        least = lost + most
        if least >= cut:
            dropped, likely = _lower(dropped, least, ceiling), which
        else:
            if n == len(now.lost):
                cut = _cleared(now, n, seen)
                dropped, n = min(dropped, cut), n // 2
            n = _put(now, n, seen, left, lost, least, s, c if c >= first else -1)
        c, lowest, looked = _next(
            rest, base, c + 1, last, stages, pairs, likely, after, cut, ceiling
        )
        dropped, tried = min(dropped, lowest), tried + looked + _CLOSELY
        if c == last:
            break
        lost = base + stages.loss[c] + _taken(rest, stages.gives, c, stages.prices, left)
    return n, cut, dropped, tried, likely


@compiled
def advanced(
    had: States, stage: int, stages: Stages, pairs: Pairs, ceiling: float, width: int, work: int
) -> tuple[States, float, int]:
    """States after a stage, what the best of those that were dropped loses, and work done.

    Args:
        had: states before it, those that lose least first.
        stage: of ``stages``.
        stages, pairs: as described there.
        ceiling: what loses as much in the end is not carried on.
        width: states kept at most; the rest is dropped.
        work: columns tried at most, more or less; states left over are dropped.
    """
    now = _table(2 * width, had.rest.shape[1])
    slots = 4
    while slots < 4 * width:
        slots *= 2
    seen = np.full(slots, -1, np.int32)
    n = done = likely = 0
    dropped, cut = np.inf, ceiling
    for s in range(len(had.lost)):
        if done > work or had.least[s] >= cut:
            dropped = min(dropped, had.least[s])
            break
        n, cut, lowest, tried, likely = _spread(
            had, s, stage, stages, pairs, ceiling, now, n, seen, cut, likely
        )
        dropped, done = min(dropped, lowest), done + tried
    order = np.argsort(now.least[:n], kind="mergesort")
    if n > width:
        dropped = min(dropped, now.least[order[width]])
        order = order[:width]
    return (
        States(
            now.rest[order],
            now.lost[order],
            now.least[order],
            now.before[order],
            now.taken[order],
        ),
        dropped,
        done,
    )
