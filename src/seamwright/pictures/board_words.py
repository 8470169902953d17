"""Words beside the drawing of a board: its title, and every cut in order."""

from __future__ import annotations

from dataclasses import replace

from seamwright.pictures.sizes import Ruler
from seamwright.rack import Board, BoardCuts, Cut, CutPlan, Direction, Fate, Piece

_FINEST = 32


def board_size(board: Board, ruler: Ruler) -> str:
    """Length × width × thickness in the leading unit."""
    return marked(ruler).sizes(board.length_mm, board.width_mm, board.thickness_mm)


def board_title(cuts: BoardCuts, ruler: Ruler) -> str:
    """Mark, wood and size of a board that is cut; a bought one says so."""
    board = cuts.board
    buy = "buy " if cuts.offer else ""
    return f"{buy}{board.name} · {board.wood} · {board_size(board, ruler)}"


def cut_words(cuts: BoardCuts, cut: Cut, plan: CutPlan, ruler: Ruler) -> str:
    """One cut as one woodworker tells it another.

    The size told is what the saw frees, measured from the near end for a crosscut and from the
    lower edge for a rip.
    """
    pieces = {piece.name: piece for piece in cuts.pieces}
    is_rip = cut.direction is Direction.RIP
    whole = pieces[cut.piece]
    size = cut.at_mm - (whole.y_mm if is_rip else whole.x_mm)
    verb = "rip" if is_rip else "crosscut"
    near, far = pieces.get(cut.near), pieces.get(cut.far)
    told = [f"{verb} {_named(cuts, cut)}"]
    if near is not None:
        told.append(f"{_size(size, ruler)} off {_becomes(near, plan)}")
    if far is not None and far.fate in (Fate.BLANK, Fate.LEFTOVER):
        left = far.width_mm if is_rip else far.length_mm
        told.append(f"the rest, {_size(left, ruler)}, {_becomes(far, plan)}")
    if near is None:
        told.append("only the saw's width comes off")
    return ": ".join((told[0], ", ".join(told[1:])))


def marked(ruler: Ruler) -> Ruler:
    """The ruler for rough work: nothing finer than 1/32 in."""
    return replace(ruler, denominator=_FINEST)


def _size(mm: float, ruler: Ruler) -> str:
    rule = marked(ruler)
    return f"{rule.first(mm)} ({rule.second(mm)})"


def _named(cuts: BoardCuts, cut: Cut) -> str:
    """What is cut, by the cut it came from."""
    if cut.piece == cuts.pieces[0].name:
        return "the board"
    for earlier in cuts.cuts:
        if cut.piece == earlier.near:
            return f"the piece from cut {earlier.number}"
        if cut.piece == earlier.far:
            last = earlier.number == cut.number - 1
            return "the rest" if last else f"the rest of cut {earlier.number}"
    return cut.piece


def _becomes(piece: Piece, plan: CutPlan) -> str:
    if piece.fate is Fate.BLANK and piece.stick is not None:
        return f"for {plan.lines[piece.stick].stick.name}"
    return {
        Fate.LEFTOVER: "to keep",
        Fate.WASTE: "as waste",
        Fate.CUT_UP: "to cut further",
    }.get(piece.fate, "")
