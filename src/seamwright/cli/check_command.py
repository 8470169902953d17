"""``seamwright check``."""

from __future__ import annotations

import sys
from typing import Any

import click

from seamwright import app
from seamwright.cli import showing
from seamwright.cli.asking import (
    design_argument,
    drawing_of,
    json_option,
    shop_option,
    situation_options,
)
from seamwright.cli.front import show
from seamwright.cli.working import carry_out
from seamwright.design import Drawing
from seamwright.errors import Cancelled
from seamwright.woods import Species


@click.command()
@design_argument
@click.option(
    "--seams",
    "each_seam",
    is_flag=True,
    help="List every seam with its length and what it bears, and how every patch moves.",
)
@click.option("--all", "everything", is_flag=True, help="Tell every finding in full, with sources.")
@click.option("--quick", is_flag=True, help="Leave the finite elements out.")
@click.option("--steps", is_flag=True, help="Plan it too, and tell small parts and traps by step.")
@click.option("--pictures", "folder", metavar="DIR", help="Write pictures there: the board moved, "
              "what is asked of its seams, through lines.")  # fmt: skip
@shop_option
@situation_options
@json_option
def check(
    file: str,
    each_seam: bool,
    everything: bool,
    quick: bool,
    steps: bool,
    folder: str | None,
    shop_file: str | None,
    as_json: bool,
    **asked: Any,
) -> None:
    """Look a design over: does it come apart, will it hold, will it move, is it safe.

    FILE is a design file, or - for standard input. Only --pictures writes anything. What the grain
    tells is there at once; seasons and loads take seconds (finite elements).
    """
    drawing = drawing_of(file)
    own = app.load_own_woods(shop_file)
    shop = app.load_shop(shop_file) if steps else None
    situation = app.situation_of(drawing, **asked)
    looked = app.check(drawing, own=own)
    found = app.sound_glance(drawing, situation, own=own)
    if not as_json:
        showing.say(showing.check_lines(looked, each_seam=each_seam))
        showing.say([*app.through_words(found), *app.safety_words(found)])
        sys.stdout.flush()
    try:
        found = found if quick else reckoned(found, own)
    except Cancelled:
        if not as_json:
            showing.say(app.verdict_lines(found, everything=everything))
        raise
    report = _planned(drawing, shop, own) if shop else None
    cautions = app.hand_cautions(report) if report else ()
    if as_json:
        files = app.write_pictures(found, folder, own=own) if folder else ()
        show({**app.check_document(looked, found, cautions), "pictures": [str(f) for f in files]})
        return
    if each_seam:
        showing.say([*app.bearing_words(found), *app.moving_words(found)])
    click.echo()
    showing.say(app.verdict_lines(found, everything=everything, cautions=cautions))
    if not steps:
        showing.say([f"  Small parts and kickback traps come with the plan: {_HOW}."])
    if folder:
        click.echo()
        showing.say(showing.papers_lines(app.write_pictures(found, folder, own=own)))


_HOW = "add --steps, or see 'plan'"


def reckoned(found: app.SoundReport, own: tuple[Species, ...]) -> app.SoundReport:
    """A glance taken further by finite elements, with progress, and stopped by Ctrl-C."""
    return carry_out(
        lambda *, progress, cancelled: app.reckoned(
            found, own=own, progress=progress, cancelled=cancelled
        )
    )


def _planned(drawing: Drawing, shop: Any, own: tuple[Species, ...]) -> app.PlanReport:
    return carry_out(
        lambda *, progress, cancelled: app.plan(
            drawing, shop, own=own, progress=progress, cancelled=cancelled
        )
    )
