"""Setting boards aside for a job, using them up, and putting leftovers back with their flaws."""

from __future__ import annotations

from dataclasses import replace

from seamwright.errors import Fault
from seamwright.rack.boards import Board, Flaw, Offer, Rack, RackError, Reservation, Stock
from seamwright.rack.layout import BoardCuts, CutPlan, Fate, Piece


def reserve(rack: Rack, plan: CutPlan, *, job: str) -> Rack:
    """Set aside the boards a plan cuts.

    Raises:
        RackError: a board is gone, changed since, or set aside for another job; then nothing is
            set aside.
    """
    if not job:
        raise RackError(Fault("R140", "the job", "has no name", "name the job"))
    mine = [cuts.board for cuts in plan.boards if not cuts.offer]
    faults = [fault for board in mine for fault in _use_faults(rack, board, job)]
    if faults:
        raise RackError(*faults)
    held = {r.board for r in rack.reservations}
    fresh = tuple(Reservation(board=b.name, job=job) for b in mine if b.name not in held)
    return replace(rack, reservations=(*rack.reservations, *fresh))


def release(rack: Rack, *, job: str) -> Rack:
    """Give back everything set aside for a job."""
    return replace(rack, reservations=tuple(r for r in rack.reservations if r.job != job))


def confirm(rack: Rack, plan: CutPlan, *, job: str) -> Rack:
    """Take the boards of a plan off the rack and put its leftovers on it.

    Every board must be set aside for the job and lie there unchanged. Boards the job had set
    aside beyond the plan become free.

    Raises:
        RackError: a board is gone, changed, or not set aside for this job.
    """
    mine = [cuts.board for cuts in plan.boards if not cuts.offer]
    faults = [fault for board in mine for fault in _use_faults(rack, board, job)]
    faults += [
        Fault("R141", f"board {b.name}", f"is not set aside for {job}", "reserve the plan first")
        for b in mine
        if rack.holder(b.name) != job
    ]
    faults += [
        Fault("R147", f"offer {o.name}", f"has {o.limit} left", "plan the cuts again")
        for o in rack.offers
        if o.limit is not None and o.limit < _bought(plan, o)
    ]
    if faults:
        raise RackError(*faults)
    used = {board.name for board in mine}
    kept = [board for board in rack.boards if board.name not in used]
    taken = {board.name for board in rack.boards}
    for number, cuts in enumerate(plan.boards, 1):
        stem = f"{cuts.board.name} no. {number}" if cuts.offer else cuts.board.name
        for back in leftovers(cuts):
            name = _free_name(stem, taken)
            taken.add(name)
            kept.append(replace(back, name=name))
    offers = tuple(
        o if o.limit is None else replace(o, limit=o.limit - _bought(plan, o)) for o in rack.offers
    )
    return release(replace(rack, boards=tuple(kept), offers=offers), job=job)


def _bought(plan: CutPlan, offer: Offer) -> int:
    return sum(cuts.offer == offer.name for cuts in plan.boards)


def leftovers(cuts: BoardCuts) -> tuple[Board, ...]:
    """What goes back on the rack from one board, flaws in place; not yet named."""
    return tuple(_leftover(cuts.board, piece) for piece in cuts.of(Fate.LEFTOVER))


def _leftover(board: Board, piece: Piece) -> Board:
    share = piece.length_mm * piece.width_mm / (board.length_mm * board.width_mm)
    flaws = tuple(f for flaw in board.flaws if (f := _clipped(flaw, piece)) is not None)
    return replace(
        board,
        name="",
        length_mm=piece.length_mm,
        width_mm=piece.width_mm,
        stock=Stock.OFFCUT,
        price=None if board.price is None else board.price * share,
        photo="",
        flaws=flaws,
    )


def _clipped(flaw: Flaw, piece: Piece) -> Flaw | None:
    x0, x1 = max(flaw.x_mm, piece.x_mm), min(flaw.x_mm + flaw.length_mm, _end(piece))
    y0, y1 = max(flaw.y_mm, piece.y_mm), min(flaw.y_mm + flaw.width_mm, _top(piece))
    if x1 - x0 <= 1e-6 or y1 - y0 <= 1e-6:
        return None
    return replace(
        flaw,
        x_mm=x0 - piece.x_mm,
        y_mm=y0 - piece.y_mm,
        length_mm=x1 - x0,
        width_mm=y1 - y0,
    )


def _end(piece: Piece) -> float:
    return piece.x_mm + piece.length_mm


def _top(piece: Piece) -> float:
    return piece.y_mm + piece.width_mm


def _free_name(stem: str, taken: set[str]) -> str:
    number = 1
    while f"{stem}-{number}" in taken:
        number += 1
    return f"{stem}-{number}"


def _use_faults(rack: Rack, board: Board, job: str) -> list[Fault]:
    subject = f"board {board.name}"
    now = next((b for b in rack.boards if b.name == board.name), None)
    if now is None:
        return [Fault("R101", subject, "is not on the rack", "plan the cuts again")]
    if now != board:
        return [Fault("R142", subject, "has changed since it was planned", "plan the cuts again")]
    holder = rack.holder(board.name)
    if holder not in ("", job):
        return [Fault("R143", subject, f"is set aside for {holder}", "release it or plan again")]
    return []
