"""Patterns that give no row more than it needs, and none better overlooked.

Pricing by tables knows no limits on copies. Here the same tables serve as an upper bound of what
can still be won, and partial patterns are carried on only where that bound beats a threshold
(labels with completion bounds, as in resource-constrained shortest paths: Irnich and Desaulniers
2005).

A section starts where the one before it ends, or where a flaw ends: elsewhere it could slide.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterator
from copy import copy
from dataclasses import dataclass

import numpy as np

from seamwright.rack.contents import Contents
from seamwright.rack.grid import Floats
from seamwright.rack.labels import Keys, Labels, Laid, Ripped, Step, TooManyError, best_of, put
from seamwright.rack.lines import run_line, suffix_line
from seamwright.rack.pattern import Section, Strip
from seamwright.rack.places import Spans

_FEW, _BRIEF, _LITTLE = 30, 20_000, (0.002, 0.008)
_LEAST_SLACK = 1e-3

Won = tuple[float, tuple[Section, ...]]
"""Worth and sections of a pattern."""
Move = tuple[int, float, list[tuple[float, int, object]], tuple[int, int, int, int]]
"""End, what can be won beyond it, contents, and zone, section, start and case."""


@dataclass(frozen=True, slots=True)
class View:
    """A board seen from one end: from the other end everything is turned round.

    Attributes:
        ends: what the leftover beyond each cell gives back.
        most: no more can be won from each cell on.
        opens: cells where the first section may start, with what the leftover before gives back.
    """

    turned: bool
    cells: int
    ends: Floats
    most: Floats
    opens: tuple[tuple[int, float], ...]

    @property
    def top(self) -> float:
        """No pattern is worth more."""
        return max(float(self.most[x]) + worth for x, worth in self.opens)


class Whole:
    """Whole patterns of one board within limits.

    ``dimmed`` is what the prices of rows were lowered by, ``back`` that times the limits: no
    pattern is worth more at the true prices than at the lowered ones with ``back`` on top.
    """

    def __init__(
        self,
        contents: Contents,
        b: int,
        limits: Keys,
        *,
        dimmed: tuple[float, ...] = (),
        back: float = 0.0,
    ) -> None:
        self.contents, self.b, self.limits = contents, b, limits
        self.dimmed, self.back = dimmed, back
        self.kind = contents.kind
        self.board = self.kind.boards[b]
        self.zones = [(n, z) for n, z in enumerate(self.kind.places.zones) if z.board == b]
        self._floor, self._slack = -math.inf, math.inf

    def best(self, floor: float, low: tuple[int, ...]) -> Won | None:
        """The pattern worth most, with at least ``low`` of each row, or None above the floor.

        Raises:
            TooManyError: partial patterns are more than the contents allow.
        """
        best: tuple[float, Step | None, bool] | None = None
        for view in self._views():
            self._floor = floor - self.back
            if view.top <= self._floor:
                continue
            for worth, key, chain in self._search(view):
                whole = worth + self._brightened(key)
                if whole > floor and self._gives(key, low):
                    floor, best = whole, (whole, chain, view.turned)
                    self._floor = floor - self.back
        if best is None:
            return None
        return best[0], self._sections(best[1], turned=best[2])

    def likely(self, floor: float, low: tuple[int, ...]) -> Won | None:
        """A good pattern, quickly: of the partial ones at each place only a few are carried on."""
        top = max(view.top for view in self._views())
        for share in _LITTLE:
            try:
                found = self._narrow(share * top).best(floor, low)
            except TooManyError:
                return None
            if found is not None:
                return found
        return None

    def all(self, floor: float) -> Iterator[tuple[Section, ...]]:
        """Every pattern worth more than a floor.

        Raises:
            TooManyError: partial patterns are more than the contents allow.
        """
        for view in self._views():
            self._floor = floor - self.back
            for worth, key, chain in self._search(view):
                if worth + self._brightened(key) > floor:
                    yield self._sections(chain, turned=view.turned)

    def some(self, floor: float) -> list[tuple[Section, ...]]:
        """Patterns worth more than a floor, not all: few partial ones are carried on."""
        found: list[tuple[Section, ...]] = []
        top = max(view.top for view in self._views())
        try:
            found.extend(self._narrow(_LITTLE[0] * top).all(floor))
        except TooManyError:
            return found
        return found

    def _narrow(self, slack: float) -> Whole:
        small, old = copy(self), self.contents
        small.contents = Contents(old.priced, old.keys, most=_BRIEF, width=_FEW, least=old.least)
        small._slack = slack
        return small

    def _views(self) -> tuple[View, ...]:
        """From the near end with a leftover at the far one, and the other way round."""
        kind, board, cells = self.kind, self.board, self.board.cells
        priced, lengths = self.contents.priced, self.kind.menu.sections
        gain = priced.section_worth[kind.places.section_at[self.b]]
        arcs = tuple((z.a, z.b, float(priced.zone_worth[n])) for n, z in self.zones)
        near = View(
            turned=False,
            cells=cells,
            ends=board.rest,
            most=suffix_line(board.rest, lengths, gain, arcs),
            opens=_opens({f.x1 for f in board.flaws if f.x1 < cells}, board.head),
        )
        if not board.flaws:
            return (near,)
        far = View(
            turned=True,
            cells=cells,
            ends=board.head[::-1],
            most=run_line(board.head, lengths, gain[:, : cells + 1], arcs)[::-1],
            opens=_opens({cells - f.x0 for f in board.flaws if f.x0 > 0}, board.rest[::-1]),
        )
        return near, far

    def _search(self, view: View) -> Iterator[tuple[float, int, Step | None]]:
        """Every pattern worth more than the floor at lowered prices: worth, key, chain."""
        comp, guard, contents = self.limits.comp, self.limits.guard, self.contents
        rows: dict[int, Labels[Step]] = {}
        heap: list[int] = []
        for x, worth in view.opens:
            if worth + view.most[x] > self._floor:
                put(rows, heap, x, 0, worth, None)
        while heap:
            x = heapq.heappop(heap)
            labels = best_of(rows.pop(x), contents.width)
            jump = next((j for j, _ in view.opens if j > x), None)
            moves = self._moves(view, x, max(v for v, _ in labels.values()))
            for key, (worth, chain) in labels.items():
                whole = worth + float(view.ends[x])
                if key and whole > self._floor:
                    yield whole, key, chain
                if jump is not None and worth + float(view.most[jump]) > self._floor:
                    put(rows, heap, jump, key, worth, chain)
                for end, rest, parts, what in moves:
                    for add, more, item in parts:
                        if worth + add + rest <= self._floor:
                            break
                        new = key + more
                        if more and not (new + comp) & guard:
                            contents.spend()
                            put(rows, heap, end, new, worth + add, _step(chain, what, item))

    def _moves(self, view: View, x: int, top: float) -> list[Move]:
        """Sections and zones that may start at a cell and beat the floor after ``top``."""
        contents, kind, cells = self.contents, self.kind, view.cells
        found: list[Move] = []
        lengths = np.array(kind.menu.sections, dtype=np.intp)
        fit = np.flatnonzero(lengths <= cells - x)
        starts = (cells - x - lengths[fit]) if view.turned else np.full(len(fit), x)
        cases = kind.places.section_at[self.b][fit, starts]
        most = view.most[x + lengths[fit]]
        value = top + contents.priced.section_worth[cases] + most
        for n in np.flatnonzero(value > self._floor):
            case = int(cases[n])
            if case:
                parts = contents.case(case, self._coarse(float(value[n])))
                what = (-1, int(fit[n]), int(starts[n]), case)
                found.append((x + int(lengths[fit[n]]), float(most[n]), list(parts), what))
        for z, zone in self.zones:
            start, end = (cells - zone.b, cells - zone.a) if view.turned else (zone.a, zone.b)
            if start == x:
                rest = float(view.most[end])
                whole = top + float(contents.priced.zone_worth[z]) + rest
                if whole > self._floor:
                    ripped = contents.zone(z, self._coarse(whole))
                    found.append((end, rest, list(ripped), (z, 0, 0, 0)))
        return found

    def _coarse(self, worth: float) -> float:
        """Slack, a little more in few sizes, so that what was found for one serves the next."""
        slack = 2.0 ** math.ceil(math.log2(max(worth - self._floor, _LEAST_SLACK)))
        return min(slack, self._slack)

    def _brightened(self, key: int) -> float:
        if not self.dimmed:
            return 0.0
        return sum(d * n for d, n in zip(self.dimmed, self.limits.unpacked(key), strict=True))

    def _gives(self, key: int, low: tuple[int, ...]) -> bool:
        return not any(low) or all(
            n >= k for n, k in zip(self.limits.unpacked(key), low, strict=True)
        )

    def _sections(self, chain: Step | None, *, turned: bool) -> tuple[Section, ...]:
        """The sections of a chain, left to right."""
        found = []
        while chain is not None:
            found.append(self._clear(chain) if chain.zone < 0 else self._zoned(chain))
            chain = chain.before
        return tuple(found if turned else reversed(found))

    def _clear(self, step: Step) -> Section:
        menu, strips = self.kind.menu, []
        spans: Spans = self.kind.places.section_cases[step.case][1]
        for (lo, _), top in zip(spans, step.spans, strict=True):
            y, laid = lo, top
            while laid is not None:
                blanks = self._placed(step.start, laid.blanks)
                strips.append(Strip(y=y, width=menu.widths[laid.width], blanks=blanks))
                y += menu.widths[laid.width]
                laid = laid.before
        end = step.start + menu.sections[step.section]
        return Section(a=step.start, b=end, strips=tuple(strips), kept=())

    def _zoned(self, step: Step) -> Section:
        zone, strips, ripped = self.kind.places.zones[step.zone], [], step.strips
        while ripped is not None:
            blanks = tuple(
                placed
                for (a, _), part in zip(ripped.spans, ripped.blanks, strict=True)
                for placed in self._placed(a, part)
            )
            width = self.kind.menu.widths[ripped.width]
            strips.append(Strip(y=ripped.y, width=width, blanks=blanks))
            ripped = ripped.before
        return Section(a=zone.a, b=zone.b, strips=tuple(reversed(strips)), kept=())

    def _placed(self, a: int, blanks: tuple[int, ...]) -> tuple[tuple[int, int], ...]:
        placed = []
        for i in blanks:
            placed.append((a, i))
            a += self.kind.menu.blanks[i].along
        return tuple(placed)


def _step(before: Step | None, what: tuple[int, int, int, int], item: object) -> Step:
    spans = item if isinstance(item, tuple) and not isinstance(item, (Laid, Ripped)) else ()
    return Step(before, *what, spans, item if isinstance(item, Ripped) else None)


def _opens(starts: set[int], credit: Floats) -> tuple[tuple[int, float], ...]:
    return ((0, 0.0), *((x, float(credit[x])) for x in sorted(starts - {0})))
