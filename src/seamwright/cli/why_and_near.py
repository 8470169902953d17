"""The commands that ask: why is the plan as it is, and what in the drawing is near a gain?"""

from __future__ import annotations

import sys
from pathlib import Path

import click

from seamwright import app
from seamwright.cli import showing
from seamwright.cli.asking import (
    Command,
    Number,
    design_argument,
    json_option,
    shop_option,
)
from seamwright.cli.front import show
from seamwright.cli.working import carry_out
from seamwright.design import Drawing, decode

_STDIN = "-"


def _seconds(command: Command) -> Command:
    text = "Time for each exact choice; many are made."
    return click.option(
        "--seconds",
        type=Number(min=0.0, max=86400.0, min_open=True),
        default=app.ASK_SECONDS,
        show_default=True,
        help=text,
    )(command)


@click.command()
@design_argument
@shop_option
@_seconds
@json_option
def why(file: str, shop_file: str | None, seconds: float, as_json: bool) -> None:
    """What each choice of the plan is worth: each is forbidden, and the rest chosen again.

    FILE is a design file, or - for standard input. Nothing is written.
    """
    drawing, _ = _read(file)
    shop = app.load_shop(shop_file)
    found = carry_out(
        lambda *, progress, cancelled: app.why(
            drawing, shop, seconds=seconds, progress=progress, cancelled=cancelled
        )
    )
    if as_json:
        show(app.why_document(found))
    else:
        showing.say(app.why_lines(found))


@click.command()
@design_argument
@click.option(
    "--within",
    "within",
    metavar="LENGTH",
    default="2mm",
    show_default=True,
    help='No size is changed by more, for example "1/16in" or 1.5 (in the unit of the design).',
)
@click.option(
    "--write", "out", metavar="NEW", help="Write the changed design as a new file, to try it."
)
@click.option(
    "--take",
    type=click.IntRange(min=1),
    default=1,
    show_default=True,
    help="Which of the changes is written, counted from the top.",
)
@shop_option
@_seconds
@json_option
def near(
    file: str,
    within: str,
    out: str | None,
    take: int,
    shop_file: str | None,
    seconds: float,
    as_json: bool,
) -> None:
    """Sizes that nearly equal others, seams that divide nothing, and what is saved without.

    Seams that divide nothing lie between pieces of one wood and one grain. Each change is planned
    and carried out on virtual wood before it is told. FILE is a design file, or - for standard
    input; it is left as it is.
    """
    drawing, text = _read(file)
    shop = app.load_shop(shop_file)
    within_mm = app.near_limit(within, drawing.unit)
    found = carry_out(
        lambda *, progress, cancelled: app.near(
            drawing, shop, text=text, within_mm=within_mm, seconds=seconds,
            progress=progress, cancelled=cancelled,
        )
    )  # fmt: skip
    path = app.write_change(found, take=take, path=out) if out else None
    if as_json:
        show(app.near_document(found))
    else:
        showing.say(app.near_lines(found))
        if path is not None:
            click.echo(f"{path} is written.")


def _read(file: str) -> tuple[Drawing, str]:
    """A drawing and the text it stands in."""
    if file == _STDIN:
        raw = sys.stdin.buffer.read()
        with app.about("standard input"):
            return app.read_design(raw, name="board", folder=Path()), decode(raw)
    return app.load(file), decode(app.read_bytes(file))
