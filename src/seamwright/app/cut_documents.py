"""Racks and cut plans as documents for programs; see docs/reference/json.md."""

from __future__ import annotations

from seamwright.app.cut_words import way_lines
from seamwright.app.cutting import CutReport
from seamwright.app.documents import SCHEMA, Document
from seamwright.pictures import Ruler
from seamwright.pictures.board_words import marked
from seamwright.rack import Board, BoardCuts, Fate, Line, Rack
from seamwright.rack.shopping import Purchase


def rack_document(rack: Rack) -> Document:
    """What ``seamwright rack list --json`` prints."""
    return {
        "schema": SCHEMA,
        "boards": [
            _board(board) | {"held_by": rack.holder(board.name) or None} for board in rack.boards
        ],
        "offers": [
            {
                "name": offer.name,
                "wood": offer.wood,
                "thickness_mm": offer.thickness_mm,
                "width_mm": offer.width_mm,
                "length_mm": offer.length_mm,
                "finish": offer.finish.value,
                "ring": offer.ring.value,
                "price": offer.price,
                "limit": offer.limit,
            }
            for offer in rack.offers
        ],
    }


def cut_document(report: CutReport, *, held_by: str | None) -> Document:
    """What ``seamwright cut --json`` prints.

    Args:
        report: the cut plan.
        held_by: the job its boards were set aside for, where they were.
    """
    plan, wishes = report.plan, report.wishes
    ruler = marked(Ruler(unit=report.drawing.unit))
    return {
        "schema": SCHEMA,
        "title": report.drawing.title,
        "verdict": plan.verdict,
        "proven": plan.is_proven,
        "cost": plan.cost,
        "bound": plan.bound,
        "gap": plan.gap,
        "yield_pct": plan.yield_pct,
        "order": wishes.order.value,
        "goal": wishes.goal.value,
        "held_by": held_by,
        "split": list(report.split),
        "matched": [{"sticks": mark, "board": board or None} for mark, board in plan.matched],
        "sticks": [_line(report, line, ruler) for line in plan.lines],
        "boards": [_cuts(cuts, report) for cuts in plan.boards],
        "shopping": [_purchase(line) for line in report.shopping],
    }


def _line(report: CutReport, line: Line, ruler: Ruler) -> Document:
    stick = line.stick
    return {
        "name": stick.name,
        "wood": stick.wood,
        "count": stick.count,
        "made": line.made,
        "missing": line.missing,
        "length_mm": stick.length_mm,
        "width_mm": stick.width_mm,
        "depth_mm": stick.depth_mm,
        "ways": list(way_lines(report, line, ruler)),
    }


def _cuts(cuts: BoardCuts, report: CutReport) -> Document:
    lines = report.plan.lines
    return _board(cuts.board) | {
        "bought": bool(cuts.offer),
        "pieces": [
            {
                "name": piece.name,
                "fate": piece.fate.value,
                "x_mm": piece.x_mm,
                "y_mm": piece.y_mm,
                "length_mm": piece.length_mm,
                "width_mm": piece.width_mm,
                "stick": None if piece.stick is None else lines[piece.stick].stick.name,
                "way": None
                if piece.stick is None or piece.way is None
                else lines[piece.stick].variants[piece.way].way.value,
            }
            for piece in cuts.pieces
        ],
        "cuts": [
            {
                "number": cut.number,
                "direction": cut.direction.value,
                "piece": cut.piece,
                "at_mm": cut.at_mm,
                "kerf_mm": cut.kerf_mm,
                "near": cut.near or None,
                "far": cut.far or None,
            }
            for cut in cuts.cuts
        ],
        "leftovers": sum(piece.fate is Fate.LEFTOVER for piece in cuts.pieces),
    }


def _board(board: Board) -> Document:
    return {
        "name": board.name,
        "wood": board.wood,
        "thickness_mm": board.thickness_mm,
        "width_mm": board.width_mm,
        "length_mm": board.length_mm,
        "finish": board.finish.value,
        "ring": board.ring.value,
        "stock": board.stock.value,
        "moisture_pct": board.moisture_pct,
        "price": board.price,
        "place": board.place,
        "photo": board.photo or None,
        "flaws": [
            {
                "kind": flaw.kind.value,
                "x_mm": flaw.x_mm,
                "y_mm": flaw.y_mm,
                "length_mm": flaw.length_mm,
                "width_mm": flaw.width_mm,
            }
            for flaw in board.flaws
        ],
    }


def _purchase(line: Purchase) -> Document:
    return {
        "wood": line.wood,
        "size": line.size,
        "what": line.what,
        "boards": line.boards,
        "board_feet": line.exact_feet,
        "board_feet_tallied": line.feet_nearest,
        "board_feet_rounded_up": line.feet_up,
        "cubic_m": line.cubic_m,
        "price": line.price,
    }
