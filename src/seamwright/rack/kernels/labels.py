"""Partial patterns, extended from position to position while they can still beat a floor.

Counts of all rows live in a few 64-bit words, a field of bits per row, so that adding two and
comparing them with every limit are one operation a word. Labels with the same counts at the same
position are kept once, found by an open-addressing hash (linear probing: Knuth, vol. 3, 6.4).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from seamwright.rack.grid import Floats
from seamwright.rack.kernels.arrays import Bits, Ints, Numbers
from seamwright.rack.kernels.compiled import compiled

TINY = 1e-9
_MIX = np.uint64(0x9E3779B97F4A7C15)
_SHIFT = np.uint64(29)
_NONE = np.uint64(0)


class Limits(NamedTuple):
    """What a pattern may give, and prices it is counted at.

    Attributes:
        comp, guard: a key breaks a limit where ``(key + comp) & guard`` is not 0.
        word, shift, mask: where each row's field is.
        dimmed: what the price of each row was lowered by while partial patterns are judged.
        back: no pattern gets more than this back of it.
        low: least of each row.
    """

    comp: Bits
    guard: Bits
    word: Numbers
    shift: Bits
    mask: Bits
    dimmed: Floats
    back: float
    low: Numbers


class Lists(NamedTuple):
    """Contents by case, best first: where each case's entries start and how many they are."""

    first: Numbers
    number: Numbers
    worth: Floats
    key: Bits


class Moves(NamedTuple):
    """Steps along a line: items that may start anywhere, and arcs tied to a place.

    Attributes:
        lengths: of the items, ascending or not.
        at: case of each item at each start; 0 where it does not fit.
        arc_at, arc_end, arc_case: arcs, by their start.
    """

    lengths: Numbers
    at: Ints
    arc_at: Numbers
    arc_end: Numbers
    arc_case: Numbers


class Line(NamedTuple):
    """A line to be filled.

    Attributes:
        opens: worth of starting at each position; −∞ where nothing may start.
        ends: worth of stopping at each position.
        most: the most that can be won from each position on, ``ends`` included.
    """

    opens: Floats
    ends: Floats
    most: Floats


class Table(NamedTuple):
    """Labels: worth, counts, position, and how they came about."""

    worth: Floats
    key: Bits
    at: Ints
    before: Ints
    part: Ints
    slot: Ints
    start: Ints
    follows: Ints
    heads: Ints
    slots: Ints
    size: Numbers


@compiled
def _table(room: int, words: int, positions: int) -> Table:
    return Table(
        np.empty(room),
        np.empty((room, words), np.uint64),
        np.empty(room, np.int32),
        np.empty(room, np.int32),
        np.empty(room, np.int32),
        np.empty(room, np.int32),
        np.empty(room, np.int32),
        np.empty(room, np.int32),
        np.full(positions, -1, np.int32),
        np.full(2 * room, -1, np.int32),
        np.zeros(1, np.int64),
    )


@compiled
def _place(slots: Ints, keys: Bits, at: Ints, x: int, key: Bits) -> int:
    """Slot of a position and key: where it is, or the free one where it belongs."""
    h = np.uint64(x) * _MIX
    for w in range(len(key)):
        h = (h ^ key[w]) * _MIX
        h ^= h >> _SHIFT
    last = len(slots) - 1
    i = np.int64(h & np.uint64(last))
    while True:
        j = slots[i]
        if j < 0:
            return int(i)
        if at[j] == x:
            same = True
            for w in range(len(key)):
                if keys[j, w] != key[w]:
                    same = False
                    break
            if same:
                return int(i)
        i = (i + 1) & last


@compiled
def _grown(t: Table) -> Table:
    """The same labels with room for twice as many."""
    n, room = t.size[0], len(t.worth)
    new = _table(2 * room, t.key.shape[1], len(t.heads))
    new.worth[:n], new.key[:n], new.at[:n] = t.worth[:n], t.key[:n], t.at[:n]
    new.before[:n], new.part[:n], new.slot[:n] = t.before[:n], t.part[:n], t.slot[:n]
    new.start[:n], new.follows[:n] = t.start[:n], t.follows[:n]
    new.heads[:], new.size[0] = t.heads, n
    for j in range(n):
        new.slots[_place(new.slots, new.key, new.at, new.at[j], new.key[j])] = j
    return new


