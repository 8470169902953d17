"""From a pattern on the grid to pieces and cuts in order, in whole nanometres.

Crosscuts into sections first, from the near end; then each section is ripped from its lower edge;
then each strip is crosscut. Ripping first is the same with one section as long as the board.
"""

from __future__ import annotations

from collections.abc import Sequence

from seamwright.rack.boards import Board
from seamwright.rack.grid import GridBoard
from seamwright.rack.layout import BoardCuts, Cut, Direction, Fate, Piece
from seamwright.rack.pattern import Pattern, Section, Strip
from seamwright.rack.rules import CutRules
from seamwright.rack.tables import Menu

_NM = 1_000_000
Item = tuple[int, int, Section | Strip | Fate | int]
Box = tuple[int, int, int, int, int]


def nanometres(size_mm: float) -> int:
    """Whole nanometres."""
    return round(size_mm * _NM)


class Sawyer:
    """Cuts one board by a pattern, writing down pieces and cuts."""

    def __init__(self, grid: GridBoard, menu: Menu, rules: CutRules) -> None:
        self.grid, self.menu, self.rules = grid, menu, rules
        board = grid.board
        self.length, self.width = nanometres(board.length_mm), nanometres(board.width_mm)
        self.cross, self.rip = (
            nanometres(rules.crosscut_kerf_mm),
            nanometres(rules.rip_kerf_mm),
        )
        self.pieces: list[Piece] = []
        self.cuts: list[Cut] = []

    def along(self, cell: int) -> int:
        """Where a cell begins."""
        return nanometres(self.rules.end_trim_mm) + cell * nanometres(self.rules.grid.along_mm)

    def across(self, unit: int) -> int:
        """Where a unit begins."""
        return nanometres(self.rules.edge_trim_mm) + unit * nanometres(self.rules.grid.across_mm)

    def cut(self, pattern: Pattern, *, offer: str, cost: float, board: Board) -> BoardCuts:
        """Pieces and cuts of a pattern."""
        whole = self._piece(Fate.CUT_UP, 0, self.length, 0, self.width)
        items: list[Item] = [
            (self.along(s.a), self.along(s.b) - self.cross, s) for s in pattern.sections
        ]
        if pattern.head is not None:
            items.insert(0, (0, self.along(pattern.head) - self.cross, Fate.LEFTOVER))
        if pattern.rest is not None:
            items.append((self.along(pattern.rest), self.length, Fate.LEFTOVER))
        self._divide(whole, Direction.CROSSCUT, items)
        return BoardCuts(
            board=board,
            offer=offer,
            pieces=tuple(self.pieces),
            cuts=tuple(self.cuts),
            cost=cost,
        )

    def _piece(self, fate: Fate, x0: int, x1: int, y0: int, y1: int) -> Box:
        self.pieces.append(
            Piece(
                name=f"P{len(self.pieces)}",
                fate=fate,
                x_mm=x0 / _NM,
                y_mm=y0 / _NM,
                length_mm=(x1 - x0) / _NM,
                width_mm=(y1 - y0) / _NM,
            )
        )
        return len(self.pieces) - 1, x0, x1, y0, y1

    def _divide(self, piece: Box, direction: Direction, items: Sequence[Item]) -> None:
        """Free items one after another from a piece that is wholly cut up."""
        number, x0, x1, y0, y1 = piece
        is_rip = direction is Direction.RIP
        lo, hi = (y0, y1) if is_rip else (x0, x1)
        kerf = self.rip if is_rip else self.cross
        at, name = lo, number
        freed: list[tuple[Box, Section | Strip | Fate | int]] = []

        def side(a: int, b: int, fate: Fate) -> Box:
            box = (x0, x1, a, b) if is_rip else (a, b, y0, y1)
            return self._piece(fate, *box)

        def saw(start: int, stop: int, near: str, far: str) -> None:
            self.cuts.append(
                Cut(
                    number=len(self.cuts) + 1,
                    direction=direction,
                    piece=f"P{name}",
                    at_mm=start / _NM,
                    kerf_mm=(stop - start) / _NM,
                    near=near,
                    far=far,
                )
            )

        for n, (start, stop, what) in enumerate(items):
            if start > at:
                band = max(at, start - kerf)
                near = side(at, band, Fate.WASTE) if band > at else None
                far = side(start, hi, Fate.CUT_UP)
                saw(band, start, f"P{near[0]}" if near else "", f"P{far[0]}")
                at, name = start, far[0]
            if stop >= hi:
                box = (x0, x1, at, hi) if is_rip else (at, hi, y0, y1)
                freed.append(((name, *box), what))
                at = hi
                break
            mine = side(at, stop, Fate.CUT_UP)
            freed.append((mine, what))
            band = min(hi, stop + kerf)
            last = n == len(items) - 1
            rest = side(band, hi, Fate.WASTE if last else Fate.CUT_UP) if band < hi else None
            saw(stop, band, f"P{mine[0]}", f"P{rest[0]}" if rest else "")
            at = band
            name = rest[0] if rest else name
        for mine, what in freed:
            self._settle(mine, what)

    def _settle(self, piece: Box, what: Section | Strip | Fate | int) -> None:
        """Cut a freed piece up further, or say what it is."""
        if isinstance(what, Section):
            items: list[Item] = [
                (self.across(s.y), self.across(s.y + s.width) - self.rip, s) for s in what.strips
            ]
            for lo, hi in what.kept:
                top = self.width if hi == self.grid.units else self.across(hi) - self.rip
                items.append((self.across(lo), top, Fate.LEFTOVER))
            self._divide(piece, Direction.RIP, sorted(items, key=lambda t: t[0]))
        elif isinstance(what, Strip):
            blanks = [
                (
                    self.along(c),
                    self.along(c + self.menu.blanks[i].along) - self.cross,
                    i,
                )
                for c, i in what.blanks
            ]
            self._divide(piece, Direction.CROSSCUT, blanks)
        else:
            number, *_ = piece
            old = self.pieces[number]
            blank = self.menu.blanks[what] if isinstance(what, int) else None
            self.pieces[number] = Piece(
                name=old.name,
                fate=Fate.BLANK if blank else Fate.LEFTOVER,
                x_mm=old.x_mm,
                y_mm=old.y_mm,
                length_mm=old.length_mm,
                width_mm=old.width_mm,
                stick=blank.stick if blank else None,
                way=blank.variant if blank else None,
            )
