"""How to gather the slabs between parallel seams into one glue-up.

All at once is often best, never always: rows of plain stripes, a unit that repeats, or a block in
a row of others can be cheaper kept together and glued first. And nobody closes twenty-four seams in
one open time.
"""

from __future__ import annotations

from collections.abc import Sequence

Groups = tuple[tuple[int, int], ...]
"""Consecutive slabs as half-open ranges (first, after last)."""


def groupings(
    kinds: Sequence[int],
    plain: Sequence[bool],
    crossing: Sequence[int],
    most_seams: int,
    *,
    any_run: bool = False,
) -> list[Groups]:
    """Ways to gather slabs, each a partition into at least two consecutive groups.

    Args:
        kinds: kind of each slab, in order across the seams.
        plain: whether each slab is a single piece.
        crossing: seams that run square across each slab, as a bit set.
        most_seams: seams that can be closed in one glue-up.
        any_run: whether every run of neighbours is tried besides, one at a time.
    Returns:
        Distinct partitions: all slabs singly (or in even stages where there are too many seams),
        runs of plain stripes kept together, the longest repeated unit kept together, and
        neighbours kept together that the same seams run square across: a block in a row.
    """
    count = len(kinds)
    found: dict[Groups, None] = {}
    if count - 1 <= most_seams:
        found[tuple((i, i + 1) for i in range(count))] = None
    else:
        found[_even(count, most_seams + 1)] = None
    for groups in (_stripe_runs(plain), _repeats(kinds), _blocks(crossing)):
        if 2 <= len(groups) <= most_seams + 1 and len(groups) < count:
            found[groups] = None
    if any_run:
        found |= dict.fromkeys(_runs_together(count, most_seams))
    return list(found)


def _runs_together(count: int, most_seams: int) -> list[Groups]:
    """Every way to keep one run of neighbours together and glue it first.

    >>> _runs_together(3, 10)
    [((0, 2), (2, 3)), ((0, 1), (1, 3))]
    """
    found = []
    for first in range(count):
        for last in range(first + 2, count + 1):
            before = [(i, i + 1) for i in range(first)]
            after = [(i, i + 1) for i in range(last, count)]
            groups = (*before, (first, last), *after)
            if 2 <= len(groups) <= most_seams + 1:
                found.append(groups)
    return found


def _even(count: int, most: int) -> Groups:
    stages = -(-count // most)
    while -(-count // stages) > most:
        stages += 1
    size = -(-count // min(stages, most))
    return tuple((i, min(i + size, count)) for i in range(0, count, size))


def _stripe_runs(plain: Sequence[bool]) -> Groups:
    groups: list[tuple[int, int]] = []
    i = 0
    while i < len(plain):
        j = i + 1
        while plain[i] and j < len(plain) and plain[j]:
            j += 1
        groups.append((i, j))
        i = j
    return tuple(groups)


def _blocks(crossing: Sequence[int]) -> Groups:
    """Neighbours with the very same seams running square across them, kept together."""
    groups: list[tuple[int, int]] = []
    for i, seams in enumerate(crossing):
        is_same = i > 0 and seams and seams == crossing[i - 1]
        first = groups.pop()[0] if is_same else i
        groups.append((first, i + 1))
    return tuple(groups)


def _repeats(kinds: Sequence[int]) -> Groups:
    """The longest unit of two or more slabs that occurs twice without overlap, kept together."""
    count = len(kinds)
    for size in range(count // 2, 1, -1):
        for start in range(count - 2 * size + 1):
            unit = tuple(kinds[start : start + size])
            hits = _hits(kinds, unit)
            if len(hits) >= 2:
                return _with_units(count, hits, size)
    return ()


def _hits(kinds: Sequence[int], unit: tuple[int, ...]) -> list[int]:
    hits: list[int] = []
    i = 0
    while i + len(unit) <= len(kinds):
        if tuple(kinds[i : i + len(unit)]) == unit:
            hits.append(i)
            i += len(unit)
        else:
            i += 1
    return hits


def _with_units(count: int, hits: list[int], size: int) -> Groups:
    starts = set(hits)
    groups: list[tuple[int, int]] = []
    i = 0
    while i < count:
        width = size if i in starts else 1
        groups.append((i, i + width))
        i += width
    return tuple(groups)
