"""The proof: a plan carried out, and its board laid over the drawing."""

from __future__ import annotations

from collections.abc import Sequence

from seamwright.bench.backing import check_backing, check_made
from seamwright.bench.comparing import Match, compare
from seamwright.bench.model import Balance, Finding, Piece, Proof, Severity, Shelf, Solid
from seamwright.bench.notes import Notes, mm
from seamwright.bench.running import execute
from seamwright.bench.shapes import moved_pieces
from seamwright.bench.tolerance import BOARD_SHARE, TOUCH_MM, VOLUME_MM3
from seamwright.design import Drawing, Kind
from seamwright.plan import Plan, numbered_faults

_NAMED = 8


def prove(plan: Plan, drawing: Drawing) -> Proof:
    """Carry a plan out on virtual wood and compare the board with the drawing.

    The proof holds where the board is the drawing (every patch there once, wood and grain right,
    symmetric difference below a millionth of the board), all wood is accounted for, and no step
    is wrong or passes a limit of the shop. Warnings do not break it.

    Args:
        plan: any plan, sound or not.
        drawing: what it should make.
    """
    return prove_shelf(execute(plan), plan, drawing)


def prove_shelf(shelf: Shelf, plan: Plan, drawing: Drawing) -> Proof:
    """The proof from a plan that has been carried out already.

    Args:
        shelf: what ``execute(plan)`` gave.
        plan: the plan.
        drawing: what it should make.
    """
    notes = Notes(step=0, subject="the board")
    board = dict(shelf.solids).get(plan.board)
    _check_board(plan, drawing, shelf, board, notes)
    pieces = moved_pieces(board.pieces, plan.board_at) if board else ()
    match = compare(drawing.patches, pieces)
    board_mm2 = match.drawn_mm2
    if board:
        _tell_places(match, drawing, pieces, plan, notes)
        _tell_shapes(match, drawing, pieces, board_mm2, notes)
    balance = _balance(shelf, plan)
    carried_out = len(shelf.steps) == len(plan.steps)
    if carried_out and abs(balance.error_mm3) > VOLUME_MM3:
        notes.wrong("B220", f"leaves {balance.error_mm3:.1f} mm³ of wood unaccounted for")
    findings = (*shelf.findings, *_graph_findings(plan, shelf), *notes.found)
    names = [patch.name for patch in drawing.patches]
    return Proof(
        holds=all(finding.severity is Severity.WARNING for finding in findings),
        area_error_mm2=match.area_error_mm2,
        board_area_mm2=board_mm2,
        grain_errors=len({patch for patch, _ in match.grain}),
        wood_errors=len({patch for patch, _ in match.wood}),
        missing=tuple(names[i] for i in match.missing),
        doubled=tuple(names[i] for i in match.doubled),
        split_patches=tuple(
            (names[i], count) for i, count in enumerate(match.pieces_in) if count > 1
        ),
        joined_patches=tuple(names[i] for i in match.joined),
        balance=balance,
        findings=findings,
    )


def _check_board(
    plan: Plan, drawing: Drawing, shelf: Shelf, board: Solid | None, notes: Notes
) -> None:
    if board is None:
        notes.wrong("B201", f"is never finished: no step that can be done makes {plan.board!r}")
        return
    if plan.copies != drawing.copies:
        notes.wrong("B202", f"is planned {plan.copies} times, but wanted {drawing.copies} times")
    left = shelf.counts(plan.board).left
    if left < max(plan.copies, drawing.copies):
        notes.wrong("B203", f"is there {left} times at the end, not {drawing.copies} times")
    thin = drawing.kind is Kind.OVERLAY and board.depth_mm < drawing.thickness_mm
    wanted = drawing.thickness_mm
    if plan.backed is not None:
        wanted += check_backing(plan, plan.backed, drawing, notes)
        check_made(plan, plan.backed, drawing, shelf, notes)
    if abs(board.depth_mm - wanted) > TOUCH_MM and not thin:
        notes.wrong("B204", f"is {mm(board.depth_mm)} thick; the drawing wants {mm(wanted)}")
    if not board.planed and plan.shop.allowances.plane_face_mm > 0.0:
        notes.warn("B205", "is not planed after its last glue-up")


def _tell_places(
    match: Match, drawing: Drawing, pieces: Sequence[Piece], plan: Plan, notes: Notes
) -> None:
    milled = {step.makes: number for number, step in enumerate(plan.steps, start=1)}
    for patch, piece in match.wood[:_NAMED]:
        wanted, found = drawing.patches[patch], pieces[piece]
        _at(notes, milled.get(found.stick, 0)).wrong(
            "B210",
            f"of {drawing.wood_name(found.wood)} comes to lie in a patch of "
            f"{drawing.wood_name(wanted.wood)}: {wanted.name}",
            subject=found.stick,
        )
    for patch, piece in match.grain[:_NAMED]:
        wanted, found = drawing.patches[patch], pieces[piece]
        notes.wrong(
            "B211",
            f"has its grain at {found.grain_deg:.4g}°; the drawing wants {wanted.grain_deg:.4g}° "
            f"(wood from {found.stick})",
            subject=f"patch {wanted.name}",
        )


def _tell_shapes(
    match: Match, drawing: Drawing, pieces: Sequence[Piece], board_mm2: float, notes: Notes
) -> None:
    if match.area_error_mm2 <= board_mm2 * BOARD_SHARE:
        return
    least = board_mm2 * BOARD_SHARE / 10.0
    for patch, error in match.off[:_NAMED]:
        if error > least:
            name = drawing.patches[patch].name
            state = "is missing" if patch in match.missing else "is not as drawn"
            state = "is there twice" if patch in match.doubled else state
            notes.wrong("B212", f"{state}: {error:.3g} mm² off", subject=f"patch {name}")
    for piece, error in match.stray[:_NAMED]:
        if error > least:
            stick = pieces[piece].stick
            notes.wrong(
                "B213",
                f"reaches {error:.3g} mm² outside the patches it belongs to",
                subject=f"a piece of {stick}",
            )
    notes.wrong(
        "B214",
        f"differs from the drawing by {match.area_error_mm2:.3g} mm²; "
        f"{board_mm2 * BOARD_SHARE:.2g} mm² may be",
    )


def _at(notes: Notes, step: int) -> Notes:
    """The same notebook, opened at another step."""
    return Notes(step=step, subject=notes.subject, found=notes.found)


def _graph_findings(plan: Plan, shelf: Shelf) -> tuple[Finding, ...]:
    """What the plan's own check says about steps the bench found nothing wrong with."""
    told = {f.step for f in shelf.findings if f.severity is Severity.WRONG}
    return tuple(
        Finding(
            step=number,
            subject=plan.steps[number - 1].makes if number else "the plan",
            message=fault.message,
            severity=Severity.WRONG,
            code=fault.code,
        )
        for number, fault in numbered_faults(plan)
        if number not in told
    )


def _balance(shelf: Shelf, plan: Plan) -> Balance:
    boards = spares = 0.0
    stock = dict(shelf.stock)
    for kind, solid in shelf.solids:
        left = stock[kind].left
        wanted = min(left, plan.kept(kind))
        boards += wanted * solid.volume_mm3
        spares += (left - wanted) * solid.volume_mm3
    return Balance(
        milled_mm3=sum(step.milled_mm3 for step in shelf.steps),
        boards_mm3=boards,
        spares_mm3=spares,
        kerf_mm3=sum(step.kerf_mm3 for step in shelf.steps),
        planed_mm3=sum(step.planed_mm3 for step in shelf.steps),
        offcuts_mm3=sum(step.offcut_mm3 for step in shelf.steps),
    )