@compiled
def _put(
    t: Table, x: int, key: Bits, worth: float, before: int, part: int, slot: int, start: int
) -> None:
    """Keep a label if it is the best with its counts at its position; there must be room."""
    i = _place(t.slots, t.key, t.at, x, key)
    j = t.slots[i]
    if j < 0:
        j = t.size[0]
        t.size[0] = j + 1
        t.slots[i] = j
        t.at[j] = x
        for w in range(len(key)):
            t.key[j, w] = key[w]
        t.follows[j] = t.heads[x]
        t.heads[x] = j
    elif t.worth[j] >= worth - TINY:
        return
    t.worth[j] = worth
    t.before[j], t.part[j], t.slot[j], t.start[j] = before, part, slot, start


@compiled
def _count(key: Bits, limits: Limits, row: int) -> int:
    return int((key[limits.word[row]] >> limits.shift[row]) & limits.mask[row])


@compiled
def _value(key: Bits, limits: Limits, worth: float) -> float:
    """Worth at true prices, or −∞ where a row gets too little."""
    for row in range(len(limits.dimmed)):
        n = _count(key, limits, row)
        if n < limits.low[row]:
            return -np.inf
        worth += limits.dimmed[row] * n
    return worth


@compiled
def _spread(
    t: Table,
    x: int,
    end: int,
    case: int,
    slot: int,
    floor: float,
    rest: float,
    dull: float,
    lists: Lists,
    limits: Limits,
) -> tuple[Table, int]:
    """Extend all labels at a position by a case's entries; how many were looked at."""
    probe = np.empty(len(limits.comp), np.uint64)
    first = lists.first[case]
    last = first + lists.number[case]
    best, done = lists.worth[first], 0
    j = t.heads[x]
    while j >= 0:
        base = t.worth[j]
        if base >= dull and base + best + rest > floor:
            for k in range(first, last):
                done += 1
                if base + lists.worth[k] + rest <= floor:
                    break
                fits, some = True, False
                for w in range(len(probe)):
                    more = lists.key[k, w]
                    probe[w] = t.key[j, w] + more
                    some = some or more != _NONE
                    if (probe[w] + limits.comp[w]) & limits.guard[w] != _NONE:
                        fits = False
                        break
                if fits and some:
                    if t.size[0] == len(t.worth):
                        t = _grown(t)
                    _put(t, end, probe, base + lists.worth[k], j, k, slot, x)
        j = t.follows[j]
    return t, done


@compiled
def _top(t: Table, x: int) -> float:
    best, j = -np.inf, t.heads[x]
    while j >= 0:
        best = max(best, t.worth[j])
        j = t.follows[j]
    return best


@compiled
def _dull(t: Table, x: int, beam: int) -> float:
    """Worth of the last label that is carried on, where only ``beam`` of a position are."""
    n, j = 0, t.heads[x]
    while j >= 0:
        n += 1
        j = t.follows[j]
    if beam == 0 or n <= beam:
        return -np.inf
    all_of = np.empty(n)
    n, j = 0, t.heads[x]
    while j >= 0:
        all_of[n] = t.worth[j]
        n += 1
        j = t.follows[j]
    return float(np.sort(all_of)[n - beam])


@compiled
def _carry(t: Table, x: int, jump: int, floor: float, most: float) -> Table:
    """Labels at a position kept as they are at a later one, what lies between wasted."""
    j = t.heads[x]
    while j >= 0:
        if t.worth[j] + most > floor:
            if t.size[0] == len(t.worth):
                t = _grown(t)
            key = t.key[j].copy()
            _put(t, jump, key, t.worth[j], t.before[j], t.part[j], t.slot[j], t.start[j])
        j = t.follows[j]
    return t


