"""What strips, sections and zones may hold at given prices, best first, down to a slack.

The tables of the pricing say what could still be won; whatever cannot come within the slack of
the best is not carried on.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence

from seamwright.rack.grid import Floats
from seamwright.rack.labels import (
    TINY,
    Filling,
    Fillings,
    Keys,
    Labels,
    Laid,
    Laying,
    Layings,
    Ripped,
    Ripping,
    TooManyError,
    best_of,
    put,
)
from seamwright.rack.lines import suffix_line
from seamwright.rack.places import Spans
from seamwright.rack.price import Priced

Joined = tuple[float, int, tuple[object, ...]]


class Contents:
    """Contents of one kind's strips, sections and zones; remembered for all of its boards.

    ``most`` partial patterns may be made; with ``width`` only so many are carried on at every
    position of a zone, and not everything is found. Blanks worth no more than ``least`` are left
    out.
    """

    def __init__(
        self, priced: Priced, keys: Keys, *, most: int, width: int = 0, least: float = 0.0
    ) -> None:
        self.priced, self.kind, self.keys = priced, priced.kind, keys
        self.left, self.width, self.least = most, width, least
        self._key = [b.gives << keys.shifts[b.row] for b in self.kind.menu.blanks]
        self._fills: dict[tuple[int, int], tuple[float, list[Filling]]] = {}
        self._rips: dict[tuple[int, int], tuple[float, list[Laying]]] = {}
        self._cases: dict[int, tuple[float, list[Layings]]] = {}
        self._zones: dict[int, tuple[float, list[Ripping]]] = {}
        self._suffix: dict[int, Floats] = {}

    def spend(self) -> None:
        """One more partial pattern.

        Raises:
            TooManyError: there are more than allowed.
        """
        self.left -= 1
        if self.left < 0:
            raise TooManyError

    def fills(self, w: int, length: int, slack: float) -> list[Filling]:
        """Blanks for a clear length of a strip."""
        had = self._fills.get((w, length))
        if had is not None and had[0] >= slack:
            return had[1]
        table, prices = self.priced.strips[w], self.priced.prices
        items = [
            (i, p, float(prices[i]))
            for i, p in self.kind.menu.by_width[w]
            if prices[i] > self.least
        ]
        floor = table[length] - slack - TINY
        comp, guard, keys = self.keys.comp, self.keys.guard, self._key
        found: list[Filling] = []

        def more(j: int, room: int, worth: float, key: int, blanks: tuple[int, ...]) -> None:
            self.spend()
            if worth >= floor:
                found.append((worth, key, blanks))
            for n in range(j, len(items)):
                i, p, price = items[n]
                if p <= room and worth + price + table[room - p] >= floor:
                    new = key + keys[i]
                    if not (new + comp) & guard:
                        more(n, room - p, worth + price, new, (*blanks, i))

        more(0, length, 0.0, 0, ())
        found.sort(key=lambda t: -t[0])
        self._fills[w, length] = slack, found
        return found

    def rip(self, s: int, height: int, slack: float) -> list[Laying]:
        """Strips for a clear span across a section; what is left may be kept."""
        had = self._rips.get((s, height))
        if had is not None and had[0] >= slack:
            return had[1]
        menu = self.kind.menu
        floor = self.priced.rips[s, height] - slack - TINY
        labels: dict[tuple[int, int], tuple[float, Laid | None]] = {(0, 0): (0.0, None)}
        for w in range(len(menu.widths)):
            frontier = labels
            while frontier:
                frontier = self._wider(labels, frontier, s, w, height, floor=floor, slack=slack)
        slope = self.kind.credit * menu.kept[s] * menu.step_mm
        found: dict[int, Laying] = {}
        for (y, key), (worth, chain) in labels.items():
            kept = height - y >= menu.keep_units
            whole = worth + (slope * (height - menu.kerf_units - y) if kept else 0.0)
            if whole >= floor and (key not in found or found[key][0] < whole):
                found[key] = (float(whole), key, chain)
        ordered = sorted(found.values(), key=lambda t: -t[0])
        self._rips[s, height] = slack, ordered
        return ordered

    def _wider(
        self,
        labels: dict[tuple[int, int], tuple[float, Laid | None]],
        frontier: dict[tuple[int, int], tuple[float, Laid | None]],
        s: int,
        w: int,
        height: int,
        *,
        floor: float,
        slack: float,
    ) -> dict[tuple[int, int], tuple[float, Laid | None]]:
        """One more strip of a width on top of each of the frontier's."""
        menu, comp, guard = self.kind.menu, self.keys.comp, self.keys.guard
        length, width, top = menu.sections[s], menu.widths[w], self.priced.rips[s]
        best = self.priced.strips[w, length]
        fresh: dict[tuple[int, int], tuple[float, Laid | None]] = {}
        for (y, key), (worth, before) in list(frontier.items()):
            up = y + width
            if up > height or worth + best + top[height - up] < floor:
                continue
            rest = worth + top[height - up]
            for add, more, blanks in self.fills(w, length, slack):
                if rest + add < floor:
                    break
                new = key + more
                if not more or (new + comp) & guard:
                    continue
                old = labels.get((up, new))
                if old is None or old[0] < worth + add - TINY:
                    self.spend()
                    labels[up, new] = fresh[up, new] = (worth + add, Laid(before, w, blanks))
        return fresh

    def case(self, case: int, slack: float) -> list[Layings]:
        """Strips for all clear spans across a section."""
        had = self._cases.get(case)
        if had is not None and had[0] >= slack:
            return had[1]
        s, spans = self.kind.places.section_cases[case]
        found = self._joined([self.rip(s, b - a, slack) for a, b in spans], slack)
        self._cases[case] = slack, found  # type: ignore[assignment]
        return found  # type: ignore[return-value]

    def strip(self, case: int, slack: float) -> list[Fillings]:
        """Blanks for all clear spans along a strip of a zone."""
        w, spans = self.kind.places.strip_cases[case]
        lists = [self.fills(w, b - a, slack) for a, b in spans]
        return self._joined(lists, slack)  # type: ignore[return-value]

    def _joined(
        self, lists: Sequence[Sequence[tuple[float, int, object]]], slack: float
    ) -> list[Joined]:
        comp, guard = self.keys.comp, self.keys.guard
        tops = [part[0][0] if part else 0.0 for part in lists]
        floor = sum(tops) - slack - TINY
        found: dict[int, Joined] = {0: (0.0, 0, ())}
        for n, part in enumerate(lists):
            rest = sum(tops[n + 1 :])
            fresh: dict[int, Joined] = {}
            for worth, key, chain in found.values():
                for add, more, item in part:
                    if worth + add + rest < floor:
                        break
                    new = key + more
                    if (new + comp) & guard:
                        continue
                    if new not in fresh or fresh[new][0] < worth + add - TINY:
                        self.spend()
                        fresh[new] = (worth + add, new, (*chain, item))
            found = fresh
        return sorted(found.values(), key=lambda t: -t[0])

    def zone(self, z: int, slack: float) -> list[Ripping]:
        """Strips of a zone, flaws cut out of them."""
        had = self._zones.get(z)
        if had is not None and had[0] >= slack:
            return had[1]
        comp, guard = self.keys.comp, self.keys.guard
        credit, top = self.kind.zone_credit[z], self.suffix(z)
        floor = top[0] - slack - TINY
        jumps = sorted({f.y1 for f in self.kind.places.zones[z].flaws})
        rows: dict[int, Labels[Ripped]] = {0: {0: (0.0, None)}}
        heap, found = [0], dict[int, Ripping]()
        while heap:
            y = heapq.heappop(heap)
            labels = best_of(rows.pop(y), self.width)
            jump = next((j for j in jumps if j > y), None)
            steps = self._steps(z, y, floor - max(v for v, _ in labels.values()), slack)
            for key, (worth, chain) in labels.items():
                whole = worth + float(credit[y])
                if whole >= floor and (key not in found or found[key][0] < whole):
                    found[key] = (whole, key, chain)
                if jump is not None and worth + top[jump] >= floor:
                    put(rows, heap, jump, key, worth, chain)
                for w, up, spans, parts in steps:
                    for add, more, blanks in parts:
                        if worth + add + top[up] < floor:
                            break
                        new = key + more
                        if more and not (new + comp) & guard:
                            self.spend()
                            ripped = Ripped(chain, w, y, spans, blanks)
                            put(rows, heap, up, new, worth + add, ripped)
        ordered = sorted(found.values(), key=lambda t: -t[0])
        self._zones[z] = slack, ordered
        return ordered

    def _steps(
        self, z: int, y: int, least: float, slack: float
    ) -> list[tuple[int, int, Spans, list[Fillings]]]:
        """Strips that may start at a unit of a zone and with what follows reach ``least``."""
        kind, top, found = self.kind, self.suffix(z), []
        units = kind.boards[kind.places.zones[z].board].units
        for w, width in enumerate(kind.menu.widths):
            up = y + width
            case = int(kind.places.strip_at[z, w, y]) if up <= units else 0
            if case and self.priced.strip_worth[case] + top[up] >= least:
                spans = kind.places.strip_cases[case][1]
                found.append((w, up, spans, self.strip(case, slack)))
        return found

    def suffix(self, z: int) -> Floats:
        """Most that a zone gives from each unit up."""
        if z not in self._suffix:
            kind = self.kind
            units = kind.boards[kind.places.zones[z].board].units
            gain = self.priced.strip_worth[kind.places.strip_at[z]]
            ends = kind.zone_credit[z][: units + 1]
            self._suffix[z] = suffix_line(ends, kind.menu.widths, gain, ())
        return self._suffix[z]
