"""Patterns cut back to what is needed, and their room filled again with what is still needed.

Pricing knows no limits on copies, so it never proposes a board that holds two of one stick and one
of another where three of either fit. These patterns are made here.
"""

from __future__ import annotations

import numpy as np

from seamwright.rack.grid import Floats, GridBoard
from seamwright.rack.pattern import Section, Strip
from seamwright.rack.places import gaps
from seamwright.rack.price import Kind
from seamwright.rack.problem import Column, Pool, Problem

_MOST_LOCAL, _MOST_LOCAL_SMALL, _SMALL = 15, 40, 14


def fitted(problem: Problem, column: Column, needs: tuple[int, ...]) -> Column:
    """The column without what exceeds the needs; emptied room goes back as leftovers.

    Blanks go from the far end first, so that whole sections fall away where they can.
    """
    over = [g - n for g, n in zip(column.gives, needs, strict=True)]
    if max(over) <= 0:
        return column
    blanks = problem.where(column.place)[0].menu.blanks
    sections: list[Section] = []
    for section in reversed(column.pattern.sections):
        strips = []
        for strip in reversed(section.strips):
            kept = []
            for at, i in reversed(strip.blanks):
                if over[blanks[i].row] >= blanks[i].gives:
                    over[blanks[i].row] -= blanks[i].gives
                else:
                    kept.append((at, i))
            if kept:
                strips.append(strip._replace(blanks=tuple(reversed(kept))))
        if strips:
            sections.append(section._replace(strips=tuple(reversed(strips))))
    return problem.closed(column.place, tuple(reversed(sections)))


def refilled(
    problem: Problem,
    column: Column,
    needs: tuple[int, ...],
    *,
    favour: tuple[float, ...] | None = None,
) -> Column:
    """The column cut back to the needs, and emptied room filled with other blanks needed.

    In every section clear of flaws strips are added, the ones holding most wood first; ``favour``
    weighs the wood of each row.
    """
    favour = favour or (1.0,) * len(needs)
    whole = fitted(problem, column, needs)
    left = [n - g for n, g in zip(needs, whole.gives, strict=True)]
    kind, b = problem.where(column.place)
    old = {section.a: section for section in whole.pattern.sections}
    sections = []
    for section in column.pattern.sections:
        now = old.get(section.a) or section._replace(strips=(), kept=())
        now = _refill(kind, kind.boards[b], now, left, favour)
        if now.strips:
            sections.append(now)
    return problem.closed(column.place, tuple(sections))


def variants_of(
    problem: Problem,
    column: Column,
    needs: tuple[int, ...],
    *,
    favour: tuple[float, ...] | None = None,
) -> list[Column]:
    """The column cut back, and cut back and refilled."""
    whole = fitted(problem, column, needs)
    found = [whole]
    if whole is not column or min(whole.gives) == 0:
        found.append(refilled(problem, column, needs, favour=favour))
    return [c for c in found if any(c.gives)]


def likely(pool: Pool, prices: Floats, *, most: int = 600) -> list[Column]:
    """The columns of a pool that lose least at given prices."""
    columns = list(pool)
    loss = [c.cost - float(np.dot(prices, c.gives)) for c in columns]
    return [columns[n] for n in sorted(range(len(columns)), key=loss.__getitem__)[:most]]


def localised(
    part: Problem,
    pool: Pool,
    kept: tuple[int, ...],
    needs: tuple[int, ...],
    *,
    prices: Floats,
) -> Pool:
    """A pool's most promising columns of some places, numbered as in a part problem.

    They are judged by what they lose at given prices, and made to fit the part's needs.
    """
    number = {p: i for i, p in enumerate(kept)}
    worth = prices.tolist()
    mine: dict[int, list[tuple[float, int, Column]]] = {p: [] for p in kept}
    for n, column in enumerate(pool):
        if column.place in number:
            useful = sum(
                w * min(g, need) for w, g, need in zip(worth, column.gives, needs, strict=True) if g
            )
            mine[column.place].append((column.cost - useful, n, column))
    most = _MOST_LOCAL_SMALL if len(kept) <= _SMALL else _MOST_LOCAL
    local = Pool()
    for place, columns in mine.items():
        for _, _, column in sorted(columns, key=lambda t: t[:2])[:most]:
            here = column._replace(place=number[place])
            for fit in variants_of(part, here, needs):
                local.add(fit)
    return local


def _refill(
    kind: Kind,
    board: GridBoard,
    section: Section,
    left: list[int],
    favour: tuple[float, ...],
) -> Section:
    flaws = [f for f in board.flaws if f.x0 < section.b and f.x1 > section.a]
    strips = [*section.strips]
    for lo, hi in gaps([(f.y0, f.y1) for f in flaws], 0, board.units):
        mine = [s for s in strips if lo <= s.y and s.y + s.width <= hi]
        if any(s.y < hi and s.y + s.width > lo and s not in mine for s in strips):
            return section
        at = lo + sum(s.width for s in mine)
        while True:
            best = _fullest(kind, section, hi - at, left, favour)
            if best is None:
                break
            width, blanks = best
            for _, i in blanks:
                left[kind.menu.blanks[i].row] -= kind.menu.blanks[i].gives
            strips.append(Strip(y=at, width=width, blanks=blanks))
            at += width
        if len(strips) > len(section.strips):
            strips = _stacked(strips, lo, hi)
    return section._replace(strips=tuple(sorted(strips, key=lambda s: s.y)))


def _stacked(strips: list[Strip], lo: int, hi: int) -> list[Strip]:
    """Strips of one clear span pushed together from below, the new ones last."""
    out, at = [], lo
    for strip in strips:
        if lo <= strip.y < hi:
            out.append(strip._replace(y=at))
            at += strip.width
        else:
            out.append(strip)
    return out


def _fullest(
    kind: Kind, section: Section, room: int, left: list[int], favour: tuple[float, ...]
) -> tuple[int, tuple[tuple[int, int], ...]] | None:
    """The strip that puts most wood to use per width, from blanks still needed."""
    menu, best, most = kind.menu, None, 0.0
    for width, items in zip(menu.widths, menu.by_width, strict=True):
        if width > room:
            break
        at, spare, blanks, worth = section.a, [*left], [], 0.0
        for i, pitch in items:
            blank = menu.blanks[i]
            while at + pitch <= section.b and spare[blank.row] >= blank.gives:
                blanks.append((at, i))
                spare[blank.row] -= blank.gives
                at += pitch
                worth += pitch * favour[blank.row]
        # a strip that is mostly waste is no gain
        used = at - section.a
        if blanks and worth > most and 2 * used > section.b - section.a:
            best, most = (width, tuple(blanks)), worth
    return best
