"""``seamwright cut`` and ``seamwright quote``."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

import click

from seamwright import app
from seamwright.cli import showing
from seamwright.cli.asking import design_argument, drawing_of, json_option, shop_option
from seamwright.cli.commands import planned
from seamwright.cli.front import show
from seamwright.cli.options import (
    SECONDS,
    page_option,
    prefer_option,
    seconds_option,
    store_option,
)
from seamwright.cli.working import carry_out
from seamwright.errors import Fault
from seamwright.papers import Page
from seamwright.planner import Prefer
from seamwright.rack import Goal, Rack, RackError, Ring

Command = TypeVar("Command", bound=Callable[..., object])
_PERCENT = click.FloatRange(min=0.0, max=300.0)


def cut_options(command: Command) -> Command:
    """What both commands ask of a cut plan."""
    for option in reversed(_CUT_OPTIONS):
        command = option(command)
    return command


_CUT_OPTIONS = (
    click.option("--rack", "table", metavar="CSV", help="Boards from a table, instead of those kept."),  # noqa: E501
    store_option,
    click.option("--order", type=click.Choice(list(app.ORDERS)), default="either",
                 show_default=True, help="What is sawn first."),
    click.option("--save", "goal", type=click.Choice([g.value for g in Goal]), default="wood",
                 show_default=True, help="Wood by its worth, or money spent at the yard."),
    click.option("--ring", type=click.Choice([r.value for r in Ring if r is not Ring.UNKNOWN]),
                 help="Growth rings wanted on every show face."),
    click.option("--match", "matched", is_flag=True,
                 help="Sticks of one wood in one strip set from one board, for colour."),
    click.option("--bars", type=click.Choice([b.value for b in app.Bars]), default="fixed",
                 show_default=True,
                 help="'open': several shorter bars may give the slices of a long one."),
    click.option("--allowance", type=_PERCENT, help="Bought on top, in per cent; else as in the shop file."),  # noqa: E501
    click.option("--grade", type=click.Choice(list(app.GRADES)),
                 help="Grade of what still has to be bought; without it, clear wood."),
    click.option("--time", "cut_seconds", type=SECONDS, default=app.CUT_SECONDS, show_default=True,
                 help="Seconds for the cut plan; afterwards the best so far is taken."),
)  # fmt: skip


@click.command()
@design_argument
@cut_options
@click.option("--job", default="", help="Name to set boards aside under; the title by default.")
@click.option("--reserve", "deed", flag_value="reserve", help="Set the boards aside.")
@click.option("--confirm", "deed", flag_value="confirm",
              help="They are cut: take them off the rack, put the leftovers on it.")  # fmt: skip
@click.option("--release", "deed", flag_value="release", help="Give boards set aside back.")
@click.option("--out", "folder", metavar="DIR", help="Folder for drawings of the boards (PDF).")
@shop_option
@prefer_option
@seconds_option
@page_option
@json_option
def cut(
    file: str,
    table: str | None,
    address: str | None,
    job: str,
    deed: str | None,
    folder: str | None,
    shop_file: str | None,
    prefer: str,
    seconds: float,
    cut_seconds: float,
    page: str,
    as_json: bool,
    **asked: object,
) -> None:
    """Plan which sticks to cut from which board on hand, and what to buy.

    FILE is a design file, or - for standard input. --confirm and --release work on what was set
    aside before; nothing is planned anew.
    """
    if table and deed:
        raise click.UsageError("Boards of a table cannot be set aside: take it in first.")
    drawing = drawing_of(file)
    name = job or drawing.title
    if deed in ("confirm", "release"):
        _carry_out_deed(deed, name, address, as_json=as_json)
        return
    report = planned(drawing, shop_file, seconds, Prefer(prefer))
    wishes = _wishes(shop_file, asked)
    found = _cut(report, _rack(table, address), wishes, name, cut_seconds)
    if deed == "reserve":
        with app.opened_store(address) as store:
            store.boards.reserve(found.plan, job=name)
    files = app.cut_papers(found, folder, page=Page(page)) if folder else ()
    if as_json:
        show(app.cut_document(found, held_by=name if deed else None))
        return
    showing.say(app.cut_lines(found))
    if deed:
        click.echo(f"\nThe boards are set aside for {name}. Once they are cut: --confirm")
    if files:
        showing.say(showing.papers_lines(files))
    showing.say((app.CAUTION,))


@click.command()
@design_argument
@cut_options
@click.option("--wood-at", "basis", type=click.Choice([b.value for b in app.Basis]),
              default="replacement", show_default=True,
              help="Charge wood at what was paid, or at what it costs new.")  # fmt: skip
@click.option("--extra", "extras", multiple=True, metavar="'LABEL=AMOUNT'",
              help="Bought for this job only; may be given several times.")  # fmt: skip
@click.option("--job", default="", help="Whose boards set aside may be counted.")
@click.option("--out", "folder", metavar="DIR", help="Folder for the customer's page (PDF).")
@shop_option
@prefer_option
@seconds_option
@page_option
@json_option
def quote(
    file: str,
    table: str | None,
    address: str | None,
    basis: str,
    extras: tuple[str, ...],
    job: str,
    folder: str | None,
    shop_file: str | None,
    prefer: str,
    seconds: float,
    cut_seconds: float,
    page: str,
    as_json: bool,
    **asked: object,
) -> None:
    """What a board costs and what to ask for it: wood, hours, glue, finish, overhead, margin.

    Prices and your name come from the shop file, tables [money] and [maker].
    """
    drawing = drawing_of(file)
    money = app.load_money(shop_file)
    bought = tuple(
        (label.strip(), amount) for label, _, amount in (e.partition("=") for e in extras)
    )
    report = planned(drawing, shop_file, seconds, Prefer(prefer))
    name = job or drawing.title
    found = _cut(report, _rack(table, address), _wishes(shop_file, asked), name, cut_seconds)
    priced = app.quote_board(found, money, basis=app.Basis(basis), extras=bought)
    files = app.quote_papers(priced, folder, page=Page(page)) if folder else ()
    if as_json:
        show(app.quote_document(priced))
        return
    for line in app.quote_lines(priced):
        click.echo(line)
    if files:
        showing.say(showing.papers_lines(files))


def _wishes(shop_file: str | None, asked: dict[str, object]) -> app.Wishes:
    typed = {
        "order": str(asked["order"]),
        "save": str(asked["goal"]),
        "ring": str(asked["ring"] or ""),
        "match": "1" if asked["matched"] else "",
        "bars": str(asked["bars"]),
        "allowance": "" if asked["allowance"] is None else str(asked["allowance"]),
        "grade": str(asked["grade"] or ""),
    }
    return app.wishes_typed(typed, app.load_money(shop_file))


def _rack(table: str | None, address: str | None) -> Rack:
    if table is not None:
        return app.load_rack(table)
    with app.opened_store(address) as store:
        return store.boards.rack()


def _cut(
    report: app.PlanReport, rack: Rack, wishes: app.Wishes, job: str, seconds: float
) -> app.CutReport:
    return carry_out(
        lambda *, progress, cancelled: app.cut(
            report,
            rack,
            wishes=wishes,
            job=job,
            seconds=seconds,
            progress=progress,
            cancelled=cancelled,
        )
    )


def _carry_out_deed(deed: str, job: str, address: str | None, *, as_json: bool) -> None:
    with app.opened_store(address) as store:
        if deed == "confirm":
            after = store.boards.confirm(job=job)
            said = f"The boards of {job} are cut; their leftovers are on the rack."
        else:
            if not any(r.job == job for r in store.boards.rack().reservations):
                raise RackError(
                    Fault("R144", f"job {job}", "has nothing set aside", "see 'rack list'")
                )
            after = store.boards.release(job=job)
            said = f"Nothing is set aside for {job} any more."
    if as_json:
        show(app.rack_document(after))
    else:
        click.echo(said)
