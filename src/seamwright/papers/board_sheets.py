"""Sheets for cutting boards up: every board drawn with its cuts numbered in order."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from seamwright.errors import Cancelled
from seamwright.papers import cautions
from seamwright.papers.cards import Content
from seamwright.papers.listening import never
from seamwright.papers.pages import Page
from seamwright.papers.sticks import table_csv
from seamwright.papers.typeset import pdf
from seamwright.pictures import Ruler
from seamwright.pictures.board_words import board_title, cut_words, marked
from seamwright.pictures.boards import cuts_svg
from seamwright.rack import BoardCuts, CutPlan, Fate
from seamwright.rack.shopping import Purchase

_READING = (
    "Cut in the order of the numbers, board by board. A size is measured from the near (left) end "
    "for a crosscut and from the lower edge for a rip.",
    "Red crosses are flaws as you marked them; hatched wood is waste; what is dashed goes back on "
    "the rack, with a new mark and its flaws.",
    "Blanks are rough: length and width have room for milling to the finished sizes of the "
    "stick list.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Boards:
    """Boards to be cut, as the papers tell of them.

    Attributes:
        plan: the cut plan.
        told: sentences about it, for the head.
        shopping: lines of the shopping list.
        purchases: the same list for a table.
    """

    plan: CutPlan
    told: tuple[str, ...] = ()
    shopping: tuple[str, ...] = ()
    purchases: tuple[Purchase, ...] = ()


def board_files(
    boards: Boards,
    *,
    title: str,
    ruler: Ruler,
    page: Page = Page.LETTER,
    cancelled: Callable[[], bool] = never,
) -> Iterator[tuple[str, bytes]]:
    """The drawings of all boards, and the shopping list as a table.

    Raises:
        Cancelled: the user stopped it.
    """
    sheets = board_sheets(
        boards.plan,
        title=title,
        ruler=ruler,
        told=boards.told,
        shopping=boards.shopping,
        page=page,
        cancelled=cancelled,
    )
    yield f"boards-{page.value}.pdf", sheets
    yield "shopping.csv", shopping_csv(boards.purchases)


def board_sheets(
    plan: CutPlan,
    *,
    title: str,
    ruler: Ruler,
    told: tuple[str, ...] = (),
    shopping: tuple[str, ...] = (),
    page: Page = Page.LETTER,
    cancelled: Callable[[], bool] = never,
) -> bytes:
    """One PDF: how good the plan is, what to buy, then every board with its cuts.

    Args:
        plan: the cut plan.
        title: of the piece the sticks are for.
        ruler: how sizes are written.
        told: sentences about the plan, for the head.
        shopping: lines of the shopping list.
        page: paper size.
        cancelled: asked before every board whether to stop.
    Raises:
        Cancelled: the user stopped it.
    """
    boards: list[Content] = []
    for number, cuts in enumerate(plan.boards, start=1):
        if cancelled():
            raise Cancelled
        boards.append(_board(cuts, plan, number, marked(ruler), page))
    content: Content = {
        "title": f"{title}: cutting the boards",
        "job": title,
        "foot": "Drawings are not to scale: work to the figures.",
        "page": {"width": page.width_mm, "height": page.height_mm},
        "name": title,
        "told": [line.strip() for line in told],
        "shopping": [line.strip() for line in shopping],
        "reading": _READING,
        "cautions": cautions.MILLING,
        "boards": boards,
    }
    return pdf("boards", content)


def _board(cuts: BoardCuts, plan: CutPlan, number: int, ruler: Ruler, page: Page) -> Content:
    kept = cuts.of(Fate.LEFTOVER)
    wide, _ = page.room_mm
    title = board_title(cuts, ruler)
    return {
        "number": number,
        "title": title[0].upper() + title[1:],
        "place": cuts.board.place,
        "drawing": {
            "svg": cuts_svg(cuts, plan, name=None),
            "alt": f"{title}: {len(cuts.cuts)} cuts, numbered in the order of work",
            "width": wide,
        },
        "cuts": [
            {"number": cut.number, "words": cut_words(cuts, cut, plan, ruler)} for cut in cuts.cuts
        ],
        "kept": [ruler.sizes(piece.length_mm, piece.width_mm) for piece in kept],
    }


def shopping_csv(lines: tuple[Purchase, ...]) -> bytes:
    """The shopping list as a table for a spreadsheet."""
    head = (
        "wood", "size", "what", "boards", "board_feet", "board_feet_tallied",
        "board_feet_rounded_up", "cubic_m", "price",
    )  # fmt: skip
    rows: list[tuple[object, ...]] = [
        (
            line.wood,
            line.size,
            line.what,
            line.boards,
            f"{line.exact_feet:.3f}",
            "" if line.feet_nearest is None else f"{line.feet_nearest:.2f}",
            "" if line.feet_up is None else f"{line.feet_up:.2f}",
            f"{line.cubic_m:.5f}",
            f"{line.price:.2f}",
        )
        for line in lines
    ]
    return table_csv(head, rows)
