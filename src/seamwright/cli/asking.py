"""Options and arguments that several commands share."""

from __future__ import annotations

import sys
from collections.abc import Callable
from math import isnan
from pathlib import Path
from typing import Any, TypeVar

import click

from seamwright import app
from seamwright.design import Drawing
from seamwright.strength import BUILT_PCT, ELEMENT_MM
from seamwright.woods import climates

Command = TypeVar("Command", bound=Callable[..., object])

_STDIN = "-"


class Number(click.FloatRange):
    """A number in a range; click's own range lets nan pass."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """The number, or a refusal."""
        number = super().convert(value, param, ctx)
        return self.fail(f"{value} is no number.", param, ctx) if isnan(number) else number


def json_option(command: Command) -> Command:
    """``--json``."""
    text = "Print JSON, for programs."
    return click.option("--json", "as_json", is_flag=True, help=text)(command)


def design_argument(command: Command) -> Command:
    """The design file."""
    return click.argument("file")(command)


def shop_option(command: Command) -> Command:
    """``--shop``."""
    text = "Shop file: kerfs, limits, minutes, own woods. Without it the defaults count."
    return click.option("--shop", "shop_file", metavar="FILE", help=text)(command)


def drawing_of(file: str) -> Drawing:
    """The drawing in a file, or on standard input where it is "-"."""
    if file != _STDIN:
        return app.load(file)
    with app.about("standard input"):
        return app.read_design(sys.stdin.buffer.read(), name="board", folder=Path())


def situation_options(command: Command) -> Command:
    """What the board will meet: seasons, loads, use."""
    presets = ", ".join(climate.key for climate in climates())
    options = (
        click.option("--season", "seasons", multiple=True, metavar="PRESET",
                     help=f"A season it will see; may be given several times: {presets}. "
                     "Without it: a heated house in winter and summer."),
        click.option("--air", "airs", multiple=True, metavar="TEMP,RH",
                     help="Your own air, temperature and relative humidity: 21,30 (°C and %) or "
                     "70F,30. May be given several times."),
        click.option("--built", "built_pct", type=Number(min=0.0, max=30.0, min_open=True),
                     default=BUILT_PCT, show_default=True, metavar="PCT",
                     help="Moisture of the wood when it is glued, in %."),
        click.option("--rings", multiple=True, metavar="LETTER=CUT",
                     help="How the stock of a wood is sawn: A=flat (if not said), A=rift or "
                     "A=quarter."),
        click.option("--load", "loads", multiple=True, metavar="KIND=N[@X,Y]",
                     help="Your own force, in newton, for one of the usual loads (carried, "
                     "carried-across, hand-hold, middle, cutting), and where it presses, measured "
                     "from the lower left corner: middle=300@8,5."),
        click.option("--use", type=click.Choice([*app.USES]),
                     help="What the board is for: food, heat and washing are judged by it."),
        click.option("--finish", type=click.Choice([*app.FINISHES]), default="none",
                     show_default=True, help="What goes on its surface."),
        click.option("--element", "element_mm", type=Number(min=1.0, max=50.0),
                     default=ELEMENT_MM, show_default=True, metavar="MM",
                     help="Size of the finite elements."),
    )  # fmt: skip
    for option in reversed(options):
        command = option(command)
    return command
