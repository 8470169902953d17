"""Find the pattern worth most on every board of one kind, at given prices per blank.

Over positions along the board: a section of a menu length, a zone, or waste; a leftover may stay
at either end. All boards run together, block by block.
"""

from __future__ import annotations

from copy import copy
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from seamwright.rack.grid import Floats, GridBoard
from seamwright.rack.kernels.tables import along, zones
from seamwright.rack.pattern import Pattern, Section, Strip
from seamwright.rack.places import Places, Spans, Zone, gaps, places
from seamwright.rack.rules import CutRules
from seamwright.rack.tables import Menu, pitch_of_rip, rip_tables, strip_table

_TINY = 1e-9


class Kind:
    """Boards that take the same blanks, ready to be priced again and again."""

    def __init__(self, menu: Menu, boards: tuple[GridBoard, ...], rules: CutRules) -> None:
        self.menu = menu
        self.boards = boards
        self.credit = boards[0].credit
        self.places: Places = places(menu, boards, least=pitch_of_rip(rules), order=rules.order)
        self._section_flat, self._section_first = _flat(self.places.section_cases, menu.units + 1)
        self._strip_flat, self._strip_first = _flat(self.places.strip_cases, menu.cells + 1)
        self._length_mm = np.array(
            [(z.b - z.a) * rules.grid.along_mm - rules.crosscut_kerf_mm for z in self.places.zones]
        )
        self._along_mm, self._kerf_mm = rules.grid.along_mm, rules.crosscut_kerf_mm
        self._keep_mm = rules.keep_length_mm
        self.zone_credit = self._zone_credit()
        self.lengths = np.array(menu.sections, dtype=np.int64)
        self.widths = np.array(menu.widths, dtype=np.int64)
        self._number_places()
        self._ends = np.full((len(boards), menu.cells + 1), -np.inf)
        self._start = np.zeros((len(boards), menu.cells + 1))
        for b, board in enumerate(boards):
            self._ends[b, : board.cells + 1] = board.rest
            self._start[b, : board.cells + 1] = board.head

    def _number_places(self) -> None:
        zones = self.places.zones
        self.zone_of = np.array([z.board for z in zones], dtype=np.int64)
        self.zone_at = np.array([z.a for z in zones], dtype=np.int64)
        self.zone_end = np.array([z.b for z in zones], dtype=np.int64)
        self._zone_order = np.lexsort((self.zone_end, self.zone_of))
        self._zone_units = np.array([self.boards[z.board].units for z in zones], dtype=np.int64)
        self._cells = np.array([board.cells for board in self.boards], dtype=np.int64)

    def part(self, indices: list[int]) -> Kind:
        """The same kind with some of its boards only."""
        small = copy(self)
        number = {old: new for new, old in enumerate(indices)}
        kept = [i for i, z in enumerate(self.places.zones) if z.board in number]
        zones = tuple(
            replace(self.places.zones[i], board=number[self.places.zones[i].board]) for i in kept
        )
        small.boards = tuple(self.boards[i] for i in indices)
        small.places = replace(
            self.places,
            section_at=self.places.section_at[indices],
            zones=zones,
            strip_at=self.places.strip_at[kept],
        )
        small._length_mm = self._length_mm[kept]
        small.zone_credit = self.zone_credit[kept]
        small._ends, small._start = self._ends[indices], self._start[indices]
        small._number_places()
        return small

    def worth(self, rows: Floats) -> Floats:
        """What each blank is worth at prices per unit of the rows, less the work of gluing it."""
        return np.array([rows[b.row] * b.gives - b.work for b in self.menu.blanks])

    def solve(self, prices: Floats) -> Priced:
        """Price all boards; the result decodes patterns on demand."""
        menu = self.menu
        strips = strip_table(menu, prices)
        bare, rips = rip_tables(menu, strips, credit=self.credit)
        section_worth = self._section_worth(rips)
        strip_worth = self._strip_worth(strips)
        ripped, zone_worth = self._zone_worth(strip_worth)
        along = self._along(section_worth, zone_worth)
        total = along + self._ends
        return Priced(
            kind=self,
            prices=prices,
            strips=strips,
            bare=bare,
            rips=rips,
            section_worth=section_worth,
            strip_worth=strip_worth,
            ripped=ripped,
            zone_worth=zone_worth,
            along=along,
            total=total,
            best=total.max(axis=1),
        )

    def _section_worth(self, rips: Floats) -> Floats:
        worth = np.full(len(self.places.section_cases), -np.inf)
        if self._section_flat.size:
            flat = rips.ravel()[self._section_flat]
            worth[1:] = np.add.reduceat(flat, self._section_first)
        return worth

    def _strip_worth(self, strips: Floats) -> Floats:
        worth = np.full(len(self.places.strip_cases), -np.inf)
        if self._strip_flat.size:
            flat = strips.ravel()[self._strip_flat]
            worth[1:] = np.add.reduceat(flat, self._strip_first)
        return worth

    def _zone_worth(self, worth: Floats) -> tuple[Floats, Floats]:
        spots, menu = self.places, self.menu
        table = zones(self.widths, spots.strip_at, worth, self._zone_units, menu.units)
        if not spots.zones:
            return table, np.zeros(0)
        return table, (table + self.zone_credit).max(axis=1)

    def closed(self, b: int, sections: tuple[Section, ...]) -> Pattern:
        """A pattern of these sections: strips pushed together, every leftover that counts kept.

        Sections stay where they are; strips of a clear section slide together, so that what is
        left across lies in one piece.
        """
        board, tidy, credit = self.boards[b], [], 0.0
        for section in sections:
            closed, gave = self._closed_section(b, section)
            tidy.append(closed)
            credit += gave
        head = tidy[0].a if tidy and board.head[tidy[0].a] > 0 else None
        rest = tidy[-1].b if tidy and board.rest[tidy[-1].b] > 0 else None
        credit += self._ends_worth(board, head, rest)
        counts = [0] * len(self.menu.blanks)
        for section in tidy:
            for strip in section.strips:
                for _, i in strip.blanks:
                    counts[i] += 1
        return Pattern(
            sections=tuple(tidy), head=head, rest=rest, credit=credit, counts=tuple(counts)
        )

    def _ends_worth(self, board: GridBoard, head: int | None, rest: int | None) -> float:
        """What is left at the ends; both count where a flaw lies beside one, else the better.

        Both are drawn in any case, and counted when the plan is written down.
        """
        near = float(board.head[head]) if head is not None else 0.0
        far = float(board.rest[rest]) if rest is not None else 0.0
        beside = any(f.x1 == head or f.x0 == rest for f in board.flaws)
        return near + far if beside else max(near, far)

    def _closed_section(self, b: int, section: Section) -> tuple[Section, float]:
        board, menu = self.boards[b], self.menu
        length = (section.b - section.a) * self._along_mm - self._kerf_mm
        worth = self.credit * length * menu.step_mm if length >= self._keep_mm - _TINY else 0.0
        flaws = [f for f in board.flaws if f.x0 < section.b and f.x1 > section.a]
        clear = gaps([(f.y0, f.y1) for f in flaws], 0, board.units)
        inside = [
            any(lo <= s.y and s.y + s.width <= hi for lo, hi in clear) for s in section.strips
        ]
        strips: list[Strip] = []
        kept: list[tuple[int, int]] = []
        credit = 0.0
        if all(inside):
            for lo, hi in clear:
                at = lo
                for strip in section.strips:
                    if lo <= strip.y and strip.y + strip.width <= hi:
                        strips.append(strip if strip.y == at else strip._replace(y=at))
                        at += strip.width
                if worth and hi - at >= menu.keep_units:
                    kept.append((at, hi))
                    credit += worth * (hi - at - menu.kerf_units)
            return Section(section.a, section.b, tuple(strips), tuple(kept)), credit
        top = max(s.y + s.width for s in section.strips)
        top = max(top, *(f.y1 for f in flaws))
        if worth and board.units - top >= menu.keep_units:
            kept.append((top, board.units))
            credit += worth * (board.units - top - menu.kerf_units)
        return section._replace(kept=tuple(kept)), credit

    def _zone_credit(self) -> Floats:
        """Credit of the leftover above each unit of each zone; −∞ past the board's width."""
        menu, spots = self.menu, self.places
        across = np.arange(menu.units + 1)
        units = np.array([self.boards[z.board].units for z in spots.zones])
        free = np.array([z.free for z in spots.zones])
        slope = self.credit * menu.step_mm * self._length_mm * (self._length_mm >= self._keep_mm)
        height = units[:, None] - menu.kerf_units - across
        kept = (across >= free[:, None]) & (across <= (units - menu.keep_units)[:, None])
        credit: Floats = np.where(kept, slope[:, None] * height, 0.0)
        credit[across > units[:, None]] = -np.inf
        return credit

    def _along(self, section_worth: Floats, zone_worth: Floats) -> Floats:
        order = self._zone_order
        return along(
            self.lengths,
            self.places.section_at,
            section_worth,
            self._cells,
            self._start,
            self.zone_of[order],
            self.zone_at[order],
            self.zone_end[order],
            zone_worth[order],
        )


