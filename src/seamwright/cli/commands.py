"""The commands, one function each."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from seamwright import __version__, app
from seamwright.cli import showing
from seamwright.cli.asking import (
    design_argument,
    drawing_of,
    json_option,
    shop_option,
    situation_options,
)
from seamwright.cli.check_command import check, reckoned
from seamwright.cli.front import Front, show
from seamwright.cli.options import page_option, prefer_option, seconds_option, store_option
from seamwright.cli.working import carry_out
from seamwright.design import Drawing, demo
from seamwright.papers import Page, Part
from seamwright.planner import Prefer
from seamwright.rack import RackError, demo_rack

_DEMO_CUT_S = 4.0


@click.group(
    cls=Front,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 96},
    epilog=(
        "Exit codes: 0 done; 1 no plan is possible, or the one found did not hold; 2 something "
        "given cannot be used; 130 stopped with Ctrl-C."
    ),
)
@click.version_option(__version__, prog_name="seamwright")
def seamwright() -> None:
    """From the drawing of a pieced board to a glue-up plan that is proven to be buildable.

    Start with 'seamwright demo', then 'seamwright new board.toml'.
    """


seamwright.add_command(check)


@seamwright.command()
@click.argument("file", default="board.toml")
def new(file: str) -> None:
    """Write a design file with notes, to start from.

    FILE is board.toml if left out. A file that is there is never written over.
    """
    path = app.new_design(file)
    click.echo(f"{path} is written. Change it, then run: seamwright check {path}")


@seamwright.command()
@design_argument
@shop_option
@prefer_option
@seconds_option
@click.option("--alternatives", is_flag=True, help="Tell the other ways too, as 'ways' does.")
@json_option
def plan(
    file: str,
    shop_file: str | None,
    prefer: str,
    seconds: float,
    alternatives: bool,
    as_json: bool,
) -> None:
    """Find the cheapest plan and prove it on virtual wood.

    FILE is a design file, or - for standard input. Nothing is written.
    """
    drawing = drawing_of(file)
    report = planned(drawing, shop_file, seconds, Prefer(prefer))
    found = _ways(drawing, shop_file, seconds) if alternatives else ()
    if as_json:
        show(app.plan_document(report) | (app.ways_document(found) if found else {}))
        return
    showing.say(showing.plan_lines(report))
    if found:
        click.echo("\nPlans that differ in kind:")
        showing.say(app.ways_lines(found))


@seamwright.command()
@design_argument
@shop_option
@seconds_option
@json_option
def ways(file: str, shop_file: str | None, seconds: float, as_json: bool) -> None:
    """Plans that differ in kind, side by side, each with what it trades.

    FILE is a design file, or - for standard input. Nothing is written.
    """
    found = _ways(drawing_of(file), shop_file, seconds)
    if as_json:
        show(app.ways_document(found))
    else:
        showing.say(app.ways_lines(found))


def _ways(drawing: Drawing, shop_file: str | None, seconds: float) -> tuple[app.Way, ...]:
    shop = app.load_shop(shop_file)
    return carry_out(
        lambda *, progress, cancelled: app.ways(
            drawing, shop, seconds=seconds, progress=progress, cancelled=cancelled
        )
    )


@seamwright.command()
@design_argument
@click.option("--out", "folder", metavar="DIR", required=True, help="Folder for the papers.")
@shop_option
@prefer_option
@seconds_option
@page_option
@click.option(
    "--part",
    "parts",
    multiple=True,
    type=click.Choice([part.value for part in Part] + ["all"]),
    help="Only this; may be given several times. Without it: what the bench needs.",
)
@click.option("--rack", "table", metavar="CSV", help="Boards from a table, instead of those kept.")
@store_option
@click.option("--job", default="", help="Whose boards set aside are drawn; the title by default.")
@situation_options
@json_option
def papers(
    file: str,
    folder: str,
    shop_file: str | None,
    prefer: str,
    seconds: float,
    page: str,
    parts: tuple[str, ...],
    table: str | None,
    address: str | None,
    job: str,
    as_json: bool,
    **asked: Any,
) -> None:
    """Plan a design and write its papers: bench sheets, lists, templates, labels, boards to cut.

    Boards are drawn where some on the rack serve the job: those set aside for it, else those a
    new cut plan takes. All files are written, or none. Papers of an earlier plan in the folder
    are replaced; other files stay.
    """
    drawing = drawing_of(file)
    situation = app.situation_of(drawing, **asked)
    report = planned(drawing, shop_file, seconds, Prefer(prefer))
    wanted = _parts(parts)
    boards = None
    if Part.BOARDS in wanted:
        boards = _boards(report, table, address, job or drawing.title, strict="boards" in parts)
    files = _printed(report, folder, Page(page), wanted, situation, boards)
    if as_json:
        show(app.papers_document(files, report))
    else:
        showing.say(showing.sure_lines(report))
        showing.say(showing.papers_lines(files))


@seamwright.command("demo")
@click.option("--out", "folder", metavar="DIR", default="out/demo", show_default=True)
@page_option
def demo_board(folder: str, page: str) -> None:
    """Check, plan, prove and print our own demo board; cut its sticks from our demo rack."""
    drawing = app.read_design(demo().encode(), name="demo")
    showing.say(showing.check_lines(app.check(drawing), each_seam=False))
    click.echo()
    showing.say(app.verdict_lines(reckoned(app.sound_glance(drawing), ())))
    click.echo()
    report = planned(drawing, None, app.SECONDS)
    showing.say(showing.plan_lines(report))
    click.echo()
    files = _printed(report, folder, Page(page), app.FOR_THE_BENCH, app.Situation())
    showing.say(showing.papers_lines(files))
    click.echo()
    found = carry_out(
        lambda *, progress, cancelled: app.cut(
            report, demo_rack(), seconds=_DEMO_CUT_S, progress=progress, cancelled=cancelled
        )
    )
    showing.say(app.sure_of_cuts(found))
    showing.say(showing.papers_lines(app.demo_boards(found, f"{folder}/boards", page=Page(page))))


@seamwright.command()
@click.argument("name", default="")
@shop_option
@json_option
def woods(name: str, shop_file: str | None, as_json: bool) -> None:
    """List the woods known, or show one with every value and its source.

    Your own woods stand in the shop file, under [woods.NAME].
    """
    found = app.find_woods(name, own=app.load_own_woods(shop_file))
    if as_json:
        show(app.woods_document(found))
    elif name:
        showing.say(app.wood_lines(found[0]))
    else:
        showing.say(app.wood_line(wood) for wood in found)


def planned(
    drawing: Drawing, shop_file: str | None, seconds: float, prefer: Prefer = Prefer.CHEAPEST
) -> app.PlanReport:
    """The plan of a drawing in the shop of a shop file, proven."""
    shop, own = app.load_shop(shop_file), app.load_own_woods(shop_file)
    gluing = app.load_gluing(shop_file)
    return carry_out(
        lambda *, progress, cancelled: app.plan(
            drawing,
            shop,
            prefer=prefer,
            seconds=seconds,
            own=own,
            gluing=gluing,
            progress=progress,
            cancelled=cancelled,
        )
    )


def _printed(
    report: app.PlanReport,
    folder: str,
    page: Page,
    parts: frozenset[Part],
    situation: app.Situation,
    boards: app.CutReport | None = None,
) -> tuple[Path, ...]:
    return carry_out(
        lambda *, progress, cancelled: app.papers(
            report,
            folder,
            page=page,
            parts=parts,
            situation=situation,
            boards=boards,
            progress=progress,
            cancelled=cancelled,
        )
    )


def _boards(
    report: app.PlanReport, table: str | None, address: str | None, job: str, *, strict: bool
) -> app.CutReport | None:
    """How boards on hand are cut, where some serve; told why not where they cannot be."""
    if table is not None:
        on_hand = app.OnHand(rack=app.load_rack(table), job=job)
    else:
        on_hand = app.kept_boards(address, job=job)
    try:
        return carry_out(
            lambda *, progress, cancelled: app.boards_in_papers(
                report, on_hand, progress=progress, cancelled=cancelled
            )
        )
    except RackError as error:
        if strict:
            raise
        for fault in error.faults:
            click.echo(f"No boards are drawn: {fault}", err=True)
        return None


def _parts(names: tuple[str, ...]) -> frozenset[Part]:
    if not names:
        return app.FOR_THE_BENCH
    return frozenset(Part) if "all" in names else frozenset(map(Part, names))
