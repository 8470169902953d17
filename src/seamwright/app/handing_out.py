"""The verb "papers": everything for the bench in one folder; boards to cut, a customer's page."""

from __future__ import annotations

from collections.abc import Callable
from os import PathLike
from pathlib import Path

from seamwright.app import keeping
from seamwright.app.cut_words import purchase_words, sure_of_cuts
from seamwright.app.cutting import CutReport
from seamwright.app.planning import PlanReport
from seamwright.app.quoting import QuoteReport, quote_board
from seamwright.app.situation import Situation
from seamwright.app.sound_words import hand_cautions
from seamwright.app.sounding import sound
from seamwright.papers import (
    Boards,
    Page,
    Part,
    Progress,
    Sound,
    bench_sheets,
    board_files,
    never,
    quote_page,
    silent,
    write_set,
)
from seamwright.pictures import Ruler
from seamwright.plan import read_money
from seamwright.rack import rack_to_csv

FOR_THE_BENCH = frozenset(
    {
        Part.SHEETS,
        Part.SOUNDNESS,
        Part.TEMPLATES,
        Part.LABELS,
        Part.LISTS,
        Part.BOARDS,
        Part.DRAWING,
    }
)
"""What is printed unless told otherwise."""


def papers(
    report: PlanReport,
    folder: str | PathLike[str],
    *,
    page: Page = Page.LETTER,
    parts: frozenset[Part] = FOR_THE_BENCH,
    situation: Situation | None = None,
    boards: CutReport | None = None,
    progress: Progress = silent,
    cancelled: Callable[[], bool] = never,
) -> tuple[Path, ...]:
    """Write the papers of a plan: all of them, or none.

    Args:
        report: a plan that holds.
        folder: where; made where it is not there.
        page: paper in the printer.
        parts: what is wanted.
        situation: what the board will meet, for its page "Will it hold".
        boards: how boards on hand are cut, for their sheets; None where there are none.
        progress: told the share done and what is being done.
        cancelled: asked now and then whether to stop.
    Returns:
        The files, in reading order.
    Raises:
        FileError: they cannot be written; the folder is then as it was.
        Cancelled: the user stopped it; nothing is written.
    """
    sheet = sound_sheet(report, parts, situation, progress=progress, cancelled=cancelled)
    files = [
        (handout.name, handout.data)
        for handout in write_set(
            report.plan,
            report.drawing,
            shelf=report.shelf,
            page=page,
            parts=parts,
            own=report.own,
            gluing=report.gluing,
            sound=sheet,
            boards=boards_told(boards) if boards else None,
            progress=progress,
            cancelled=cancelled,
        )
    ]
    return keeping.write_set(folder, files)


def sound_sheet(
    report: PlanReport,
    parts: frozenset[Part],
    situation: Situation | None,
    *,
    progress: Progress = silent,
    cancelled: Callable[[], bool] = never,
) -> Sound | None:
    """What stands on the page "Will it hold"; None where that page is not wanted.

    Raises:
        Cancelled: the user stopped it.
    """
    if Part.SOUNDNESS not in parts:
        return None
    found = sound(report.drawing, situation, own=report.own, progress=progress, cancelled=cancelled)
    return Sound(
        situation=found.situation.words,
        findings=found.findings,
        soundness=found.soundness,
        faults=found.faults,
        cautions=hand_cautions(report),
        up=found.glance.bridged_up if found.glance else (),
        across=found.glance.bridged_across if found.glance else (),
    )


def boards_told(report: CutReport) -> Boards:
    """A cut plan as its sheets tell of it."""
    told = tuple(sure_of_cuts(report))
    if not report.suits_plan:
        told += (
            "These boards were set aside for sticks of other sizes or numbers than the bench "
            "sheets now have: give them back and plan the cuts again, or use the bench sheets "
            "that came with these cuts.",
        )
    return Boards(
        plan=report.plan,
        told=told,
        shopping=tuple(purchase_words(line) for line in report.shopping),
        purchases=report.shopping,
    )


def cut_papers(
    report: CutReport, folder: str | PathLike[str], *, page: Page = Page.LETTER
) -> tuple[Path, ...]:
    """Write the drawings of the boards that are cut, and what to buy.

    Raises:
        FileError: they cannot be written; the folder is then as it was.
    """
    return keeping.write_set(folder, list(cut_files(report, page=page)))


def cut_files(report: CutReport, *, page: Page) -> tuple[tuple[str, bytes], ...]:
    """The papers of a cut plan: sheets with every board, and the shopping list as a table.

    Where bars were split, the bench sheets of the plan so changed as well.
    """
    ruler = Ruler(unit=report.drawing.unit)
    files = list(
        board_files(boards_told(report), title=report.drawing.title, ruler=ruler, page=page)
    )
    if report.changes_plan:
        plan, drawing = report.report.plan, report.drawing
        sheets = bench_sheets(
            plan, drawing, shelf=report.report.shelf, page=page, own=report.report.own
        )
        files.append((f"bench-sheets-{page.value}.pdf", sheets))
    return tuple(files)


def demo_boards(
    report: CutReport, folder: str | PathLike[str], *, page: Page = Page.LETTER
) -> tuple[Path, ...]:
    """Write the demo's cut plan, its quote, and the demo's rack as a table to play with.

    Raises:
        FileError: they cannot be written; the folder is then as it was.
    """
    priced = quote_board(report, read_money(""))
    files = [
        ("boards.csv", rack_to_csv(report.rack).encode()),
        *cut_files(report, page=page),
        (f"quote-{page.value}.pdf", quote_pdf(priced, page=page)),
    ]
    return keeping.write_set(folder, files)


def quote_papers(
    report: QuoteReport, folder: str | PathLike[str], *, page: Page = Page.LETTER
) -> tuple[Path, ...]:
    """Write the customer's page.

    Raises:
        FileError: it cannot be written; the folder is then as it was.
    """
    return keeping.write_set(folder, [(f"quote-{page.value}.pdf", quote_pdf(report, page=page))])


def quote_pdf(report: QuoteReport, *, page: Page) -> bytes:
    """The customer's page; marked as a draft where the prices are only our examples."""
    draft = "Draft: example prices, not the shop's own." if report.money.is_example else ""
    own = report.cut.report.own
    return quote_page(report.quote, report.cut.drawing, page=page, draft=draft, own=own)
