"""Strips of wood between blocks and round them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from itertools import accumulate

from seamwright.design.pieces import Piece
from seamwright.geometry import snap_point

Box = tuple[Fraction, Fraction, Fraction, Fraction]
"""x_min, y_min, x_max, y_max [mm]."""


class Runs(Enum):
    """Which way the long sashes run, from edge to edge of the set."""

    ACROSS = "across"
    UP = "up"


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """Sashing or a border: its wood, width and own grain.

    Attributes:
        wood: letter of its wood.
        width_mm: width, more than 0.
        grain_deg: own grain [°], or None for the board's.
    """

    wood: str
    width_mm: Fraction
    grain_deg: float | None

    def piece(self, name: str, box: Box, *, wood: str = "") -> Piece:
        """A rectangle of it, or of another wood."""
        x0, y0, x1, y1 = (float(value) for value in box)
        points = tuple(snap_point(p) for p in ((x0, y0), (x1, y0), (x1, y1), (x0, y1)))
        return Piece(points=points, wood=wood or self.wood, grain_deg=self.grain_deg, place=name)


class Sashes:
    """Makes the strips between blocks, numbered as they come; none where there is no strip."""

    def __init__(self, strip: Strip | None, stones: str | None, runs: Runs) -> None:
        self._strip = strip
        self._stones = stones
        self._runs = runs
        self._sash = 0
        self._stone = 0

    @property
    def gap_mm(self) -> Fraction:
        """Space between two blocks."""
        return self._strip.width_mm if self._strip else Fraction(0)

    @property
    def need_columns(self) -> bool:
        """Whether blocks below each other must be of one width."""
        return self._strip is not None and (bool(self._stones) or self._runs is Runs.UP)

    def beside(self, x: Fraction, y: Fraction, height: Fraction) -> list[Piece]:
        """The short strip between two blocks of a row, where the long ones run across."""
        if self._strip is None or (self._runs is Runs.UP and not self._stones):
            return []
        return [self._next(self._strip, (x, y, x + self.gap_mm, y + height))]

    def below(self, columns: list[Fraction], y: Fraction) -> list[Piece]:
        """The strips between two rows: one long one, or short ones between columns."""
        if self._strip is None:
            return []
        gap = self.gap_mm
        if not self.need_columns:
            width = sum(columns, (len(columns) - 1) * gap)
            return [self._next(self._strip, (Fraction(0), y, width, y + gap))]
        pieces = []
        starts = accumulate((column + gap for column in columns), initial=Fraction(0))
        for number, (x, column) in enumerate(zip(starts, columns, strict=False)):
            if number and self._stones:
                self._stone += 1
                box = (x - gap, y, x, y + gap)
                pieces.append(self._strip.piece(f"stone {self._stone}", box, wood=self._stones))
            pieces.append(self._next(self._strip, (x, y, x + column, y + gap)))
        return pieces

    def upright(self, columns: list[Fraction], height: Fraction) -> list[Piece]:
        """The long strips between columns, where the long ones run up."""
        if self._strip is None or self._runs is Runs.ACROSS or self._stones:
            return []
        pieces = []
        x = Fraction(0)
        for column in columns[:-1]:
            x += column
            pieces.append(self._next(self._strip, (x, Fraction(0), x + self.gap_mm, height)))
            x += self.gap_mm
        return pieces

    def _next(self, strip: Strip, box: Box) -> Piece:
        self._sash += 1
        return strip.piece(f"sash {self._sash}", box)
