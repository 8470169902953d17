"""Counts of rows packed into words, and lists of contents with how each came about."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from seamwright.rack.grid import Floats
from seamwright.rack.kernels.arrays import Bits, Counts, Ints
from seamwright.rack.kernels.labels import Limits

TINY = 1e-9
_WORD = 64


class TooManyError(Exception):
    """More partial patterns than allowed."""


@dataclass(frozen=True, slots=True)
class Keys:
    """Counts of rows packed into a few words.

    Attributes:
        tops: most of each row.
        word, shift, bits: where each row's field is; above each lies a bit that guards it.
        comp, guard: a key breaks a limit where ``(key + comp) & guard`` is not 0.
    """

    tops: tuple[int, ...]
    word: tuple[int, ...]
    shift: tuple[int, ...]
    bits: tuple[int, ...]
    comp: Bits
    guard: Bits

    def packed(self, row: int, count: int) -> Bits:
        """The key of so many of one row."""
        key = np.zeros(len(self.comp), np.uint64)
        key[self.word[row]] = np.uint64(count << self.shift[row])
        return key

    def unpacked(self, key: Bits) -> tuple[int, ...]:
        """Count of each row.

        Example:
            >>> keys = keys_of((3, 7))
            >>> keys.unpacked(keys.packed(0, 2) + keys.packed(1, 5))
            (2, 5)
        """
        return tuple(
            int(key[w]) >> at & ((1 << bits) - 1)
            for w, at, bits in zip(self.word, self.shift, self.bits, strict=True)
        )

    def counts(self, keys: Bits) -> Counts:
        """Counts of each row, a line for every key."""
        mask = np.array([(1 << bits) - 1 for bits in self.bits], np.uint64)
        fields = keys[:, list(self.word)] >> np.array(self.shift, np.uint64)
        return (fields & mask).astype(np.int16)

    def narrowed(self, limits: tuple[int, ...]) -> Keys:
        """The same fields with limits no higher."""
        comp = np.zeros(len(self.comp), np.uint64)
        for row, (limit, bits) in enumerate(zip(limits, self.bits, strict=True)):
            comp += self.packed(row, (1 << bits) - 1 - limit)
        return Keys(limits, self.word, self.shift, self.bits, comp, self.guard)

    def limits(
        self, *, dimmed: Floats | None = None, back: float = 0.0, low: tuple[int, ...] = ()
    ) -> Limits:
        """As the kernels take them."""
        rows = len(self.tops)
        return Limits(
            self.comp,
            self.guard,
            np.array(self.word, np.int64),
            np.array(self.shift, np.uint64),
            np.array([(1 << bits) - 1 for bits in self.bits], np.uint64),
            np.zeros(rows) if dimmed is None else dimmed,
            back,
            np.array(low or (0,) * rows, np.int64),
        )


def keys_of(limits: tuple[int, ...]) -> Keys:
    """Fields wide enough for twice each limit."""
    words, shifts, bits_of = [], [], []
    word = at = 0
    for limit in limits:
        bits = limit.bit_length()
        if at + bits + 1 > _WORD:
            word, at = word + 1, 0
        words.append(word)
        shifts.append(at)
        bits_of.append(bits)
        at += bits + 1
    number = word + 1
    guard = np.zeros(number, np.uint64)
    for word, at, bits in zip(words, shifts, bits_of, strict=True):
        guard[word] += np.uint64(1 << (at + bits))
    nothing = np.zeros(number, np.uint64)
    keys = Keys(limits, tuple(words), tuple(shifts), tuple(bits_of), nothing, guard)
    return keys.narrowed(limits)


class Store:
    """Lists of contents, best first, and the chains that tell what each entry is made of.

    A chain is a row of ``nodes``: the one before, a part, and two numbers of its own; what they
    mean depends on what the list is of.
    """

    def __init__(self, words: int) -> None:
        self.worth: Floats = np.empty(1024)
        self.key: Bits = np.empty((1024, words), np.uint64)
        self.node: Ints = np.empty(1024, np.int32)
        self.nodes: Ints = np.empty((1024, 4), np.int32)
        self._entries = self._chains = 0

    def put(self, worth: Floats, key: Bits, node: Ints) -> tuple[int, int]:
        """One more list; where it begins and how long it is."""
        first, count = self._entries, len(worth)
        last = first + count
        if last > len(self.worth):
            room = max(last, 2 * len(self.worth))
            self.worth = _longer(self.worth, room)
            self.key = _longer(self.key, room)
            self.node = _longer(self.node, room)
        self.worth[first:last], self.key[first:last], self.node[first:last] = worth, key, node
        self._entries = last
        return first, count

    def chain(self, before: Ints, part: Ints, slot: Ints, start: Ints) -> int:
        """More nodes, whose ``before`` counts from the first of them; where that is."""
        first = self._chains
        last = first + len(before)
        if last > len(self.nodes):
            self.nodes = _longer(self.nodes, max(last, 2 * len(self.nodes)))
        new = self.nodes[first:last]
        new[:, 0] = np.where(before >= 0, before + first, -1)
        new[:, 1], new[:, 2], new[:, 3] = part, slot, start
        self._chains = last
        return first


A = TypeVar("A", bound=np.generic)


def _longer(array: NDArray[A], room: int) -> NDArray[A]:
    longer = np.empty((room, *array.shape[1:]), array.dtype)
    longer[: len(array)] = array
    return longer
