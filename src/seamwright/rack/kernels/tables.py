"""Dynamic programs of pricing: best worth by length along a strip, a section, a zone, a board."""

from __future__ import annotations

import numpy as np

from seamwright.rack.grid import Floats
from seamwright.rack.kernels.arrays import Ints, Numbers
from seamwright.rack.kernels.compiled import compiled


@compiled
def strips(widths: Numbers, pitches: Numbers, prices: Floats, number: int, cells: int) -> Floats:
    """Best worth of every strip width and pitch along.

    Args:
        widths, pitches, prices: width index, pitch along and price of every blank.
        number: of widths.
        cells: longest.
    """
    table = np.zeros((number, cells + 1))
    for w in range(number):
        for x in range(1, cells + 1):
            best = table[w, x - 1]
            for i in range(len(widths)):
                if widths[i] == w and pitches[i] <= x and prices[i] > 0:
                    best = max(best, table[w, x - pitches[i]] + prices[i])
            table[w, x] = best
    return table


@compiled
def rips(widths: Numbers, worth: Floats, units: int) -> Floats:
    """Best worth of every section and pitch across; ``worth`` of a strip at [width, section]."""
    table = np.zeros((worth.shape[1], units + 1))
    for s in range(worth.shape[1]):
        row = table[s]
        for y in range(1, units + 1):
            best = row[y - 1]
            for w in range(len(widths)):
                if widths[w] > y:
                    break
                best = max(best, row[y - widths[w]] + worth[w, s])
            row[y] = best
    return table


@compiled
def with_leftover(table: Floats, slopes: Floats, keep: int, kerf: float) -> Floats:
    """The rip table where what is left across may go back, if at least ``keep`` units.

    ``slopes`` is what a unit of it gives back, by section; the kerf gives nothing.
    """
    best = table.copy()
    for s in range(table.shape[0]):
        slope, used = slopes[s], -np.inf
        for y in range(keep, table.shape[1]):
            used = max(used, table[s, y - keep] - slope * (y - keep))
            best[s, y] = max(best[s, y], used + slope * (y - kerf))
    return best


@compiled
def zones(widths: Numbers, at: Ints, worth: Floats, units: Numbers, most: int) -> Floats:
    """Best worth of every zone up to every unit; ``worth`` by case of a strip."""
    table = np.zeros((at.shape[0], most + 1))
    for z in range(at.shape[0]):
        row = table[z]
        for y in range(1, most + 1):
            best = row[y - 1]
            if y <= units[z]:
                for w in range(len(widths)):
                    if widths[w] > y:
                        break
                    gain = worth[at[z, w, y - widths[w]]]
                    best = max(best, row[y - widths[w]] + gain)
            row[y] = best
    return table


@compiled
def along(
    lengths: Numbers,
    at: Ints,
    worth: Floats,
    cells: Numbers,
    start: Floats,
    arc_of: Numbers,
    arc_at: Numbers,
    arc_end: Numbers,
    arc_worth: Floats,
) -> Floats:
    """Best worth of every board up to every cell.

    Args:
        lengths, at, worth: of sections; case at [board, section, cell], worth by case.
        cells: of each board.
        start: worth of beginning at each cell.
        arc_of, arc_at, arc_end, arc_worth: zones: board, from, to, worth; by board, then end.
    """
    table = start.copy()
    arc = 0
    for b in range(table.shape[0]):
        row = table[b]
        for x in range(1, table.shape[1]):
            best = max(row[x], row[x - 1])
            if x <= cells[b]:
                for s in range(len(lengths)):
                    before = x - lengths[s]
                    if before < 0:
                        break
                    case = at[b, s, before]
                    if case > 0:
                        best = max(best, row[before] + worth[case])
            while arc < len(arc_of) and arc_of[arc] == b and arc_end[arc] == x:
                best = max(best, row[arc_at[arc]] + arc_worth[arc])
                arc += 1
            row[x] = best
    return table


@compiled
def onward(
    lengths: Numbers,
    at: Ints,
    worth: Floats,
    ends: Floats,
    arc_at: Numbers,
    arc_end: Numbers,
    arc_worth: Floats,
) -> Floats:
    """Best worth of one line from each position on, where ``ends`` is what stopping there gives.

    Items by their case at [item, start], as in the pricing; arcs in any order.
    """
    last = len(ends) - 1
    most = ends.copy()
    for x in range(last - 1, -1, -1):
        best = max(most[x], most[x + 1])
        for s in range(len(lengths)):
            if x + lengths[s] <= last:
                case = at[s, x]
                if case > 0:
                    best = max(best, most[x + lengths[s]] + worth[case])
        for a in range(len(arc_at)):
            if arc_at[a] == x:
                best = max(best, most[arc_end[a]] + arc_worth[a])
        most[x] = best
    return most


@compiled
def slacks(
    lengths: Numbers,
    at: Ints,
    worth: Floats,
    before: Floats,
    beyond: Floats,
    floor: float,
) -> Floats:
    """How far every case can beat a floor at best, wherever it lies on a line; below 0: never.

    Args:
        lengths, at, worth: of items.
        before, beyond: most that is won before and from each position on.
        floor: to beat.
    """
    last = len(beyond) - 1
    best = np.full(len(worth), -1.0)
    for s in range(len(lengths)):
        for x in range(last + 1 - lengths[s]):
            case = at[s, x]
            if case > 0:
                slack = before[x] + worth[case] + beyond[x + lengths[s]] - floor
                best[case] = max(best[case], slack)
    return best
