"""The commands about real parts: ``fit`` and ``measure``."""

from __future__ import annotations

from collections.abc import Iterator

import click

from seamwright import app
from seamwright.app import fitting, measuring
from seamwright.app.files import load_accuracy, load_losses
from seamwright.app.fit_documents import fit_document, measure_document
from seamwright.app.fit_words import MODEL_WORDS, chain_lines, stack_lines
from seamwright.app.learning import history_of, history_words
from seamwright.app.mend_words import mended_lines, spare_lines
from seamwright.app.stores import kept
from seamwright.app.thick_words import thick_lines
from seamwright.cli import showing
from seamwright.cli.asking import json_option, shop_option
from seamwright.cli.front import show
from seamwright.cli.options import (
    history_option,
    prefer_option,
    seconds_option,
    store_option,
)
from seamwright.cli.working import carry_out
from seamwright.design import Drawing
from seamwright.errors import Fault, FitError, LengthError
from seamwright.fit import GAP_MM
from seamwright.lengths import parse_length
from seamwright.pictures import Ruler
from seamwright.plan import Plan
from seamwright.planner import Prefer

_MOST_GAP_MM = 25.0


@click.command("fit")
@click.argument("file")
@click.option("--gap", metavar="SIZE", help="Miss that still counts as met; 1/64 in if left out.")
@shop_option
@prefer_option
@seconds_option
@history_option
@store_option
@json_option
def fit_command(
    file: str,
    gap: str | None,
    shop_file: str | None,
    prefer: str,
    seconds: float,
    left_out: bool,
    address: str | None,
    as_json: bool,
) -> None:
    """How true the board will come out, and what to do about it.

    Shows which sizes must follow which, how far seams will miss each other in your shop, which
    settings matter most, and, once sizes are measured (see 'measure'), what changes. What was
    measured on your shop's jobs says how true you work. FILE is a design file. Nothing is written.
    """
    drawing = app.load(file)
    gap_mm = GAP_MM if gap is None else _length(gap, drawing, "--gap")
    if not 0.0 < gap_mm <= _MOST_GAP_MM:
        raise FitError(Fault("F121", "--gap", f"is {gap_mm:g} mm", "use more than 0, to 25 mm"))
    accuracy, losses = load_accuracy(shop_file), load_losses(shop_file)
    record = measuring.load_record(file, drawing)
    texts, rack = kept(address)
    own = [record] if record else []
    history = None if left_out else history_of(accuracy, texts, own)
    plan = record.plan if record else _plan(drawing, shop_file, prefer, seconds)
    report = carry_out(
        lambda *, progress, cancelled: fitting.fit(
            drawing,
            plan,
            history.accuracy if history else accuracy,
            history=history,
            rack=rack,
            losses=losses,
            record=record,
            gap_mm=gap_mm,
            progress=progress,
            cancelled=cancelled,
        )
    )
    if as_json:
        show(fit_document(report))
    else:
        showing.say(_fit_lines(report))


@click.command("measure")
@click.argument("file")
@click.argument("step", type=int)
@click.argument("sizes", nargs=-1, metavar="[SIZE]...")
@click.option(
    "--thick",
    multiple=True,
    metavar="SIZE",
    help="Reading of the thickness of what the step made; may be given several times.",
)
@click.option("--good", type=int, help="How many good parts came out; all of them if left out.")
@click.option("--forget", is_flag=True, help="Take back what was measured after this step.")
@shop_option
@prefer_option
@seconds_option
@json_option
def measure_command(
    file: str,
    step: int,
    sizes: tuple[str, ...],
    thick: tuple[str, ...],
    good: int | None,
    forget: bool,
    shop_file: str | None,
    prefer: str,
    seconds: float,
    as_json: bool,
) -> None:
    """Write down what a step really gave, and see what changes.

    STEP is its number in the plan. SIZE is a calliper reading, such as 50.6mm or 1-63/64; give as
    many as you took, or none where the step is done and nothing was measured. Readings are kept
    beside FILE, in FILE with the ending .measured.json, together with the plan they belong to.
    """
    drawing = app.load(file)
    record = measuring.load_record(file, drawing)
    if record is None:
        plan = _plan(drawing, shop_file, prefer, seconds)
        record = measuring.Record(design=measuring.fingerprint(drawing), plan=plan)
    if forget:
        record = measuring.without_reading(record, step)
    else:
        reading = measuring.Reading(
            step=step,
            sizes_mm=tuple(_length(size, drawing, f"step {step}") for size in sizes),
            thick_mm=tuple(_length(size, drawing, f"step {step}") for size in thick),
            good=good,
        )
        record = measuring.with_reading(record, reading)
    path = measuring.save_record(file, record)
    if as_json:
        show(measure_document(record, path))
    else:
        showing.say([f"Kept in {path}. See what changes: seamwright fit {file}"])


def _plan(drawing: Drawing, shop_file: str | None, prefer: str, seconds: float) -> Plan:
    shop, own = app.load_shop(shop_file), app.load_own_woods(shop_file)
    report: app.PlanReport = carry_out(
        lambda *, progress, cancelled: app.plan(
            drawing,
            shop,
            prefer=Prefer(prefer),
            seconds=seconds,
            own=own,
            progress=progress,
            cancelled=cancelled,
        )
    )
    return report.plan


def _length(text: str, drawing: Drawing, subject: str) -> float:
    try:
        return float(parse_length(text, unit=drawing.unit))
    except LengthError as error:
        fault = error.faults[0]
        raise FitError(Fault(fault.code, subject, str(fault)[:200])) from None


def _fit_lines(report: fitting.FitReport) -> Iterator[str]:
    ruler = Ruler(unit=report.drawing.unit)
    yield app.board_words(report.drawing)
    yield "Sizes that follow others: measure what stands on the right, then set what is on the left"
    yield from (f"  {line}" for line in chain_lines(report.study))
    yield "As planned:"
    yield from (f"  {line}" for line in stack_lines(report.stack, ruler))
    yield "Thickness, and whether faces come clean:"
    yield from (f"  {line}" for line in thick_lines(report.thick, report.plan, ruler))
    yield MODEL_WORDS
    yield history_words(report.history)
    if report.spares:
        yield "Spares, for what your shop spoils:"
        yield from (f"  {line}" for line in spare_lines(report.spares))
    if report.mended is not None:
        yield "As measured:"
        yield from (f"  {line}" for line in mended_lines(report, ruler))
