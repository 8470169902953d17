"""The command ``shop``: the defaults, how true the shop works, checks of its settings."""

from __future__ import annotations

import click

from seamwright import app
from seamwright.app import measuring
from seamwright.app.files import load_accuracy, read_bytes
from seamwright.app.learning import (
    history_of,
    history_words,
    learned_document,
    learned_lines,
)
from seamwright.app.stores import kept_records
from seamwright.cli import showing
from seamwright.cli.asking import json_option, shop_option
from seamwright.cli.front import show
from seamwright.cli.options import history_option, store_option
from seamwright.fit import check_lines
from seamwright.plan import shop_sources


@click.command("shop")
@click.argument("what", required=False, type=click.Choice(["show", "checks"]))
@click.option("--write", "file", metavar="FILE", help="Write them as a shop file to change.")
@shop_option
@click.option(
    "--measured",
    "records",
    multiple=True,
    metavar="FILE",
    help="With show: readings of a job (its .measured.json); may be given several times.",
)
@history_option
@store_option
@json_option
def shop_command(
    what: str | None,
    file: str | None,
    shop_file: str | None,
    records: tuple[str, ...],
    left_out: bool,
    address: str | None,
    as_json: bool,
) -> None:
    """Show the default shop: kerfs, allowances, limits and minutes, each with its source.

    'shop show' tells how true your shop works, learned from what was measured on its jobs, and
    where each value comes from. 'shop checks' tells how to find such values with a few cuts.
    """
    if file is not None:
        path = app.new_shop(file)
        if not as_json:
            click.echo(f"{path} is written. Change it, then give it with --shop {path}")
            return
    if what == "checks" and not as_json:
        showing.say(check_lines())
    elif what == "show":
        texts = () if left_out else kept_records(address)
        _show(shop_file, texts, records, as_json=as_json)
    elif as_json:
        show(app.shop_document())
    else:
        showing.say(showing.shop_lines(shop_sources()))


def _show(
    shop_file: str | None, texts: tuple[str, ...], records: tuple[str, ...], *, as_json: bool
) -> None:
    read = []
    for record in records:
        with app.about(record):
            read.append(measuring.read_record(read_bytes(record).decode("utf-8", "replace")))
    history = history_of(load_accuracy(shop_file), texts, read)
    if as_json:
        show(learned_document(history))
        return
    text = "" if shop_file is None else shop_file
    showing.say([history_words(history), *learned_lines(history.learned, text)])
