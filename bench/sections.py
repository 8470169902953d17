"""Figures go into their own section of docs/benchmarks.md; the other sections stay."""

from __future__ import annotations

import argparse
import re
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

PAGE = Path(__file__).resolve().parents[1] / "docs" / "benchmarks.md"


def put_section(heading: str, lines: Sequence[str]) -> None:
    """Write lines that begin with a heading such as ``## Editing`` in place of the old ones."""
    page = PAGE.read_text("utf-8")
    new = "\n".join(lines).rstrip("\n") + "\n"
    old = re.compile(rf"^{re.escape(heading)}\n.*?(?=^## |\Z)", re.DOTALL | re.MULTILINE)
    if old.search(page):
        page = old.sub(lambda _: new + "\n", page, count=1)
    else:
        page = page.rstrip("\n") + "\n\n" + new
    PAGE.write_text(page.rstrip("\n") + "\n", encoding="utf-8")


def put_head(lines: Sequence[str]) -> None:
    """Write the page anew from its top; sections these lines do not have stay behind them."""
    mine = {line for line in lines if line.startswith("## ")}
    parts = re.split(r"^(?=## )", PAGE.read_text("utf-8"), flags=re.MULTILINE)[1:]
    others = [part for part in parts if part.partition("\n")[0] not in mine]
    page = "\n".join(lines).rstrip("\n") + "\n"
    PAGE.write_text("\n".join([page, *(part.rstrip("\n") + "\n" for part in others)]), "utf-8")


def main(about: str | None, heading: str, report: Callable[[], Iterable[str]]) -> int:
    """Print a section line by line; with ``--write`` put it into the page too."""
    parser = argparse.ArgumentParser(description=about)
    parser.add_argument("--write", action="store_true")
    writing = parser.parse_args().write
    lines = []
    for line in report():
        print(line, flush=True)
        lines.append(line)
    if writing:
        put_section(heading, lines)
    return 0
