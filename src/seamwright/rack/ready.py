"""Getting the compiled inner loops ready, so that this takes nothing of the time to search."""

from __future__ import annotations

from functools import cache

import numpy as np

from seamwright.rack.boards import Board, Flaw, FlawKind
from seamwright.rack.contents import Contents
from seamwright.rack.grid import Blank, grid_board
from seamwright.rack.kernels.settling import Stages
from seamwright.rack.kernels.stages import cheapest
from seamwright.rack.labels import keys_of
from seamwright.rack.price import Kind
from seamwright.rack.proper import Whole
from seamwright.rack.rules import CutRules
from seamwright.rack.settle import walked
from seamwright.rack.tables import menu


@cache
def get_ready() -> None:
    """Price one small flawed board and choose from one column: that uses every inner loop there is.

    The first time after an installation this takes about a minute, then well under a second.
    """
    rules = CutRules(crosscut_kerf_mm=3, rip_kerf_mm=3, resaw_kerf_mm=1, rip_length_mm=50)
    flaw = Flaw(kind=FlawKind.KNOT, x_mm=150, y_mm=20, length_mm=10, width_mm=5)
    board = Board(
        name="first", wood="any", thickness_mm=26, width_mm=80, length_mm=500, flaws=(flaw,)
    )
    grid = grid_board(board, rules, cost=1.0, credit=1e-5, limit=1)
    blanks = tuple(
        Blank(row=n, stick=n, variant=0, along=along, across=150, gives=1)
        for n, along in enumerate((60, 100))
    )
    kind = Kind(menu(blanks, cells=grid.cells, units=grid.units, rules=rules), (grid,), rules)
    keys = keys_of((2, 2))
    whole = Whole(Contents(kind.solve(np.array([0.3, 0.6])), keys, most=10**6), 0, keys)
    whole.best(0.0, ())
    whole.likely(0.0, ())
    list(whole.all(0.5))
    one, stages = np.ones(1), np.array([0, 1])
    cheapest(stages, one, np.ones((1, 1), np.int64), np.ones(1, np.int64), one, one, 1)
    counts = np.ones((1, 1), np.int16)
    walked(Stages(stages, one, counts, one, one, one), counts[0], 5.0, 1, 10)
