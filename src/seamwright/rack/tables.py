"""Dynamic programs shared by every board that takes the same blanks.

``strips[w, p]``: best worth of a strip of width w and pitch p along, crosscut into blanks.
``rips[s, h]``: best worth of a clear section of length s and pitch h across, ripped into strips,
the rest counted as a leftover where it is large enough. Both are one-dimensional knapsacks.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations_with_replacement

import numpy as np

from seamwright.rack.grid import Blank, Floats
from seamwright.rack.kernels.tables import rips, strips, with_leftover
from seamwright.rack.rules import CutRules

_MOST_SECTIONS = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Menu:
    """What may be cut from one kind of board, and the section lengths worth trying.

    Attributes:
        blanks: all blanks, any order.
        widths: distinct strip pitches, ascending.
        by_width: for each width the (blank index, pitch along), longest first.
        sections: section pitches along, ascending.
        cells, units: largest board.
        kept: leftover length [mm] of each section, 0 where a side leftover would be too short.
        kerf_units: rip kerf across [units].
        keep_units: smallest leftover across [units], its kerf included.
        step_mm: units across.
    """

    blanks: tuple[Blank, ...]
    widths: tuple[int, ...]
    by_width: tuple[tuple[tuple[int, int], ...], ...]
    sections: tuple[int, ...]
    cells: int
    units: int
    kept: Floats
    kerf_units: float
    keep_units: int
    step_mm: float


def menu(blanks: tuple[Blank, ...], *, cells: int, units: int, rules: CutRules) -> Menu:
    """Sort blanks by width and choose section lengths."""
    fit = tuple(b for b in blanks if b.along <= cells and b.across <= units)
    widths = tuple(sorted({b.across for b in fit}))
    by_width = tuple(
        tuple(
            sorted(((i, b.along) for i, b in enumerate(fit) if b.across == w), key=lambda t: -t[1])
        )
        for w in widths
    )
    sections = section_lengths(sorted({b.along for b in fit}), cells, rules)
    along = rules.grid.along_mm
    length = np.array(sections) * along - rules.crosscut_kerf_mm
    kept = np.where(length >= rules.keep_length_mm - 1e-9, length, 0.0)
    keep = int(np.ceil((rules.keep_width_mm + rules.rip_kerf_mm) / rules.grid.across_mm - 1e-9))
    return Menu(
        blanks=fit,
        widths=widths,
        by_width=by_width,
        sections=sections,
        cells=cells,
        units=units,
        kept=kept,
        kerf_units=rules.rip_kerf_mm / rules.grid.across_mm,
        keep_units=keep,
        step_mm=rules.grid.across_mm,
    )


def section_lengths(pitches: list[int], cells: int, rules: CutRules) -> tuple[int, ...]:
    """Section pitches: one blank, several of one kind, then mixed pairs, as many as pay.

    Nothing shorter than the shortest piece that may be ripped.
    """
    if not pitches:
        return ()
    least = pitch_of_rip(rules)
    chosen: list[int] = []
    singles = [p * n for n in (1, 2, 3, 4) for p in pitches]
    fill = [p * -(-least // p) for p in pitches]
    mixed = [sum(c) for n in (2, 3) for c in combinations_with_replacement(pitches, n)]
    for length in (*singles, *fill, *mixed):
        if least <= length <= cells and length not in chosen:
            chosen.append(length)
        if len(chosen) >= _MOST_SECTIONS:
            break
    return tuple(sorted(chosen))


def pitch_of_rip(rules: CutRules) -> int:
    """Shortest section pitch that may be ripped [cells]."""
    return int(np.ceil((rules.rip_length_mm + rules.crosscut_kerf_mm) / rules.grid.along_mm - 1e-9))


def strip_table(menu: Menu, prices: Floats) -> Floats:
    """Best worth of every strip width and pitch along; ``prices`` per blank."""
    return strips(
        np.array([menu.widths.index(b.across) for b in menu.blanks], dtype=np.int64),
        np.array([b.along for b in menu.blanks], dtype=np.int64),
        prices,
        len(menu.widths),
        menu.cells,
    )


def rip_tables(menu: Menu, strips: Floats, *, credit: float) -> tuple[Floats, Floats]:
    """Best worth of every section and pitch across: without and with a side leftover."""
    worth = np.ascontiguousarray(strips[:, np.array(menu.sections, dtype=np.int64)])
    bare = rips(np.array(menu.widths, dtype=np.int64), worth, menu.units)
    if credit <= 0 or menu.keep_units > menu.units:
        return bare, bare
    slopes = credit * menu.kept * menu.step_mm
    return bare, with_leftover(bare, slopes, menu.keep_units, menu.kerf_units)
