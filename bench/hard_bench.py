"""Boards whose exact choice is hard: processor seconds until it is proven.

python bench/hard_bench.py            print the table
python bench/hard_bench.py --write    put it into docs/benchmarks.md
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT / "src"), str(ROOT / "bench")]

import sections

from seamwright.bench import prove
from seamwright.design import Drawing, known_blocks, read
from seamwright.plan import default_shop, totals
from seamwright.planner import make_plan

SECTION = "## Hard choices"
SECONDS = 600.0
"""Far more than is wanted: a busy machine must not end a search that another would finish."""
WOODS = 'woods = { A = "pear", B = "bog oak", C = "plum", D = "lime", E = "yew" }'
FRAME = """
sashing = { wood = "A", width = "3/8" }
borders = [ { wood = "B", width = "1/2" }, { wood = "A", width = "1-1/2" } ]
"""
TRAY = """
title = "tray"
unit = "mm"
thickness = 12
woods = { A = "hard maple", B = "black walnut", C = "black cherry" }
sashing = { wood = "B", width = "6" }
borders = [ { wood = "A", width = "20" } ]
"""


def board(blocks: list[str], per_row: int) -> Drawing:
    """Blocks of 6 in, 3/4 in thick, with sashing and two borders."""
    number = {name: f"b{i}" for i, name in enumerate(dict.fromkeys(blocks))}
    tables = "".join(
        f'[block.{own}]\nfrom = "{name}"\nsize = "6"\n' for name, own in number.items()
    )
    rows = [blocks[i : i + per_row] for i in range(0, len(blocks), per_row)]
    laid = "\n".join(" ".join(number[name] for name in row) for row in rows)
    head = f'unit = "in"\nthickness = "3/4"\n{WOODS}\n'
    text = f'{head}{tables}[board]\nset = """\n{laid}\n"""{FRAME}'
    return read(text, name="hard")


def tray() -> Drawing:
    """A thin tray: small parts, and as many as four leaves in a billet."""
    head, sashing = TRAY.split("sashing", 1)
    text = (
        f'{head}[block.pin]\nfrom = "pinwheel"\nsize = "90"\n[block.gap]\nfrom = "churn dash"\n'
        f'size = "90"\n[board]\nset = """\npin gap pin\ngap pin gap\n"""\nsashing{sashing}'
    )
    return read(text, name="tray")


def cases() -> dict[str, Callable[[], Drawing]]:
    """Name and drawing of every case."""
    names = list(known_blocks())
    return {
        "card trick × 8": lambda: board(["card trick"] * 8, 4),
        "card trick × 12": lambda: board(["card trick"] * 12, 4),
        "bear's paw × 8": lambda: board(["bears paw"] * 8, 4),
        "snail's trail × 4": lambda: board(["snails trail"] * 4, 2),
        "eight-pointed star × 8": lambda: board(["lemoyne star"] * 8, 4),
        "broken dishes × 8": lambda: board(["broken dishes"] * 8, 4),
        "twelve different": lambda: board(names[:12], 4),
        "tray, pinwheels and churn dashes": tray,
    }


def report() -> Iterator[str]:
    """The section, line by line."""
    yield SECTION
    yield ""
    yield (
        "Processor seconds of one process from drawing to plan, every feasible depth of billet "
        "included, and whether the plan is proven best of its option space. Blocks of 6 in, 3/4 in "
        "thick, with sashing and two borders; the tray is 12 mm thick. Default shop."
    )
    yield ""
    yield "| case | patches | CPU s | minutes | glue-ups | set-ups | stopped | gap | holds |"
    yield "|---|---|---|---|---|---|---|---|---|"
    for name, make in cases().items():
        drawing = make()
        start = time.process_time()
        planned = make_plan(drawing, default_shop(), seconds=SECONDS)
        spent = time.process_time() - start
        total, best = totals(planned.plan), planned.best
        holds = "yes" if prove(planned.plan, drawing).holds else "**no**"
        yield (
            f"| {name} | {len(drawing.patches)} | {spent:.1f} | {total.minutes:.0f} | "
            f"{total.glue_ups} | {total.set_ups} | {best.stopped} | {100.0 * best.gap:.1f} % | "
            f"{holds} |"
        )


if __name__ == "__main__":
    raise SystemExit(sections.main(__doc__, SECTION, report))
