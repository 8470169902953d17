"""What a cut board counts, recounted from its pieces to the nanometre.

The search works on a grid and rounds what a leftover gives back down a little; the plan that is
handed out is counted exactly.
"""

from __future__ import annotations

import itertools

from seamwright.rack.boards import Board
from seamwright.rack.grid import covered, flaw_boxes, usable
from seamwright.rack.layout import BoardCuts, Fate, Piece
from seamwright.rack.rules import CutRules


def counted(cuts: BoardCuts, rules: CutRules, *, cost: float, credit: float) -> float:
    """The cost of a board less what its leftovers give back.

    Args:
        cuts: the board and its pieces.
        rules: trims and clearance.
        cost: of the whole board.
        credit: what leftovers give back [per mm²].
    """
    kept = sum(clear_mm2(piece, cuts.board, rules) for piece in cuts.of(Fate.LEFTOVER))
    return cost - credit * kept


def clear_mm2(piece: Piece, board: Board, rules: CutRules) -> float:
    """Area of a piece between the trims and clear of flaws with their clearance [mm²]."""
    length, width = usable(board, rules)
    left, low = piece.x_mm - rules.end_trim_mm, piece.y_mm - rules.edge_trim_mm
    x0, x1 = max(0.0, left), min(length, left + piece.length_mm)
    y0, y1 = max(0.0, low), min(width, low + piece.width_mm)
    if x1 <= x0 or y1 <= y0:
        return 0.0
    boxes = [
        (max(a, x0), max(b, y0), min(c, x1), min(d, y1))
        for a, b, c, d in flaw_boxes(board, rules)
        if a < x1 and c > x0 and b < y1 and d > y0
    ]
    marks = sorted({x0, x1, *(x for box in boxes for x in (box[0], box[2]))})
    area = 0.0
    for a, b in itertools.pairwise(marks):
        spans = sorted((y, top) for x, y, far, top in boxes if x < b and far > a)
        area += (b - a) * (y1 - y0 - covered(spans))
    return area
