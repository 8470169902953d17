"""Patterns that give no row more than it needs, and none better overlooked.

Pricing by tables knows no limits on copies. Here the same tables serve as an upper bound of what
can still be won, and partial patterns are carried on only where that bound beats a threshold
(labels with completion bounds, as in resource-constrained shortest paths: Irnich and Desaulniers
2005).

A section starts where the one before it ends, or where a flaw ends: elsewhere it could slide.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from seamwright.rack.contents import Contents
from seamwright.rack.grid import Floats
from seamwright.rack.kernels.arrays import Bits, Ints, Numbers
from seamwright.rack.kernels.labels import Line, Moves, walk
from seamwright.rack.kernels.tables import onward, slacks
from seamwright.rack.labels import Keys, TooManyError
from seamwright.rack.pattern import Section

_FEW, _BRIEF, _LITTLE = 30, 100_000, (0.002, 0.008)
_LEAST_SLACK, _FINE = 1e-3, 3
_ALL = 1 << 40

Won = tuple[float, tuple[Section, ...]]
"""Worth and sections of a pattern."""


@dataclass(frozen=True, slots=True)
class Listed:
    """Patterns of one view of a board.

    Attributes:
        worth: of each, with what its leftovers give back.
        keys: counts of rows, packed.
        chains: node of each.
        turned: seen from the far end.
    """

    worth: Floats
    keys: Bits
    chains: Ints
    turned: bool


@dataclass(frozen=True, slots=True)
class View:
    """A board seen from one end: from the other end everything is turned round."""

    turned: bool
    moves: Moves
    line: Line

    @property
    def top(self) -> float:
        """No pattern is worth more."""
        return float((self.line.opens + self.line.most).max())


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
        dimmed: Floats | None = None,
        back: float = 0.0,
    ) -> None:
        self.contents, self.b, self.limits = contents, b, limits
        self.dimmed, self.back = dimmed, back
        self.kind = contents.kind
        self.board = self.kind.boards[b]
        self.zones = np.flatnonzero(self.kind.zone_of == b)

    def best(self, floor: float, low: tuple[int, ...]) -> Won | None:
        """The pattern worth most, with at least ``low`` of each row, or None above the floor.

        Raises:
            TooManyError: partial patterns are more than the contents allow.
        """
        best: Won | None = None
        for view in self._views:
            listed = self._search(view, floor, low=low, rising=True)
            if len(listed.worth):
                floor = float(listed.worth[-1])
                best = floor, self.sections(listed, len(listed.worth) - 1)
        return best

    def likely(self, floor: float, low: tuple[int, ...]) -> Won | None:
        """A good pattern, quickly: of the partial ones at each place only a few are carried on."""
        top = max(view.top for view in self._views)
        for share in _LITTLE:
            listed = self._brief(floor, share * top, low=low, rising=True)
            if listed:
                best = max(listed, key=lambda found: float(found.worth[-1]))
                return float(best.worth[-1]), self.sections(best, len(best.worth) - 1)
        return None

    def all(self, floor: float) -> Iterator[Listed]:
        """Every pattern worth more than a floor.

        Raises:
            TooManyError: partial patterns are more than the contents allow.
        """
        for view in self._views:
            yield self._search(view, floor)

    def some(self, floor: float) -> list[Listed]:
        """Patterns worth more than a floor, not all: few partial ones are carried on."""
        top = max(view.top for view in self._views)
        return self._brief(floor, _LITTLE[0] * top)

    def _brief(
        self, floor: float, slack: float, *, low: tuple[int, ...] = (), rising: bool = False
    ) -> list[Listed]:
        self.contents.left = _BRIEF
        found = []
        try:
            for view in self._views:
                listed = self._search(view, floor, low=low, rising=rising, beam=_FEW, slack=slack)
                if len(listed.worth):
                    found.append(listed)
        except TooManyError:
            pass
        return found

    @cached_property
    def _views(self) -> tuple[View, ...]:
        """From the near end with a leftover at the far one, and the other way round."""
        kind, board, cells = self.kind, self.board, self.board.cells
        at = np.ascontiguousarray(kind.places.section_at[self.b, :, : cells + 1])
        arcs = kind.zone_at[self.zones], kind.zone_end[self.zones]
        cases = self.contents.sections + self.zones
        near = View(
            turned=False,
            moves=Moves(kind.lengths, at, *arcs, cases),
            line=Line(_opens({f.x1 for f in board.flaws}, board.head), board.rest, self._beyond),
        )
        if not board.flaws:
            return (near,)
        far = View(
            turned=True,
            moves=Moves(
                kind.lengths, _turned(at, kind.lengths), cells - arcs[1], cells - arcs[0], cases
            ),
            line=Line(
                _opens({cells - f.x0 for f in board.flaws}, board.rest[::-1]),
                board.head[::-1].copy(),
                self._before[::-1].copy(),
            ),
        )
        return near, far

    @cached_property
    def _beyond(self) -> Floats:
        """Most that is won from each cell on."""
        kind, priced = self.kind, self.contents.priced
        return onward(
            kind.lengths,
            np.ascontiguousarray(kind.places.section_at[self.b, :, : self.board.cells + 1]),
            priced.section_worth,
            self.board.rest,
            kind.zone_at[self.zones],
            kind.zone_end[self.zones],
            priced.zone_worth[self.zones],
        )

    @property
    def _before(self) -> Floats:
        """Most that is won up to each cell."""
        return self.contents.priced.along[self.b, : self.board.cells + 1]

    def _search(
        self,
        view: View,
        floor: float,
        *,
        low: tuple[int, ...] = (),
        rising: bool = False,
        beam: int = 0,
        slack: float = math.inf,
    ) -> Listed:
        """Every pattern worth more than a floor; where ``rising``, each better than the last."""
        contents = self.contents
        if view.top + self.back <= floor:
            none = np.zeros(0, np.int32)
            return Listed(np.zeros(0), np.zeros((0, len(self.limits.comp)), np.uint64), none, False)
        self._list(floor - self.back, slack)
        table, found, worth, work = walk(
            view.moves,
            view.line,
            floor,
            contents.lists(),
            self.limits.limits(dimmed=self.dimmed, back=self.back, low=low),
            beam,
            contents.left,
            False,
            rising,
        )
        contents.spend(work)
        first = contents.chain(table)
        return Listed(worth, table.key[found], found + first, view.turned)

    def _list(self, floor: float, slack: float) -> None:
        """Contents of all sections and zones that can be part of a pattern above a floor."""
        contents, kind, priced = self.contents, self.kind, self.contents.priced
        cells = self.board.cells
        spare = slacks(
            kind.lengths,
            np.ascontiguousarray(kind.places.section_at[self.b, :, : cells + 1]),
            priced.section_worth,
            self._before,
            self._beyond,
            floor,
        )
        for case in np.flatnonzero(spare > 0):
            contents.case(int(case), min(slack, _coarse(float(spare[case]))))
        for z in self.zones:
            zone = kind.places.zones[z]
            worth = self._before[zone.a] + priced.zone_worth[z] + self._beyond[zone.b] - floor
            if worth > 0:
                contents.zone(int(z), min(slack, float(worth)))

    def sections(self, listed: Listed, n: int) -> tuple[Section, ...]:
        """The sections of a pattern, left to right."""
        found, nodes, menu = [], self.contents.store.nodes, self.kind.menu
        node = int(listed.chains[n])
        while node >= 0 and nodes[node, 1] >= 0:
            before, part, slot, start = map(int, nodes[node])
            if slot < len(menu.sections):
                length = menu.sections[slot]
                a = self.board.cells - start - length if listed.turned else start
                case = int(self.kind.places.section_at[self.b, slot, a])
                spans = self.kind.places.section_cases[case][1]
                strips = self.contents.ripped(part, spans, a)
                found.append(Section(a=a, b=a + length, strips=tuple(strips), kept=()))
            else:
                z = int(self.zones[slot - len(menu.sections)])
                zone = self.kind.places.zones[z]
                strips = self.contents.zoned(part, z)
                found.append(Section(a=zone.a, b=zone.b, strips=tuple(strips), kept=()))
            node = before
        return tuple(found if listed.turned else reversed(found))


def _coarse(spare: float) -> float:
    """Slack, a little more in few sizes, so that what was found for one serves the next."""
    return float(2.0 ** (math.ceil(_FINE * math.log2(max(spare, _LEAST_SLACK))) / _FINE))


def _opens(starts: set[int], credit: Floats) -> Floats:
    """Worth of the first section starting at each cell: where a flaw ends, and at the end."""
    opens = np.full(len(credit), -np.inf)
    for x in starts:
        if 0 < x < len(credit) - 1:
            opens[x] = credit[x]
    opens[0] = 0.0
    return opens


def _turned(at: Ints, lengths: Numbers) -> Ints:
    turned = np.zeros_like(at)
    cells = at.shape[1] - 1
    for s, length in enumerate(lengths):
        if length <= cells:
            turned[s, : cells + 1 - length] = at[s, : cells + 1 - length][::-1]
    return turned
