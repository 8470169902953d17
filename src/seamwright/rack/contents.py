"""What strips, sections and zones may hold at given prices, best first, down to a slack.

The tables of the pricing say what could still be won; whatever cannot come within the slack of
the best is not carried on.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from seamwright.rack.grid import Floats
from seamwright.rack.kernels.arrays import Bits, Ints, Numbers
from seamwright.rack.kernels.labels import (
    Line,
    Lists,
    Moves,
    Table,
    walk,
)
from seamwright.rack.kernels.lists import fillings, joined, ranked
from seamwright.rack.kernels.tables import onward, slacks
from seamwright.rack.labels import TINY, Keys, Store, TooManyError
from seamwright.rack.pattern import Strip
from seamwright.rack.places import Spans
from seamwright.rack.price import Priced

_NOWHERE = np.zeros(0, np.int64)


@dataclass(frozen=True, slots=True)
class _Items:
    """Blanks of one width that may be used."""

    index: tuple[int, ...]
    pitch: Numbers
    price: Floats
    key: Bits


class _Cases:
    """Which list each case has, and with how much slack it was made."""

    def __init__(self, number: int) -> None:
        self.first, self.count = np.zeros(number, np.int64), np.zeros(number, np.int64)
        self.slack = np.full(number, -1.0)

    def keep(self, case: int, slack: float, listed: tuple[int, int]) -> None:
        """A case's list."""
        self.first[case], self.count[case] = listed
        self.slack[case] = slack


