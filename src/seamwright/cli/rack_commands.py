"""``seamwright rack``: boards on hand, their flaws, tables in and out."""

from __future__ import annotations

from pathlib import Path

import click

from seamwright import app
from seamwright.cli import showing
from seamwright.cli.asking import json_option
from seamwright.cli.front import show
from seamwright.cli.options import store_option
from seamwright.lengths import Unit
from seamwright.pictures import Ruler
from seamwright.rack import FlawKind, Rack, rack_to_csv

_KINDS = click.Choice([kind.value for kind in FlawKind])


@click.group()
def rack() -> None:
    """Boards on hand: add them, mark their flaws, take tables in and give them out.

    They are kept where 'seamwright serve' keeps the shop.
    """


@rack.command("add")
@click.argument("name")
@click.option("--wood", required=True, help="Name of the wood.")
@click.option("--thickness", required=True, help="5/4, or a length; mm where no unit is given.")
@click.option("--width", required=True, help="Across the grain.")
@click.option("--length", required=True, help="Along the grain.")
@click.option("--finish", default="rough", show_default=True, help="rough or milled thickness.")
@click.option("--ring", default="unknown", show_default=True, help="flat, rift, quarter, unknown.")
@click.option(
    "--stock",
    default="board",
    show_default=True,
    help="offcut, board, or offer: a size that can be bought.",
)
@click.option("--moisture", default="", help="Metered moisture content, in per cent.")
@click.option("--price", default="", help="What it cost; of an offer: what one costs.")
@click.option("--limit", default="", help="Of an offer: how many can be had.")
@click.option("--place", default="", help="Where it lies.")
@click.option("--photo", metavar="FILE", help="A picture of its face: JPEG, PNG or WebP.")
@click.option("--flaw", "flaws", multiple=True, metavar="'KIND X Y LENGTH WIDTH'",
              help="A flaw in mm from the lower left corner; several may be given.")  # fmt: skip
@store_option
def add(name: str, photo: str | None, address: str | None, **typed: object) -> None:
    """Put a board on the rack, or a size that can be bought on the yard's list.

    NAME is its mark, chalked on the board.
    """
    thing = app.typed_board(app.Typed(name=name, **typed))  # type: ignore[arg-type]
    picture = app.read_bytes(photo) if photo else b""
    with app.opened_store(address) as store:
        store.boards.change(app.adding(thing))
        if picture:
            store.boards.put_photo(thing.name, picture, name=Path(photo or "").name)
    click.echo(f"{thing.name} is on the rack.")


@rack.command("remove")
@click.argument("name")
@store_option
def remove(name: str, address: str | None) -> None:
    """Take a board off the rack, or a size off the yard's list; not one that is set aside."""
    with app.opened_store(address) as store:
        store.boards.change(app.taking_away(name))
    click.echo(f"{name} is off the rack.")


@rack.command("list")
@click.option("--wood", default="", help="Only this wood.")
@json_option
@store_option
def list_boards(wood: str, as_json: bool, address: str | None) -> None:
    """List every board with its flaws, who it is set aside for, and what can be bought."""
    with app.opened_store(address) as store:
        found = _of(store.boards.rack(), app.wood_named(wood) if wood else "")
        names = {job.id: job.title for job in store.jobs(archived=None)}
    if as_json:
        show(app.rack_document(found))
    else:
        ruler = Ruler(unit=Unit.MM)
        showing.say(app.rack_lines(found, ruler, job_name=lambda job: names.get(job, job)))


@rack.command("flaw")
@click.argument("name")
@click.argument("kind", type=_KINDS, required=False)
@click.argument("x", default="")
@click.argument("y", default="")
@click.argument("length", default="")
@click.argument("width", default="")
@click.option("--remove", "number", type=int, help="Take the flaw of this number off instead.")
@store_option
def flaw(
    name: str,
    kind: str | None,
    x: str,
    y: str,
    length: str,
    width: str,
    number: int | None,
    address: str | None,
) -> None:
    """Mark a flaw on a board: KIND X Y LENGTH WIDTH, in mm where no unit is given.

    X is measured along the board, Y across it, from the lower left corner of the face you look at.
    """
    if number is not None:
        change = app.without_flaw(name, number)
    elif kind is None:
        raise click.UsageError("Give KIND X Y LENGTH WIDTH, or --remove NUMBER.")
    else:
        marked = app.flaw_typed(kind, x, y, length, width, unit=Unit.MM)

        def change(rack: Rack) -> Rack:
            return rack.with_flaw(name, marked)

    with app.opened_store(address) as store:
        after = store.boards.change(change)
    showing.say(f"flaw {n}: {w}" for n, w in enumerate(app.flaw_words(after.board(name)), 1))


@rack.command("import")
@click.argument("file")
@store_option
def take_in(file: str, address: str | None) -> None:
    """Take in a table of boards (CSV), flaws and sizes to buy included; all of it, or nothing."""
    found = app.load_rack(file)
    with app.opened_store(address) as store:
        store.boards.change(app.taking_in(found))
    click.echo(f"{len(found.boards)} boards and {len(found.offers)} offers are on the rack.")


@rack.command("export")
@click.option("--out", "file", metavar="FILE", help="A new file; standard output without it.")
@store_option
def give_out(file: str | None, address: str | None) -> None:
    """Give the rack out as a table (CSV) that a spreadsheet, or 'rack import', reads."""
    with app.opened_store(address) as store:
        text = rack_to_csv(store.boards.rack())
    if file is None:
        click.echo(text, nl=False)
    else:
        click.echo(f"{app.write_new(file, text.encode())} is written.")


def _of(rack: Rack, wood: str) -> Rack:
    if not wood:
        return rack
    return Rack(
        boards=tuple(b for b in rack.boards if b.wood == wood),
        offers=tuple(o for o in rack.offers if o.wood == wood),
        reservations=rack.reservations,
    )
