"""A board on the planning grid.

Cells along the board, units across. Every blank takes its size plus one kerf (its *pitch*), so
on the grid there is no kerf: blanks, sections and strips lie edge to edge. Blanks are rounded
up, boards down and flaws outwards; a plan on the grid is always a plan on the wood.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from seamwright.rack.boards import Board
from seamwright.rack.rules import CutRules

Floats = NDArray[np.float64]
_EPS = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """A rectangle to be cut: one way to get the stick of one demand row.

    Attributes:
        row: the row of its problem it helps.
        stick: index of the stick wanted in the whole demand.
        variant: index among the row's ways.
        along, across: pitch [cells, units].
        gives: sticks' worth it adds to the row, in the row's own units.
        work: what gluing it to others counts.
    """

    row: int
    stick: int
    variant: int
    along: int
    across: int
    gives: int
    work: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class GridFlaw:
    """A flaw with clearance on the grid: what a pitch rectangle may not overlap."""

    x0: int
    x1: int
    y0: int
    y1: int


@dataclass(frozen=True, slots=True, kw_only=True)
class GridBoard:
    """One board (or a kind of board that can be bought) on the grid.

    Attributes:
        board: the board.
        cells, units: room along and across, one kerf included.
        flaws: with clearance.
        cost: what using it up counts.
        credit: what a leftover gives back [per mm²].
        limit: how many there are.
        rest: credit of the leftover from each cell to the far end; 0 where too short.
        head: credit of the leftover before each cell; 0 where too short.
    """

    board: Board
    cells: int
    units: int
    flaws: tuple[GridFlaw, ...]
    cost: float
    credit: float
    limit: int
    rest: Floats
    head: Floats


def pitch(size_mm: float, kerf_mm: float, step_mm: float) -> int:
    """Grid steps a blank of this size takes, with its kerf."""
    return math.ceil((size_mm + kerf_mm) / step_mm - _EPS)


def room(size_mm: float, kerf_mm: float, step_mm: float) -> int:
    """Grid steps in a usable length: whole steps only, with the last cut's kerf in the trim."""
    return max(0, math.floor((size_mm + kerf_mm) / step_mm + _EPS))


def usable(board: Board, rules: CutRules) -> tuple[float, float]:
    """Length and width between the trims [mm]."""
    return (
        board.length_mm - 2 * rules.end_trim_mm,
        board.width_mm - 2 * rules.edge_trim_mm,
    )


def grid_board(
    board: Board, rules: CutRules, *, cost: float, credit: float, limit: int
) -> GridBoard:
    """Put a board on the grid."""
    length, width = usable(board, rules)
    cells = room(length, rules.crosscut_kerf_mm, rules.grid.along_mm)
    units = room(width, rules.rip_kerf_mm, rules.grid.across_mm)
    if length <= 0 or width <= 0:
        cells = units = 0
    boxes = flaw_boxes(board, rules)
    rest, head = _end_credits(boxes, cells, length, width, rules=rules, credit=credit)
    return GridBoard(
        board=board,
        cells=cells,
        units=units,
        flaws=tuple(f for box in boxes if (f := _grid_flaw(box, rules, cells, units)) is not None),
        cost=cost,
        credit=credit,
        limit=limit,
        rest=rest,
        head=head,
    )


def flaw_boxes(board: Board, rules: CutRules) -> tuple[tuple[float, float, float, float], ...]:
    """Flaws with clearance as (x0, y0, x1, y1) [mm] from the usable corner, clipped to it.

    A flaw is never thinner than a kerf, so a cut on one side of it never spoils the other side.
    """
    length, width = usable(board, rules)
    boxes = []
    for flaw in board.flaws:
        grow_x = max(rules.clearance_mm, (rules.crosscut_kerf_mm - flaw.length_mm) / 2)
        grow_y = max(rules.clearance_mm, (rules.rip_kerf_mm - flaw.width_mm) / 2)
        x0 = max(0.0, flaw.x_mm - grow_x - rules.end_trim_mm)
        x1 = min(length, flaw.x_mm + flaw.length_mm + grow_x - rules.end_trim_mm)
        y0 = max(0.0, flaw.y_mm - grow_y - rules.edge_trim_mm)
        y1 = min(width, flaw.y_mm + flaw.width_mm + grow_y - rules.edge_trim_mm)
        if x0 < x1 and y0 < y1:
            boxes.append((x0, y0, x1, y1))
    return tuple(boxes)


def _grid_flaw(
    box: tuple[float, float, float, float], rules: CutRules, cells: int, units: int
) -> GridFlaw | None:
    along, across = rules.grid.along_mm, rules.grid.across_mm
    x0 = math.floor((box[0] + rules.crosscut_kerf_mm) / along + _EPS) if box[0] > 0 else 0
    y0 = math.floor((box[1] + rules.rip_kerf_mm) / across + _EPS) if box[1] > 0 else 0
    x1 = math.ceil(box[2] / along - _EPS)
    y1 = math.ceil(box[3] / across - _EPS)
    length_end, width_end = cells, units
    flaw = GridFlaw(
        x0=min(x0, x1),
        x1=min(max(x0, x1), length_end),
        y0=min(y0, y1),
        y1=min(max(y0, y1), width_end),
    )
    return flaw if flaw.x0 < flaw.x1 and flaw.y0 < flaw.y1 else None


def _end_credits(
    boxes: tuple[tuple[float, float, float, float], ...],
    cells: int,
    length: float,
    width: float,
    *,
    rules: CutRules,
    credit: float,
) -> tuple[Floats, Floats]:
    starts = np.arange(cells + 1) * rules.grid.along_mm
    if cells == 0 or width < rules.keep_width_mm:
        return np.zeros(cells + 1), np.zeros(cells + 1)
    at, clear = clear_area(boxes, length, width)
    rest = clear[-1] - np.interp(starts, at, clear)
    rest[length - starts < rules.keep_length_mm - _EPS] = 0.0
    ends = np.maximum(starts - rules.crosscut_kerf_mm, 0.0)
    head = np.interp(ends, at, clear)
    head[ends < rules.keep_length_mm - _EPS] = 0.0
    return rest * credit, head * credit


def clear_area(
    boxes: tuple[tuple[float, float, float, float], ...], length: float, width: float
) -> tuple[Floats, Floats]:
    """Breakpoints along the board and the area [mm²] free of flaws up to each of them."""
    marks = {0.0, length, *(b[0] for b in boxes), *(b[2] for b in boxes)}
    at = sorted(m for m in marks if 0 <= m <= length)
    total = [0.0]
    for a, b in itertools.pairwise(at):
        spans = sorted((y0, y1) for x0, y0, x1, y1 in boxes if x0 < b and x1 > a)
        total.append(total[-1] + (b - a) * (width - covered(spans)))
    return np.array(at), np.array(total)


def covered(spans: list[tuple[float, float]]) -> float:
    """Length that sorted spans cover together."""
    done, reach = 0.0, -math.inf
    for lo, hi in spans:
        if hi > reach:
            done += hi - max(lo, reach)
            reach = hi
    return done