@compiled
def _steps(
    t: Table,
    x: int,
    moves: Moves,
    line: Line,
    floor: float,
    dull: float,
    lists: Lists,
    limits: Limits,
) -> tuple[Table, int]:
    """Every item and arc that may start at a position; how many entries were looked at."""
    done, top, last = 0, _top(t, x), len(line.ends)
    for s in range(len(moves.lengths)):
        end = x + moves.lengths[s]
        if end < last:
            case = moves.at[s, x]
            if case > 0 and lists.number[case] > 0:
                rest = line.most[end]
                if top + lists.worth[lists.first[case]] + rest > floor:
                    t, n = _spread(t, x, end, case, s, floor, rest, dull, lists, limits)
                    done += n
    for a in range(len(moves.arc_at)):
        case = moves.arc_case[a]
        if moves.arc_at[a] == x and lists.number[case] > 0:
            end = moves.arc_end[a]
            rest = line.most[end]
            if top + lists.worth[lists.first[case]] + rest > floor:
                slot = len(moves.lengths) + a
                t, n = _spread(t, x, end, case, slot, floor, rest, dull, lists, limits)
                done += n
    return t, done


@compiled
def _tell(
    t: Table,
    x: int,
    end: float,
    floor: float,
    limits: Limits,
    empty: bool,
    rising: bool,
    found: Ints,
    worths: Floats,
    told: int,
) -> tuple[Ints, Floats, int, float]:
    """Add the labels at a position that beat the floor; raise it where only better ones count."""
    j = t.heads[x]
    while j >= 0:
        whole = t.worth[j] + end
        some = empty
        for w in range(len(limits.comp)):
            some = some or t.key[j, w] != _NONE
        if some and whole > floor - limits.back:
            value = _value(t.key[j], limits, whole)
            if value > floor:
                if told == len(found):
                    found = np.concatenate((found, found))
                    worths = np.concatenate((worths, worths))
                found[told], worths[told] = j, value
                told += 1
                if rising:
                    floor = value
        j = t.follows[j]
    return found, worths, told, floor


@compiled
def walk(
    moves: Moves,
    line: Line,
    floor: float,
    lists: Lists,
    limits: Limits,
    beam: int,
    budget: int,
    empty: bool,
    rising: bool,
) -> tuple[Table, Ints, Floats, int]:
    """Labels of a line, those whose whole worth beats the floor, that worth, and work done.

    Args:
        moves, line, lists, limits: as described there.
        floor: at true prices.
        beam: labels carried on at a position; 0 for all.
        budget: entries looked at, at most; the work done is -1 where that is not enough.
        empty: whether filling nothing in is worth telling.
        rising: whether only what is better than everything before is told.
    """
    t = _table(256, len(limits.comp), len(line.ends))
    none = np.zeros(len(limits.comp), np.uint64)
    found, worths = np.empty(16, np.int32), np.empty(16)
    told, done = 0, 0
    low = floor - limits.back
    jump = -1
    after = np.full(len(line.ends), -1, np.int64)
    for x in range(len(line.ends) - 1, -1, -1):
        after[x] = jump
        if line.opens[x] > -np.inf:
            jump = x
    for x in range(len(line.ends)):
        if line.opens[x] + line.most[x] > low:
            if t.size[0] == len(t.worth):
                t = _grown(t)
            _put(t, x, none, line.opens[x], -1, -1, -1, x)
        if t.heads[x] < 0:
            continue
        found, worths, told, floor = _tell(
            t, x, line.ends[x], floor, limits, empty, rising, found, worths, told
        )
        low = floor - limits.back
        if after[x] >= 0:
            t = _carry(t, x, after[x], low, line.most[after[x]])
        t, n = _steps(t, x, moves, line, low, _dull(t, x, beam), lists, limits)
        done += n
        if done > budget:
            return t, found[:0], worths[:0], -1
    return t, found[:told], worths[:told], done
