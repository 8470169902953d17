"""Options of planning, printing and the store that several commands share."""

from __future__ import annotations

import click

from seamwright import app
from seamwright.cli.asking import Command, Number
from seamwright.papers import Page
from seamwright.planner import Prefer

SECONDS = Number(min=0.0, max=86400.0, min_open=True)


def seconds_option(command: Command) -> Command:
    """``--seconds``."""
    text = "Time for the exact choice; afterwards the best so far is taken and its gap told."
    return click.option(
        "--seconds", type=SECONDS, default=app.SECONDS, show_default=True, help=text
    )(command)


def prefer_option(command: Command) -> Command:
    """``--prefer``."""
    names = click.Choice([prefer.value for prefer in Prefer])
    text = "What matters most, where it is not your shop's minutes (see 'ways')."
    return click.option(
        "--prefer", type=names, default=Prefer.CHEAPEST.value, show_default=True, help=text
    )(command)


def page_option(command: Command) -> Command:
    """``--page``."""
    names = click.Choice([page.value for page in Page])
    return click.option(
        "--page", type=names, default=Page.LETTER.value, show_default=True, help="Paper size."
    )(command)


def store_option(command: Command) -> Command:
    """``--store``."""
    text = (
        "Where the shop is kept: sqlite:///FILE, postgresql://USER@HOST/NAME. Without it: where "
        "'serve' keeps it."
    )
    return click.option("--store", "address", envvar="SEAMWRIGHT_STORE", metavar="URL", help=text)(
        command
    )


def history_option(command: Command) -> Command:
    """``--no-history``."""
    text = "Leave out what was measured on the jobs of your shop; only [accuracy] counts then."
    return click.option("--no-history", "left_out", is_flag=True, help=text)(command)
