"""Lists of contents: what fills a strip, what lies side by side, and both put in order.

Nothing here uses kernels of another module: what is kept on disk would not notice them change.
"""

from __future__ import annotations

import numpy as np

from seamwright.rack.grid import Floats
from seamwright.rack.kernels.arrays import Bits, Ints, Numbers
from seamwright.rack.kernels.compiled import compiled
from seamwright.rack.kernels.labels import Limits

_MIX = np.uint64(0x9E3779B97F4A7C15)
_SHIFT = np.uint64(29)
_NONE = np.uint64(0)


@compiled
def ranked(worths: Floats, keys: Bits) -> Numbers:
    """Entries best first, of those with equal counts only the best."""
    room = 2
    while room < 2 * len(worths):
        room *= 2
    slots = np.full(room, -1, np.int64)
    kept = np.empty(len(worths), np.int64)
    n = 0
    for j in np.argsort(-worths):
        h = _MIX
        for w in range(keys.shape[1]):
            h = (h ^ keys[j, w]) * _MIX
            h ^= h >> _SHIFT
        i = np.int64(h & np.uint64(room - 1))
        while slots[i] >= 0 and (keys[slots[i]] != keys[j]).any():
            i = (i + 1) & (room - 1)
        if slots[i] < 0:
            slots[i] = j
            kept[n] = j
            n += 1
    return kept[:n]


@compiled
def fillings(
    table: Floats,
    pitches: Numbers,
    prices: Floats,
    item_keys: Bits,
    length: int,
    floor: float,
    limits: Limits,
    budget: int,
) -> tuple[Floats, Bits, Ints, Ints, int]:
    """What a clear length of a strip may hold: worth, counts, and (before, item) of all labels.

    Args:
        table: best worth of every shorter length.
        pitches, prices, item_keys: of the blanks of this width.
        length: clear length [cells].
        floor: nothing worth less is carried on.
        limits: of the counts.
        budget: labels at most; the number of them is -1 where that is not enough.
    """
    room, words = 64, len(limits.comp)
    worth, key = np.empty(room), np.empty((room, words), np.uint64)
    before, item = np.empty(room, np.int32), np.empty(room, np.int32)
    spare = np.empty(room, np.int64)
    worth[0], before[0], item[0], spare[0] = 0.0, -1, -1, length
    key[0] = _NONE
    n, j = 1, 0
    while j < n:
        for m in range(max(0, item[j]), len(pitches)):
            left = spare[j] - pitches[m]
            if left < 0 or worth[j] + prices[m] + table[left] < floor:
                continue
            if n == len(worth):
                worth, spare = np.concatenate((worth, worth)), np.concatenate((spare, spare))
                before, item = np.concatenate((before, before)), np.concatenate((item, item))
                key = np.concatenate((key, key))
            fits = True
            for w in range(words):
                key[n, w] = key[j, w] + item_keys[m, w]
                if (key[n, w] + limits.comp[w]) & limits.guard[w] != _NONE:
                    fits = False
            if fits:
                worth[n], before[n], item[n], spare[n] = worth[j] + prices[m], j, m, left
                n += 1
        j += 1
        if n > budget:
            return worth[:0], key[:0], before[:0], item[:0], -1
    return worth[:n], key[:n], before[:n], item[:n], n


@compiled
def joined(
    worth_a: Floats,
    key_a: Bits,
    worth_b: Floats,
    key_b: Bits,
    floor: float,
    limits: Limits,
    budget: int,
) -> tuple[Floats, Bits, Ints, Ints, int]:
    """Pairs of entries of two lists, each best first, that reach a floor within the limits.

    Returns:
        Worth, counts, which of each list, and pairs looked at; -1 where they are too many.
    """
    room, words = 64, len(limits.comp)
    worth, key = np.empty(room), np.empty((room, words), np.uint64)
    one, other = np.empty(room, np.int32), np.empty(room, np.int32)
    n = done = 0
    for a in range(len(worth_a)):
        for b in range(len(worth_b)):
            if worth_a[a] + worth_b[b] < floor:
                break
            done += 1
            if n == len(worth):
                worth, key = np.concatenate((worth, worth)), np.concatenate((key, key))
                one, other = np.concatenate((one, one)), np.concatenate((other, other))
            fits = True
            for w in range(words):
                key[n, w] = key_a[a, w] + key_b[b, w]
                if (key[n, w] + limits.comp[w]) & limits.guard[w] != _NONE:
                    fits = False
            if fits:
                worth[n], one[n], other[n] = worth_a[a] + worth_b[b], a, b
                n += 1
        if done > budget:
            return worth[:0], key[:0], one[:0], other[:0], -1
    return worth[:n], key[:n], one[:n], other[:n], done