def _flat(
    cases: tuple[tuple[int, Spans], ...], columns: int
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Every case's spans as positions in a flattened table, and where each case starts.

    A case without clear spans looks at length 0, which is worth nothing.
    """
    flat: list[int] = []
    first: list[int] = []
    for n, spans in cases[1:]:
        first.append(len(flat))
        flat.extend(n * columns + b - a for a, b in spans or ((0, 0),))
    return np.array(flat, dtype=np.intp), np.array(first, dtype=np.intp)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Priced:
    """Tables of one pricing; decodes the best pattern of a board."""

    kind: Kind
    prices: Floats
    strips: Floats
    bare: Floats
    rips: Floats
    section_worth: Floats
    strip_worth: Floats
    ripped: Floats
    zone_worth: Floats
    along: Floats
    total: Floats
    best: Floats

    def pattern(self, b: int, *, stop: int | None = None) -> Pattern:
        """The best pattern of a board, or the best that ends at a given cell."""
        at = int(self.total[b].argmax()) if stop is None else stop
        sections = self._sections(b, at)
        return self.kind.closed(b, sections)

    def _sections(self, b: int, at: int) -> tuple[Section, ...]:
        board, row = self.kind.boards[b], self.along[b]
        sections: list[Section] = []
        while at > 0:
            at = int(np.searchsorted(row[: at + 1], row[at] - _TINY))
            if at == 0 or (board.head[at] > 0 and row[at] <= board.head[at] + _TINY):
                break
            section, _ = self._section_ending(b, at)
            sections.append(section)
            at = section.a
        return tuple(reversed(sections))

    def _section_ending(self, b: int, at: int) -> tuple[Section, float]:
        menu, spots, row = self.kind.menu, self.kind.places, self.along[b]
        for s, length in enumerate(menu.sections):
            if length <= at:
                case = spots.section_at[b, s, at - length]
                if case and row[at - length] + self.section_worth[case] >= row[at] - _TINY:
                    return self._uniform(s, at - length, spots.section_cases[case][1])
        for z, zone in enumerate(spots.zones):
            reaches = zone.board == b and zone.b == at
            if reaches and row[zone.a] + self.zone_worth[z] >= row[at] - _TINY:
                return self._zoned(z, zone)
        raise AssertionError("a priced position has no section that ends there")

    def _uniform(self, s: int, a: int, spans: Spans) -> tuple[Section, float]:
        menu = self.kind.menu
        strips: list[Strip] = []
        kept: list[tuple[int, int]] = []
        credit = 0.0
        slope = self.kind.credit * menu.kept[s] * menu.step_mm
        bare = self.bare[s]
        for lo, hi in spans:
            height = hi - lo
            used = height
            if self.rips[s, height] > bare[height] + _TINY:
                across = np.arange(height + 1 - menu.keep_units)
                give = bare[across] + slope * (height - menu.kerf_units - across)
                used = int(give.argmax())
                kept.append((lo + used, hi))
                credit += slope * (height - menu.kerf_units - used)
            strips.extend(self._strips_of(s, a, lo, used))
        return (
            Section(a=a, b=a + menu.sections[s], strips=tuple(strips), kept=tuple(kept)),
            float(credit),
        )

    def _strips_of(self, s: int, a: int, y: int, used: int) -> list[Strip]:
        menu, row, out = self.kind.menu, self.bare[s], []
        at, length = used, menu.sections[s]
        while at > 0:
            at = int(np.searchsorted(row[: at + 1], row[at] - _TINY))
            if at == 0:
                break
            for w, width in enumerate(menu.widths):
                if width <= at and row[at - width] + self.strips[w, length] >= row[at] - _TINY:
                    at -= width
                    break
            else:
                raise AssertionError("a priced rip has no strip that ends there")
            out.append((w, self._blanks_of(w, a, a + length)))
        strips, at = [], y
        for w, blanks in reversed(out):
            strips.append(Strip(y=at, width=menu.widths[w], blanks=blanks))
            at += menu.widths[w]
        return strips

    def _blanks_of(self, w: int, a: int, b: int) -> tuple[tuple[int, int], ...]:
        row, items, out = self.strips[w], self.kind.menu.by_width[w], []
        at = b - a
        while at > 0:
            at = int(np.searchsorted(row[: at + 1], row[at] - _TINY))
            if at == 0:
                break
            for i, p in items:
                pays = p <= at and self.prices[i] > 0
                if pays and row[at - p] + self.prices[i] >= row[at] - _TINY:
                    out.append((i, p))
                    at -= p
                    break
            else:
                raise AssertionError("a priced strip has no blank that ends there")
        placed, at = [], a
        for i, p in out:
            placed.append((at, i))
            at += p
        return tuple(placed)

    def _zoned(self, z: int, zone: Zone) -> tuple[Section, float]:
        kind, _menu = self.kind, self.kind.menu
        credits = kind.zone_credit[z]
        give = self.ripped[z] + credits
        at = int(give.argmax())
        credit = float(credits[at])
        kept = ((at, kind.boards[zone.board].units),) if credit > 0 else ()
        row, strips = self.ripped[z], []
        while at > 0:
            at = int(np.searchsorted(row[: at + 1], row[at] - _TINY))
            if at == 0:
                break
            strip, at = self._zone_strip(z, at)
            strips.append(strip)
        strips.reverse()
        return Section(a=zone.a, b=zone.b, strips=tuple(strips), kept=kept), credit

    def _zone_strip(self, z: int, at: int) -> tuple[Strip, int]:
        menu, spots, row = self.kind.menu, self.kind.places, self.ripped[z]
        for w, width in enumerate(menu.widths):
            if width > at:
                continue
            y = at - width
            case = spots.strip_at[z, w, y]
            if not case:
                continue
            spans = spots.strip_cases[case][1]
            if row[y] + sum(self.strips[w, b - a] for a, b in spans) >= row[at] - _TINY:
                blanks = tuple(t for a, b in spans for t in self._blanks_of(w, a, b))
                return Strip(y=y, width=width, blanks=blanks), y
        raise AssertionError("a priced zone has no strip that ends there")
