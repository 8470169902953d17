"""The commands, one function each."""

from __future__ import annotations

import sys
from collections.abc import Callable
from math import isnan
from pathlib import Path
from typing import Any, TypeVar

import click

from seamwright import __version__, app
from seamwright.cli import showing
from seamwright.cli.front import Front, show
from seamwright.cli.working import carry_out
from seamwright.design import Drawing, demo
from seamwright.papers import Page, Part
from seamwright.plan import Shop, shop_sources
from seamwright.planner import Prefer

Command = TypeVar("Command", bound=Callable[..., object])

_STDIN = "-"


class _Seconds(click.FloatRange):
    """More than nothing, a day at most; click's own range lets nan pass."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        seconds = super().convert(value, param, ctx)
        return self.fail(f"{value} is no time.", param, ctx) if isnan(seconds) else seconds


_SECONDS = _Seconds(min=0.0, max=86400.0, min_open=True)


def _json(command: Command) -> Command:
    return click.option("--json", "as_json", is_flag=True, help="Print JSON, for programs.")(
        command
    )


def _design(command: Command) -> Command:
    return click.argument("file")(command)


def _shop(command: Command) -> Command:
    text = "Shop file: kerfs, limits, minutes. Without it the defaults count (see 'shop')."
    return click.option("--shop", "shop_file", metavar="FILE", help=text)(command)


def _seconds(command: Command) -> Command:
    text = "Time for the exact choice; afterwards the best so far is taken and its gap told."
    return click.option(
        "--seconds", type=_SECONDS, default=app.SECONDS, show_default=True, help=text
    )(command)


def _prefer(command: Command) -> Command:
    names = click.Choice([prefer.value for prefer in Prefer])
    text = "What matters most, where it is not your shop's minutes (see 'ways')."
    return click.option(
        "--prefer", type=names, default=Prefer.CHEAPEST.value, show_default=True, help=text
    )(command)


def _page(command: Command) -> Command:
    names = click.Choice([page.value for page in Page])
    return click.option(
        "--page", type=names, default=Page.LETTER.value, show_default=True, help="Paper size."
    )(command)


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


@seamwright.command()
@click.argument("file", default="board.toml")
def new(file: str) -> None:
    """Write a design file with notes, to start from.

    FILE is board.toml if left out. A file that is there is never written over.
    """
    path = app.new_design(file)
    click.echo(f"{path} is written. Change it, then run: seamwright check {path}")


@seamwright.command()
@_design
@click.option("--seams", "each_seam", is_flag=True, help="List every seam with its length.")
@_json
def check(file: str, each_seam: bool, as_json: bool) -> None:
    """Look a design over: faults, seams by grain, whether it comes apart.

    FILE is a design file, or - for standard input. Nothing is written.
    """
    report = app.check(_drawing(file))
    if as_json:
        show(app.check_document(report))
    else:
        showing.say(showing.check_lines(report, each_seam=each_seam))


@seamwright.command()
@_design
@_shop
@_prefer
@_seconds
@_json
def plan(file: str, shop_file: str | None, prefer: str, seconds: float, as_json: bool) -> None:
    """Find the cheapest plan and prove it on virtual wood.

    FILE is a design file, or - for standard input. Nothing is written.
    """
    report = _planned(_drawing(file), app.load_shop(shop_file), seconds, Prefer(prefer))
    if as_json:
        show(app.plan_document(report))
    else:
        showing.say(showing.plan_lines(report))


@seamwright.command()
@_design
@_shop
@_seconds
@_json
def ways(file: str, shop_file: str | None, seconds: float, as_json: bool) -> None:
    """Plans that differ in kind, side by side, each with what it trades.

    FILE is a design file, or - for standard input. Nothing is written.
    """
    drawing, shop = _drawing(file), app.load_shop(shop_file)
    found = carry_out(
        lambda *, progress, cancelled: app.ways(
            drawing, shop, seconds=seconds, progress=progress, cancelled=cancelled
        )
    )
    if as_json:
        show(app.ways_document(found))
    else:
        showing.say(app.ways_lines(found))


@seamwright.command()
@_design
@click.option("--out", "folder", metavar="DIR", required=True, help="Folder for the papers.")
@_shop
@_prefer
@_seconds
@_page
@click.option(
    "--part",
    "parts",
    multiple=True,
    type=click.Choice([part.value for part in Part] + ["all"]),
    help="Only this; may be given several times. Without it: what the bench needs.",
)
@_json
def papers(
    file: str,
    folder: str,
    shop_file: str | None,
    prefer: str,
    seconds: float,
    page: str,
    parts: tuple[str, ...],
    as_json: bool,
) -> None:
    """Plan a design and write its papers: bench sheets, lists, templates, labels.

    All files are written, or none. Papers of an earlier plan in the folder are replaced; other
    files stay.
    """
    report = _planned(_drawing(file), app.load_shop(shop_file), seconds, Prefer(prefer))
    files = _printed(report, folder, Page(page), _parts(parts))
    if as_json:
        show(app.papers_document(files, report))
    else:
        showing.say(showing.sure_lines(report))
        showing.say(showing.papers_lines(files))


@seamwright.command("demo")
@click.option("--out", "folder", metavar="DIR", default="out/demo", show_default=True)
@_page
def demo_board(folder: str, page: str) -> None:
    """Check, plan, prove and print our own demo board."""
    drawing = app.read_design(demo().encode(), name="demo")
    showing.say(showing.check_lines(app.check(drawing), each_seam=False))
    click.echo()
    report = _planned(drawing, app.load_shop(None), app.SECONDS)
    showing.say(showing.plan_lines(report))
    click.echo()
    showing.say(showing.papers_lines(_printed(report, folder, Page(page), app.FOR_THE_BENCH)))


@seamwright.command()
@click.argument("name", default="")
@_json
def woods(name: str, as_json: bool) -> None:
    """List the woods known, or show one with every value and its source."""
    found = app.find_woods(name)
    if as_json:
        show(app.woods_document(found))
    elif name:
        showing.say(app.wood_lines(found[0]))
    else:
        showing.say(app.wood_line(wood) for wood in found)


@seamwright.command()
@click.option("--write", "file", metavar="FILE", help="Write them as a shop file to change.")
@_json
def shop(file: str | None, as_json: bool) -> None:
    """Show the default shop: kerfs, allowances, limits and minutes, each with its source."""
    if file is not None:
        path = app.new_shop(file)
        if not as_json:
            click.echo(f"{path} is written. Change it, then give it with --shop {path}")
            return
    if as_json:
        show(app.shop_document())
    else:
        showing.say(showing.shop_lines(shop_sources()))


def _drawing(file: str) -> Drawing:
    if file != _STDIN:
        return app.load(file)
    with app.about("standard input"):
        return app.read_design(sys.stdin.buffer.read(), name="board", folder=Path())


def _planned(
    drawing: Drawing, shop: Shop, seconds: float, prefer: Prefer = Prefer.CHEAPEST
) -> app.PlanReport:
    return carry_out(
        lambda *, progress, cancelled: app.plan(
            drawing, shop, prefer=prefer, seconds=seconds, progress=progress, cancelled=cancelled
        )
    )


def _printed(
    report: app.PlanReport, folder: str, page: Page, parts: frozenset[Part]
) -> tuple[Path, ...]:
    return carry_out(
        lambda *, progress, cancelled: app.papers(
            report, folder, page=page, parts=parts, progress=progress, cancelled=cancelled
        )
    )


def _parts(names: tuple[str, ...]) -> frozenset[Part]:
    if not names:
        return app.FOR_THE_BENCH
    return frozenset(Part) if "all" in names else frozenset(map(Part, names))
