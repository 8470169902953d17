"""Cut plans in words: boards, cuts in order, ways to get a stick, what to buy."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from seamwright.app.cutting import CutReport
from seamwright.app.step_words import sizes_text
from seamwright.pictures import Ruler
from seamwright.pictures.board_words import board_title, cut_words, marked
from seamwright.pictures.boards import cuts_svg
from seamwright.plan import Shop
from seamwright.rack import (
    Board,
    BoardCuts,
    CutPlan,
    Fate,
    Finish,
    Line,
    Piece,
    Ring,
    Stock,
    Variant,
    Way,
    face_ring,
)
from seamwright.rack.quarters import quarter_for
from seamwright.rack.shopping import Purchase

_LITRES_M3 = 1000.0


def cut_lines(report: CutReport) -> Iterator[str]:
    """A whole cut plan: how good it is, every board, every stick, what to buy."""
    ruler = marked(Ruler(unit=report.drawing.unit))
    yield from sure_of_cuts(report)
    yield ""
    for number, cuts in enumerate(report.plan.boards, start=1):
        yield f"Board {number}: {board_title(cuts, ruler)}{_place(cuts.board)}"
        yield from (f"{cut.number:>5}  {cut_words(cuts, cut, report.plan, ruler)}"
                    for cut in cuts.cuts)  # fmt: skip
        kept = cuts.of(Fate.LEFTOVER)
        yield from (f"     keep {_piece_words(piece, cuts.board, ruler)}" for piece in kept)
    if not report.plan.boards:
        yield "No board is cut."
    yield ""
    yield "Sticks, and how to get each:"
    for line in report.plan.lines:
        yield f"  {stick_title(line, ruler)}"
        yield from (f"    {words}" for words in way_lines(report, line, ruler))
    if report.split:
        yield ""
        yield from report.split
    yield ""
    yield from shopping_lines(report)


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPage:
    """A board to be cut, as a screen steps through it.

    Attributes:
        number: of the board, from 1.
        title, place: mark, wood and size; where it lies.
        cuts: every cut in words.
        kept: leftovers in words.
    """

    number: int
    title: str
    place: str
    cuts: tuple[str, ...]
    kept: tuple[str, ...]
    board: BoardCuts
    plan: CutPlan

    def picture(self, upto: int) -> str:
        """The board after some of its cuts (SVG)."""
        return cuts_svg(self.board, self.plan, name=None, upto=upto)


def cut_pages(report: CutReport, ruler: Ruler) -> tuple[CutPage, ...]:
    """Every board of a cut plan, to step through."""
    rule = marked(ruler)
    found = []
    for number, cuts in enumerate(report.plan.boards, start=1):
        title = board_title(cuts, rule)
        kept = cuts.of(Fate.LEFTOVER)
        found.append(
            CutPage(
                number=number,
                title=title[0].upper() + title[1:],
                place=cuts.board.place,
                cuts=tuple(cut_words(cuts, cut, report.plan, rule) for cut in cuts.cuts),
                kept=tuple(_piece_words(piece, cuts.board, rule) for piece in kept),
                board=cuts,
                plan=report.plan,
            )
        )
    return tuple(found)


def sure_of_cuts(report: CutReport) -> Iterator[str]:
    """The verdict, what was asked, how the wood comes out, what could not be matched."""
    plan, wishes = report.plan, report.wishes
    yield f"Cut plan for {report.drawing.title}: {plan.verdict}."
    asked = [f"Order of sawing: {wishes.order.value}", f"{wishes.goal.value} saved first"]
    yield f"  {'; '.join(asked)}; {plan.yield_pct:.0f} % of the wood used ends up in blanks"
    own = [c for c in plan.boards if not c.offer]
    offcuts = sum(c.board.stock is Stock.OFFCUT for c in own)
    kept = sum(len(c.of(Fate.LEFTOVER)) for c in plan.boards)
    yield (
        f"  {_many(offcuts, 'offcut')} and {_many(len(own) - offcuts, 'board')} from the rack, "
        f"{_many(len(plan.boards) - len(own), 'board')} bought; {_many(kept, 'leftover')} go back"
    )
    for mark, board in plan.matched:
        found = f"all from {board}" if board else "from several: no single board gives them all"
        yield f"  Matched colour, {mark}: {found}"


def stick_title(line: Line, ruler: Ruler) -> str:
    """A stick wanted: how many, which wood, what finished size, how many are missing."""
    stick = line.stick
    size = sizes_text(ruler, stick.length_mm, stick.width_mm, stick.depth_mm)
    lack = f"; {line.missing} MISSING" if line.missing else ""
    return f"{stick.count} × {stick.name} of {stick.wood}, finished {size}{lack}"


def way_lines(report: CutReport, line: Line, ruler: Ruler) -> Iterator[str]:
    """How the sticks of a line are got, board by board; or what would be needed."""
    index = report.plan.lines.index(line)
    used: dict[tuple[str, int], tuple[Board, int]] = {}
    for cuts in report.plan.boards:
        for piece in cuts.of(Fate.BLANK):
            if piece.stick == index and piece.way is not None:
                key = (cuts.board.name, piece.way)
                used[key] = (cuts.board, used.get(key, (cuts.board, 0))[1] + 1)
    for (name, way), (board, count) in used.items():
        words = way_words(line, line.variants[way], board, report.report.plan.shop, ruler)
        yield f"{_many(count, 'blank')} from {name}: {words}"
    if line.missing and line.variants:
        yield f"missing: {needed_words(line.variants[0], ruler)}"


def way_words(line: Line, variant: Variant, board: Board, shop: Shop, ruler: Ruler) -> str:
    """One way of getting a stick from a board, with the thickness it takes and why."""
    stick = line.stick
    long, wide_blank = _size(variant.length_mm, ruler), _size(variant.rip_mm, ruler)
    blank = f"cut {long} long and {wide_blank} wide"
    deep, wide = ruler.first(stick.depth_mm), ruler.first(stick.width_mm)
    told = {
        Way.FLAT: f"{blank}; the depth of {deep} comes out of the thickness",
        Way.ON_EDGE: (
            f"{blank}, then turn it on edge: the width of {wide} comes out of the thickness, "
            f"the depth of {deep} is what was ripped"
        ),
        Way.RESAWN: f"{blank}; resaw into {variant.sticks}, each planed to {deep}",
        Way.LAYERED: (f"{blank}; glue {variant.blanks} face to face, then plane to {deep} deep"),
        Way.WIDENED: (f"{blank}; glue {variant.blanks} edge to edge, then rip to {wide} wide"),
    }[variant.way]
    if variant.glue:
        told += f" (the work counts {variant.glue:.2f} for each; weighed against a whole stick)"
    thick = _thickness(variant, board, shop, ruler)
    return "; ".join(filter(None, (told, thick, _rings(stick.ring, board, variant))))


def needed_words(variant: Variant, ruler: Ruler) -> str:
    """The rough wood a missing stick needs."""
    size = quarter_for(variant.milled_mm)
    thick = f"{size.name} or " if size else ""
    return (
        f"{_many(variant.blanks, 'blank')} for each, {_size(variant.length_mm, ruler)} long and "
        f"{_size(variant.rip_mm, ruler)} wide, from {thick}rough wood of "
        f"{_size(variant.rough_mm, ruler)} at least"
    )


def _thickness(variant: Variant, board: Board, shop: Shop, ruler: Ruler) -> str:
    has = ruler.first(board.thickness_mm)
    least = ruler.first(variant.least_mm(board.finish))
    if board.finish is Finish.MILLED:
        return f"milled thickness {least} is needed, the board has {has}"
    face = ruler.first(shop.allowances.rough_face_mm)
    return f"rough thickness {least} is needed ({face} off each face), the board has {has}"


def _rings(wanted: Ring, board: Board, variant: Variant) -> str:
    shown = face_ring(board.ring, variant.way)
    if shown is Ring.UNKNOWN:
        return ""
    asked = ", as asked" if wanted is shown else ""
    return f"the show face has {_RINGS[shown]}{asked}"


_RINGS = {
    Ring.FLAT: "flat grain",
    Ring.RIFT: "rift grain",
    Ring.QUARTER: "quartered grain",
    Ring.UNKNOWN: "any grain",
}


def shopping_lines(report: CutReport) -> Iterator[str]:
    """What to buy, with board feet and cubic metres."""
    if not report.shopping:
        yield "Nothing needs to be bought."
        return
    yield f"To buy, with {report.wishes.allowance_pct:g} % on top in the measures:"
    yield from (f"  {purchase_words(line)}" for line in report.shopping)
    if report.wishes.grade is not None:
        grade = report.wishes.grade
        yield (
            f"  Missing sticks are counted in {grade.label}: by the grading rules at least "
            f"{float(grade.clear) * 100:.0f} % of its poorer face is clear"
        )


def purchase_words(line: Purchase) -> str:
    """One line of the shopping list."""
    if not line.exact_feet:
        return f"{line.wood} {line.size}: {line.what}"
    feet = f"{line.exact_feet:.2f} board feet"
    if line.feet_nearest is not None and line.feet_up is not None:
        feet += f" (tallied {line.feet_nearest:.1f}, or {line.feet_up:.1f} where a yard rounds up)"
    price = f", costs {line.price:.2f}" if line.price else ""
    return f"{line.wood} {line.size}: {line.what}; {feet}, {line.cubic_m:.4f} m³{price}"


def _piece_words(piece: Piece, board: Board, ruler: Ruler) -> str:
    inside = sum(
        f.x_mm < piece.x_mm + piece.length_mm
        and f.x_mm + f.length_mm > piece.x_mm
        and f.y_mm < piece.y_mm + piece.width_mm
        and f.y_mm + f.width_mm > piece.y_mm
        for f in board.flaws
    )
    flaws = f", with {_many(inside, 'flaw')} marked" if inside else ""
    return f"{sizes_text(ruler, piece.length_mm, piece.width_mm)}{flaws}"


def _size(mm: float, ruler: Ruler) -> str:
    return f"{ruler.first(mm)} ({ruler.second(mm)})"


def _place(board: Board) -> str:
    return f" · {board.place}" if board.place else ""


def _many(count: int, thing: str) -> str:
    return f"{count} {thing}" if count == 1 else f"{count} {thing}s"