class Contents:
    """Contents of one kind's strips, sections and zones; remembered for all of its boards.

    ``left`` is the work that may still be done: entries of lists looked at. Blanks worth no more
    than ``least`` are left out.
    """

    def __init__(self, priced: Priced, keys: Keys, *, most: int, least: float = 0.0) -> None:
        self.priced, self.kind, self.keys = priced, priced.kind, keys
        self.left, self.limits = most, keys.limits()
        self.store = Store(len(keys.comp))
        menu, places = self.kind.menu, self.kind.places
        self._items = tuple(self._usable(items, least) for items in menu.by_width)
        self._fills: dict[tuple[int, int], tuple[float, tuple[int, int]]] = {}
        self._rips: dict[tuple[int, int], tuple[float, tuple[int, int]]] = {}
        # sections' cases first, then zones
        self.sections = len(places.section_cases)
        self.cases = _Cases(self.sections + len(places.zones))
        self._strips = _Cases(len(places.strip_cases))
        self._suffix: dict[int, Floats] = {}

    def _usable(self, items: tuple[tuple[int, int], ...], least: float) -> _Items:
        blanks, prices = self.kind.menu.blanks, self.priced.prices
        index = [
            i
            for i, _ in items
            if prices[i] > least and blanks[i].gives <= self.keys.tops[blanks[i].row]
        ]
        keys = [self.keys.packed(blanks[i].row, blanks[i].gives) for i in index]
        return _Items(
            tuple(index),
            np.array([blanks[i].along for i in index], np.int64),
            prices[index],
            np.array(keys, np.uint64).reshape(len(index), len(self.keys.comp)),
        )

    def spend(self, work: int) -> None:
        """Work done; −1 where there was more than allowed.

        Raises:
            TooManyError: there is no more allowed.
        """
        self.left -= self.left if work < 0 else work
        if self.left <= 0:
            raise TooManyError

    def lists(self) -> Lists:
        """Lists of sections and zones, as far as they are made."""
        return Lists(self.cases.first, self.cases.count, self.store.worth, self.store.key)

    def fill(self, w: int, length: int, slack: float) -> tuple[int, int]:
        """Blanks for a clear length of a strip."""
        had = self._fills.get((w, length))
        if had is not None and had[0] >= slack:
            return had[1]
        table, items = self.priced.strips[w], self._items[w]
        floor = float(table[length]) - slack - TINY
        worth, key, before, item, work = fillings(
            table, items.pitch, items.price, items.key, length, floor, self.limits, self.left
        )
        self.spend(work)
        listed = self._listed(worth, key, before, item, np.flatnonzero(worth >= floor))
        self._fills[w, length] = slack, listed
        return listed

    def _listed(
        self, worth: Floats, key: Bits, before: Ints, part: Ints, found: Numbers
    ) -> tuple[int, int]:
        first = self.store.chain(before, part, part, part)
        order = found[ranked(worth[found], key[found])]
        return self.store.put(worth[order], key[order], (order + first).astype(np.int32))

    def rip(self, s: int, height: int, slack: float) -> tuple[int, int]:
        """Strips for a clear span across a section; what is left may be kept."""
        had = self._rips.get((s, height))
        if had is not None and had[0] >= slack:
            return had[1]
        menu, priced = self.kind.menu, self.priced
        top, length = priced.rips[s, : height + 1], menu.sections[s]
        floor = float(top[height]) - slack - TINY
        at = np.zeros((len(menu.widths), height + 1), np.int32)
        cases = _Cases(len(menu.widths) + 1)
        beyond = top[::-1].copy()
        for w, width in enumerate(menu.widths):
            if width <= height:
                rest = priced.bare[s, : height + 1 - width] + beyond[width:]
                spare = float(priced.strips[w, length] + rest.max()) - floor
                if spare > 0:
                    at[w, : height + 1 - width] = w + 1
                    cases.keep(w + 1, spare, self.fill(w, length, spare))
        slope = self.kind.credit * menu.kept[s] * menu.step_mm
        left = height - np.arange(height + 1)
        ends = np.where(left >= menu.keep_units, slope * (left - menu.kerf_units), 0.0)
        lists = Lists(cases.first, cases.count, self.store.worth, self.store.key)
        listed = self._walked(at, _start(height), ends, beyond, floor, lists, is_empty=True)
        self._rips[s, height] = slack, listed
        return listed

    def _walked(
        self,
        at: Ints,
        opens: Floats,
        ends: Floats,
        most: Floats,
        floor: float,
        lists: Lists,
        *,
        is_empty: bool,
    ) -> tuple[int, int]:
        moves = Moves(self.kind.widths, at, _NOWHERE, _NOWHERE, _NOWHERE)
        table, found, worth, work = walk(
            moves,
            Line(opens, ends, most),
            floor,
            lists,
            self.limits,
            0,
            self.left,
            is_empty,
            False,
        )
        self.spend(work)
        first = self.chain(table)
        order = ranked(worth, table.key[found])
        node = found[order]
        return self.store.put(worth[order], table.key[node], node + first)

    def chain(self, table: Table) -> int:
        """The labels of a walk as chains; where the first of them is."""
        n = int(table.size[0])
        parts = table.part[:n]
        nodes = np.where(parts >= 0, self.store.node[parts], -1)
        return self.store.chain(table.before[:n], nodes, table.slot[:n], table.start[:n])

    def case(self, case: int, slack: float) -> None:
        """Strips for all clear spans across a section."""
        if self.cases.slack[case] < slack:
            s, spans = self.kind.places.section_cases[case]
            tops = [float(self.priced.rips[s, b - a]) for a, b in spans]
            lists = [self.rip(s, b - a, slack) for a, b in spans]
            self.cases.keep(case, slack, self._joined(lists, tops, slack))

    def strip(self, case: int, slack: float) -> None:
        """Blanks for all clear spans along a strip of a zone."""
        if self._strips.slack[case] < slack:
            w, spans = self.kind.places.strip_cases[case]
            tops = [float(self.priced.strips[w, b - a]) for a, b in spans]
            lists = [self.fill(w, b - a, slack) for a, b in spans]
            self._strips.keep(case, slack, self._joined(lists, tops, slack))

    def _joined(
        self, lists: list[tuple[int, int]], tops: list[float], slack: float
    ) -> tuple[int, int]:
        """All lists side by side; a single one is as it is."""
        if not lists:
            return 0, 0
        whole, store = lists[0], self.store
        for n, other in enumerate(lists[1:], 1):
            one, two = slice(whole[0], sum(whole)), slice(other[0], sum(other))
            worth, key, a, b, work = joined(
                store.worth[one],
                store.key[one],
                store.worth[two],
                store.key[two],
                sum(tops[: n + 1]) - slack - TINY,
                self.limits,
                self.left,
            )
            self.spend(work)
            order = ranked(worth, key)
            nodes = store.node[one][a[order]], store.node[two][b[order]]
            none = np.full(len(order), -1, np.int32)
            first = store.chain(none, nodes[1], nodes[0], none)
            whole = store.put(
                worth[order], key[order], first + np.arange(len(order), dtype=np.int32)
            )
        return whole

    def zone(self, z: int, slack: float) -> None:
        """Strips of a zone, flaws cut out of them."""
        number = self.sections + z
        if self.cases.slack[number] >= slack:
            return
        kind, worth = self.kind, self.priced.strip_worth
        zone = kind.places.zones[z]
        units = kind.boards[zone.board].units
        most, at = self.suffix(z), np.ascontiguousarray(kind.places.strip_at[z, :, : units + 1])
        floor = float(most[0]) - slack - TINY
        before = self.priced.ripped[z, : units + 1]
        spare = slacks(kind.widths, at, worth, before, most, floor)
        for case in np.flatnonzero(spare > 0):
            self.strip(int(case), float(spare[case]))
        ends = kind.zone_credit[z, : units + 1]
        opens = _start(units)
        opens[[f.y1 for f in zone.flaws if f.y1 <= units]] = 0.0
        lists = Lists(self._strips.first, self._strips.count, self.store.worth, self.store.key)
        listed = self._walked(at, opens, ends, most, floor, lists, is_empty=False)
        self.cases.keep(number, slack, listed)

    def suffix(self, z: int) -> Floats:
        """Most that a zone gives from each unit up."""
        if z not in self._suffix:
            kind = self.kind
            units = kind.boards[kind.places.zones[z].board].units
            self._suffix[z] = onward(
                kind.widths,
                np.ascontiguousarray(kind.places.strip_at[z, :, : units + 1]),
                self.priced.strip_worth,
                kind.zone_credit[z, : units + 1],
                _NOWHERE,
                _NOWHERE,
                np.zeros(0),
            )
        return self._suffix[z]

    def ripped(self, node: int, spans: Spans, start: int) -> list[Strip]:
        """The strips of a section's entry."""
        strips: list[Strip] = []
        for (lo, _), top in zip(spans, self._parts(node, len(spans)), strict=True):
            chain, y = self._chain(top), lo
            for _, fill, w, _ in chain:
                width = self.kind.menu.widths[w]
                blanks = self._placed(w, fill, start)
                strips.append(Strip(y=y, width=width, blanks=blanks))
                y += width
        return strips

    def zoned(self, node: int, z: int) -> list[Strip]:
        """The strips of a zone's entry, from the near edge."""
        places, strips = self.kind.places, []
        for _, part, w, y in self._chain(node):
            spans = places.strip_cases[int(places.strip_at[z, w, y])][1]
            fills = self._parts(part, len(spans))
            blanks = tuple(
                placed
                for (a, _), fill in zip(spans, fills, strict=True)
                for placed in self._placed(w, fill, a)
            )
            strips.append(Strip(y=y, width=self.kind.menu.widths[w], blanks=blanks))
        return strips

    def _chain(self, node: int) -> list[tuple[int, int, int, int]]:
        """The nodes of a chain, first to last, without the beginning."""
        found = []
        while node >= 0 and self.store.nodes[node, 1] >= 0:
            found.append(tuple(map(int, self.store.nodes[node])))
            node = int(self.store.nodes[node, 0])
        return found[::-1]  # type: ignore[return-value]

    def _parts(self, node: int, number: int) -> list[int]:
        """The entries that lie side by side in one."""
        found = []
        for _ in range(number - 1):
            found.append(int(self.store.nodes[node, 1]))
            node = int(self.store.nodes[node, 2])
        found.append(node)
        return found[::-1]

    def _placed(self, w: int, fill: int, a: int) -> tuple[tuple[int, int], ...]:
        placed = []
        for _, item, _, _ in self._chain(fill):
            i = self._items[w].index[item]
            placed.append((a, i))
            a += self.kind.menu.blanks[i].along
        return tuple(placed)


def _start(last: int) -> Floats:
    """A line that begins at its first position."""
    opens = np.full(last + 1, -np.inf)
    opens[0] = 0.0
    return opens
