"""Reports as they stand in a terminal: words come from app, here they get lines and indents."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from pathlib import Path

import click

from seamwright.app import (
    CAUTION,
    READING,
    CheckReport,
    PlanReport,
    best_words,
    board_words,
    caution_lines,
    drawn_seam_words,
    glue_words,
    look_first,
    proof_words,
    share_words,
    shares,
    space_words,
    split_words,
    told_steps,
    totals_words,
)
from seamwright.pictures import Ruler
from seamwright.plan import ShopSource

_WIDTH = 96
_NUMBERED = re.compile(r" *\d+  ")
_INDENT = re.compile(r" *")


def say(lines: Iterable[str]) -> None:
    """Print lines; long ones go on under their own beginning."""
    for line in lines:
        head = _NUMBERED.match(line) or _INDENT.match(line)
        indent = " " * (head.end() if head and head.end() else 2)
        told = textwrap.wrap(
            line, _WIDTH, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False
        )
        click.echo("\n".join(told))


def check_lines(report: CheckReport, *, each_seam: bool) -> Iterator[str]:
    """A drawing that was looked over."""
    ruler = Ruler(unit=report.drawing.unit)
    yield board_words(report.drawing)
    yield from split_words(report)
    yield "Seams by grain:"
    yield from (f"  {share_words(share, ruler)}" for share in shares(report))
    if each_seam:
        yield "Every seam:"
        yield from (f"  {drawn_seam_words(seam, ruler)}" for seam in report.seams)
    if report.remarks:
        yield "Remarks:"
        yield from (f"  {fault}" for fault in report.remarks)


def plan_lines(report: PlanReport) -> Iterator[str]:
    """A plan: sums first, then the steps, then how sure it is."""
    yield board_words(report.drawing)
    yield from (f"  {line}" for line in totals_words(report))
    yield f"  {glue_words(report)}"
    yield ""
    yield READING
    yield ""
    for words in told_steps(report):
        yield f"{words.number:>3}  {words.title}"
        yield from (f"     {line}" for line in words.lines)
    yield ""
    yield from caution_lines(report)
    yield from sure_lines(report)
    yield space_words(report)


def sure_lines(report: PlanReport) -> Iterator[str]:
    """How good a plan is, that it holds, and what to look at first."""
    yield best_words(report)
    yield proof_words(report)
    looked = look_first(report)
    if looked:
        yield "Look at this first:"
        yield from (f"  {line}" for line in looked)
    yield CAUTION


def papers_lines(files: Sequence[Path]) -> Iterator[str]:
    """Where papers lie."""
    count = "1 file" if len(files) == 1 else f"{len(files)} files"
    yield f"{count} in {files[0].parent}:" if files else "No files were asked for."
    yield from (f"  {file.name}" for file in files)


def shop_lines(sources: Iterable[ShopSource]) -> Iterator[str]:
    """The default shop, each value with its source."""
    for section, group in groupby(sources, key=lambda source: source.section):
        yield f"[{section}]"
        for source in group:
            unit = f" {source.unit}" if source.unit else ""
            yield f"  {source.key} = {source.value:g}{unit}: {source.about} ({source.source})"
