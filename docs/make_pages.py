"""Write the pages and pictures of the documentation that come out of the code (`make docs`)."""

from __future__ import annotations

import sys
from itertools import groupby
from pathlib import Path

import click
from plan_picture import plan_picture

from seamwright import app
from seamwright.__main__ import seamwright
from seamwright.cli import ExitCode
from seamwright.design import demo
from seamwright.pictures import svg
from seamwright.plan import shop_sources

HERE = Path(__file__).parent
WIDTH = 96

CLI_HEAD = """\
# The command line

*This page comes out of the program (`make docs`).*

`seamwright` and `python -m seamwright` are the same. Answers go to standard output, refusals to
standard error. How far long work is stands on standard error, and only where that is a terminal.
Ctrl-C stops at once; files are written all together at the end, or not at all.

"""
EXITS = {
    ExitCode.GOOD: "done",
    ExitCode.NO_PLAN: "no plan is possible in this shop (every reason is named), or the plan that "
    "was found did not hold on the virtual bench and was thrown away (the step is named)",
    ExitCode.BAD_INPUT: "something given cannot be used: a design, a shop file, an option, a file "
    "that cannot be read, a place that cannot be written to; nothing is written",
    ExitCode.CANCELLED: "stopped with Ctrl-C",
    ExitCode.PIPE_CLOSED: "whoever read the output stopped reading (`seamwright woods | head`)",
}
CODES = {
    "A101 to A104": "a file that cannot be read: not there, a folder, not permitted, other reasons",
    "A105": "a drawing (SVG, DXF) where a design file is wanted",
    "A111": "a file that is there already; `new` and `shop --write` never write over one",
    "A112 to A117": "a place that cannot be written to: no room, not permitted, no such folder, a "
    "file or folder in the way, other reasons",
    "A118": "standard output cannot be written to",
    "A121": "a drawing named in a design that does not lie in the design's own folder",
    "A201": "a command that cannot be understood (only with `--json`; else click says it)",
    "A202, A203": "near: a limit that is none, a change that was not found",
    "A400, A404": "on screen: an address that is not understood, or where nothing is",
    "A900": "work in the background stumbled, or its process died: a mistake of ours",
    "A901": "on screen: a change that is not understood",
    "A920": "on screen: a wrong code of another device",
    "A910, A911": "on screen: no file was chosen; a count that is no whole number",
    "K…": "the store: cannot be opened, no such job, changed elsewhere, a damaged job file",
    "B…": "the proof: what breaks a plan; see decision 0021",
    "D…, L…": "the design file and its lengths; see [design file](design-file.md)",
    "F1…": "measured sizes that cannot be used, or belong to another drawing or plan",
    "P1…": "no plan is possible, and why",
    "S…": "whether it holds: a board, a load, a season or a place that cannot be reckoned; see "
    "[codes of the soundness check](soundness-codes.md)",
    "P2…": "the shop file; see [shop file](shop-file.md)",
    "E1…": "a quote: amounts that cannot be charged",
    "R1…": "the rack: boards, flaws, tables, what is set aside, sticks that cannot be cut",
    "W…": "a wood that is not known, is one of several, or lacks a value; a wood of your own that "
    "is not written rightly; a climate",
    "X1…": "a sheet that could not be set: a mistake of ours, please report it",
}
SHOP_HEAD = """\
# The shop file

*This page comes out of the program (`make docs`).*

A shop file says where your shop differs from the default one. It is plain text in the
[TOML](https://toml.io) form; what it leaves out keeps its default. Write one with
`seamwright shop --write shop.toml`, change it, and give it with `--shop shop.toml`:

```toml
[saws]
table_kerf = 2.4          # a thin blade

[limits]
clamp_reach = 600

[maker]
name = "My Workshop"      # stands on quotes
currency = "€"

[money]
hour = 48
```

Woods of your own, and colours, stand there too: see [woods](woods.md#your-own-woods).

Sizes are in millimetres (1 in = 25.4), times in minutes. Unknown words, values outside the range
and values that contradict each other are refused, with their line.

Behind each value stands where it comes from. "Common practice, no source" and "from memory" mean
what they say: check such a value against the manual of your machine before you trust it. Limits
that keep hands away from blades (shortest, thinnest, smallest) are there for a reason; the manual,
your local rules and proper training go before them.

The table `money` holds your prices, and `maker` your name, your currency, and whether the margin is
a share "on cost" or "of price": they stand on a quote and on what a customer gets.

Codes: P200 to P202 the file, P203 unknown words, P204 and P205 values, P206 values that contradict
each other, P207 machines among the woods on screen, W1… your own woods.
"""
TITLES = {
    "accuracy": "How true you work",
    "losses": "What is spoilt",
    "gluing": "Clamps and glue",
    "small_parts": "Parts too small for the sled",
    "overlays": "Overlays: a thin face on a backing",
    "saws": "Saws",
    "allowances": "Allowances: wood left on purpose",
    "limits": "Limits of machines, stock and clamps",
    "minutes": "Minutes of your time",
    "money": "Money",
}


def cli_page() -> str:
    """The commands with their help, exit codes and fault codes."""
    parts = [CLI_HEAD, _help(seamwright, "seamwright")]
    for name, command in seamwright.commands.items():
        parts.append(f"\n## {name}\n\n" + _help(command, f"seamwright {name}"))
        if isinstance(command, click.Group):
            parts += [
                f"\n### {name} {word}\n\n" + _help(each, f"seamwright {name} {word}")
                for word, each in command.commands.items()
            ]
    parts.append("\n## Exit codes\n\n| code | meaning |\n|---|---|\n")
    parts += [f"| {int(code)} | {meaning} |\n" for code, meaning in EXITS.items()]
    parts.append("\n## Codes of faults\n\n| codes | about |\n|---|---|\n")
    parts += [f"| {codes} | {about} |\n" for codes, about in CODES.items()]
    return "".join(parts)


def _help(command: click.Command, name: str) -> str:
    context = click.Context(command, info_name=name, max_content_width=WIDTH, terminal_width=WIDTH)
    context.help_option_names = ["-h", "--help"]
    return f"```text\n{command.get_help(context)}\n```\n"


def shop_page() -> str:
    """Every value of the default shop with range and source."""
    parts = [SHOP_HEAD]
    for section, sources in groupby(shop_sources(), key=lambda source: source.section):
        parts.append(
            f"\n## {TITLES[section]}\n\n"
            f"| `[{section}]` | default | range | what it is | where it comes from |\n"
            "|---|---|---|---|---|\n"
        )
        for source in sources:
            unit = f" {source.unit}" if source.unit else ""
            parts.append(
                f"| `{source.key}` | {source.value:g}{unit} | {source.least:g} to "
                f"{source.most:g} | {source.about} | {source.source} |\n"
            )
    return "".join(parts)


def picture() -> str:
    """The plan of the demo board at a glance."""
    drawing = app.read_design(demo().encode(), name="demo")
    return svg(plan_picture(app.plan(drawing)))


PAGES = {
    "reference/cli.md": cli_page,
    "reference/shop-file.md": shop_page,
    "pictures/demo-plan.svg": picture,
}


def main() -> None:
    """Write them all."""
    for name, make in PAGES.items():
        (HERE / name).write_text(make(), encoding="utf-8")
        sys.stdout.write(f"docs/{name}\n")


if __name__ == "__main__":
    main()
