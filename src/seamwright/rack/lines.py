"""Best worth along one line: the dynamic program of pricing for a single board or zone."""

from __future__ import annotations

import numpy as np

from seamwright.rack.grid import Floats

Arcs = tuple[tuple[int, int, float], ...]
"""Items tied to a place: start, end, worth."""


def run_line(start: Floats, lengths: tuple[int, ...], gain: Floats, arcs: Arcs) -> Floats:
    """Best worth up to each position; ``gain`` at [length, start], −∞ where it does not fit.

    Example:
        >>> run_line(np.zeros(5), (2,), np.full((1, 5), 3.0), ()).tolist()
        [0.0, 0.0, 3.0, 3.0, 6.0]
    """
    last = len(start) - 1
    table = np.maximum.accumulate(np.array(start, dtype=float))
    step = min([*lengths, *(b - a for a, b, _ in arcs)], default=last + 1)
    for lo in range(step, last + 1, step):
        hi = min(lo + step, last + 1)
        for s, length in enumerate(lengths):
            at = max(lo, length)
            if at < hi:
                part = table[at:hi]
                before = slice(at - length, hi - length)
                np.maximum(part, table[before] + gain[s, before], out=part)
        for a, b, worth in arcs:
            if lo <= b < hi:
                table[b] = max(table[b], table[a] + worth)
        table[lo] = max(table[lo], table[lo - 1])
        np.maximum.accumulate(table[lo:hi], out=table[lo:hi])
    return table


def suffix_line(ends: Floats, lengths: tuple[int, ...], gain: Floats, arcs: Arcs) -> Floats:
    """Best worth from each position on, where ``ends`` is what stopping there gives."""
    last = len(ends) - 1
    turned = np.full((len(lengths), last + 1), -np.inf)
    for s, length in enumerate(lengths):
        if length <= last:
            turned[s, : last + 1 - length] = gain[s, : last + 1 - length][::-1]
    back = tuple((last - b, last - a, worth) for a, b, worth in arcs)
    return run_line(ends[::-1], lengths, turned, back)[::-1]
