"""Where sections and zones may lie on flawed boards, worked out once before pricing.

A *section* has a length from the menu and may start at any cell; what is clear across it changes
only where a flaw enters or leaves. A *zone* runs between ends of flaws (or of the board) and has
flaws inside, which are cut out of its strips one strip at a time; the whole board is a zone, so
ripping first is among the choices. Distinct cases are numbered, so that pricing fills a short
table and spreads it by index.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from seamwright.rack.grid import GridBoard, GridFlaw
from seamwright.rack.rules import Order
from seamwright.rack.tables import Menu

Ints = NDArray[np.int32]
Spans = tuple[tuple[int, int], ...]
_MOST_ZONES = 24


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """A length of one board ripped with its flaws inside.

    Attributes:
        board: index of the board among its kind.
        a, b: pitch along [cells].
        flaws: that reach into it.
        free: units from which no flaw is met; what is left above may be kept.
    """

    board: int
    a: int
    b: int
    flaws: tuple[GridFlaw, ...]
    free: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Places:
    """Cases of sections and strips, and which case holds where.

    Attributes:
        section_cases: (section, clear spans across); case 0 is "does not fit".
        section_at: case at [board, section, cell].
        zones: of all boards.
        strip_cases: (width, clear spans along); case 0 is "does not fit".
        strip_at: case at [zone, width, unit].
    """

    section_cases: tuple[tuple[int, Spans], ...]
    section_at: Ints
    zones: tuple[Zone, ...]
    strip_cases: tuple[tuple[int, Spans], ...]
    strip_at: Ints


def places(
    menu: Menu, boards: tuple[GridBoard, ...], *, least: int, order: Order = Order.EITHER
) -> Places:
    """Work out all cases; ``least`` is the shortest zone [cells].

    Ripping first leaves the whole board as the only zone and no sections; crosscutting first
    leaves no zone that is longer than the longest section.
    """
    section_cases: dict[tuple[int, Spans], int] = {(-1, ()): 0}
    section_at = np.zeros((len(boards), len(menu.sections), menu.cells + 1), dtype=np.int32)
    for b, board in enumerate(boards):
        for s, length in enumerate(menu.sections if order is not Order.RIP else ()):
            _mark_section(section_at[b, s], section_cases, board, s, length)
    longest = max(menu.sections, default=0)
    zones = tuple(
        z
        for b, board in enumerate(boards)
        for z in _zones(b, board, least)
        if order is Order.EITHER
        or (order is Order.RIP and z.b - z.a == board.cells)
        or (order is Order.CROSSCUT and z.b - z.a <= longest)
    )
    strip_cases: dict[tuple[int, Spans], int] = {(-1, ()): 0}
    strip_at = np.zeros((len(zones), len(menu.widths), menu.units + 1), dtype=np.int32)
    for z, zone in enumerate(zones):
        for w, width in enumerate(menu.widths):
            _mark_strip(strip_at[z, w], strip_cases, zone, w, width, units=boards[zone.board].units)
    return Places(
        section_cases=tuple(section_cases),
        section_at=section_at,
        zones=zones,
        strip_cases=tuple(strip_cases),
        strip_at=strip_at,
    )


def gaps(blocked: list[tuple[int, int]], lo: int, hi: int) -> Spans:
    """Clear spans between lo and hi."""
    out, at = [], lo
    for a, b in sorted(blocked):
        if a > at:
            out.append((at, min(a, hi)))
        at = max(at, b)
    if at < hi:
        out.append((at, hi))
    return tuple(out)


def _mark_section(
    row: Ints,
    cases: dict[tuple[int, Spans], int],
    board: GridBoard,
    s: int,
    length: int,
) -> None:
    last = board.cells - length
    if last < 0:
        return
    turns = {0, last + 1}
    for flaw in board.flaws:
        turns.update((flaw.x0 - length + 1, flaw.x1))
    marks = sorted(t for t in turns if 0 <= t <= last + 1)
    for a, b in itertools.pairwise(marks):
        blocked = [(f.y0, f.y1) for f in board.flaws if a + length > f.x0 and a < f.x1]
        case = (s, gaps(blocked, 0, board.units))
        row[a:b] = cases.setdefault(case, len(cases))


def _mark_strip(
    row: Ints,
    cases: dict[tuple[int, Spans], int],
    zone: Zone,
    w: int,
    width: int,
    *,
    units: int,
) -> None:
    last = units - width
    if last < 0:
        return
    turns = {0, last + 1}
    for flaw in zone.flaws:
        turns.update((flaw.y0 - width + 1, flaw.y1))
    marks = sorted(t for t in turns if 0 <= t <= last + 1)
    for a, b in itertools.pairwise(marks):
        blocked = [(f.x0, f.x1) for f in zone.flaws if a + width > f.y0 and a < f.y1]
        case = (w, gaps(blocked, zone.a, zone.b))
        row[a:b] = cases.setdefault(case, len(cases))


def _zones(index: int, board: GridBoard, least: int) -> list[Zone]:
    starts = sorted({0, *(f.x1 for f in board.flaws)})
    ends = sorted({board.cells, *(f.x0 for f in board.flaws)})
    found = []
    for a in starts:
        for b in ends:
            inside = tuple(f for f in board.flaws if f.x0 < b and f.x1 > a)
            if b - a >= least:
                free = max((f.y1 for f in inside), default=0)
                found.append(Zone(board=index, a=a, b=b, flaws=inside, free=free))
    found.sort(key=lambda z: (z.a - z.b, z.a))
    return found[:_MOST_ZONES]
