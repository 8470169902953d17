"""Search, exact choice and proof in one table, with two baselines in the same run.

Every case runs in a fresh process, so that its peak memory is its own. The baselines: the plan
that cuts every patch singly from sticks, and the same exact choice where no sub-assembly is the
same part as another. Ratios are what to look at: both sides of each were taken
on the same machine in the same run.

    python bench/planner_bench.py              everything
    python bench/planner_bench.py --quick      a few cases
    python bench/planner_bench.py --write      everything, into docs/benchmarks.md
"""

from __future__ import annotations

import argparse
import json
import math
import resource
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from unittest import mock

ROOT = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT / "src"), str(ROOT / "tests")]

from sections import put_head

from fakes.drawings import chequers, random_split
from seamwright.bench import prove
from seamwright.design import Drawing, demo, known_blocks, read
from seamwright.errors import PlanError
from seamwright.geometry import Motion
from seamwright.plan import Shop, default_shop, totals
from seamwright.planner import choose, choosing, planning
from seamwright.planner import space as searching
from seamwright.planner.canon import canonical
from seamwright.planner.cells import Cell, prepare
from seamwright.planner.options import Cut, Join, Space
from seamwright.planner.writing import write_plan

CHOICE_S = 20.0
PATIENCE_S = 90.0
GROWTH = (60, 125, 250, 500, 1000)
QUICK = ("demo", "checkerboard 8 × 8", "random 200", "sawtooth star", "nine patch", "log cabin")


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """What one case took and gave."""

    patches: int
    kinds: int
    options: int
    search_s: float
    choice_s: float
    proof_s: float
    peak_mb: float
    minutes: float
    gap: float
    stopped: str
    holds: bool
    glue_ups: int
    set_ups: int
    wood_litres: float

    @property
    def total_s(self) -> float:
        return self.search_s + self.choice_s + self.proof_s


# -- cases -----------------------------------------------------------------------------------------


def open_shop() -> Shop:
    """Limits wide enough for any random piece; kerfs, allowances and saw depth as they come."""
    shop = default_shop()
    limits = replace(
        shop.limits, stick_length_mm=1e5, stick_min_width_mm=1.0, slice_min_mm=1.0,
        part_min_mm=1.0, clamp_reach_mm=1e5, stock_width_mm=1e4,
    )  # fmt: skip
    return replace(shop, limits=limits)


def checkerboard(side: int) -> Drawing:
    return chequers(side, side, size=600.0 / side)


def random_board(count: int) -> Drawing:
    return random_split(count, count, woods=3, width=1200.0, height=900.0)


def twelve(block: str) -> Drawing:
    return in_rows(block, columns=4, rows=3)


def in_rows(block: str, *, columns: int, rows: int) -> Drawing:
    row = " ".join(["one"] * columns)
    return read(
        f"""
        unit = "in"
        thickness = "1/2"
        woods = {{ A = "pear", B = "bog oak", C = "plum", D = "lime", E = "yew" }}
        [block.one]
        from = "{block}"
        size = "6"
        [board]
        set = '''
{chr(10).join([row] * rows)}
        '''
        sashing = {{ wood = "A", width = "3/8" }}
        """,
        name=block,
    )


def cases() -> dict[str, tuple[Callable[[], Drawing], Callable[[], Shop]]]:
    made: dict[str, tuple[Callable[[], Drawing], Callable[[], Shop]]] = {
        "demo": (lambda: read(demo(), name="demo"), default_shop),
        "checkerboard 8 × 8": (lambda: checkerboard(8), default_shop),
        "checkerboard 24 × 24": (lambda: checkerboard(24), default_shop),
        "random 200": (lambda: random_board(200), open_shop),
    }
    for block in known_blocks():
        made[block] = (lambda block=block: twelve(block), default_shop)  # type: ignore[misc]
    for count in GROWTH:
        made[f"growth {count}"] = (lambda count=count: random_board(count), open_shop)  # type: ignore[misc]
    return made


# -- one case --------------------------------------------------------------------------------------


def apart(cells: list[Cell], woods: object, hull: object = None) -> tuple[bytes, Motion]:
    """A key that only the same place has; single pieces alone may still be equal."""
    key, frame = canonical(cells, woods, hull)  # type: ignore[arg-type]
    if len(cells) == 1:
        return key, frame
    return repr([(cell.polygon, cell.wood, cell.grain_deg) for cell in cells]).encode(), frame


def singly(space: Space) -> Space:
    """Only gluing, and single pieces: no strip sets, no trimmed sub-assemblies."""
    kinds = tuple(
        replace(kind, options=[o for o in kind.options if isinstance(o, Join)] or kind.options)
        if kind.region & (kind.region - 1)
        else kind
        for kind in space.kinds
    )
    return replace(space, kinds=kinds)


def strip_sets_only(space: Space) -> Space:
    """Gluing and slicing alone: nothing trimmed where a part can be made without, no rows."""
    kinds = tuple(
        replace(
            kind, options=[o for o in kind.options if isinstance(o, Join | Cut)] or kind.options
        )
        for kind in space.kinds
    )
    return replace(space, kinds=kinds)


def counts_of(counts: list[int] | None) -> Callable[..., tuple[int, ...]]:
    """Which numbers of leaves are tried: those given, or as many as the saw takes."""
    return choosing.leaf_counts if counts is None else lambda *_: tuple(counts)


def run(name: str, variant: str) -> Result:
    make, shop_of = cases()[name]
    board, shop = make(), shop_of()
    began = time.perf_counter()
    cells = prepare(board, shop)
    with mock.patch.object(searching, "canonical", apart if variant == "apart" else canonical):
        space = searching.explore(cells, shop)
    if variant == "singly":
        space = singly(space)
    elif variant == "strips":
        space = strip_sets_only(space)
    searched = time.perf_counter()
    counts = [1] if variant in {"singly", "strips"} else None
    with mock.patch.object(choosing, "leaf_counts", counts_of(counts)):
        chosen = choose(
            space, shop, board.thickness_mm, board.copies,
            edge_cuts=len(cells.outline) if cells.edge_mm else 0, seconds=CHOICE_S,
        )  # fmt: skip
    if chosen is None:
        raise PlanError(*planning.why_not(space, board, shop))
    plan = write_plan(space, chosen, shop, title=name, outline=board.outline, edge_mm=cells.edge_mm)
    picked = time.perf_counter()
    proof = prove(plan, board)
    proven = time.perf_counter()
    sums = totals(plan)
    return Result(
        patches=len(board.patches),
        kinds=len(space.kinds),
        options=sum(len(kind.options) for kind in space.kinds),
        search_s=searched - began,
        choice_s=picked - searched,
        proof_s=proven - picked,
        peak_mb=resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0,
        minutes=sums.minutes,
        gap=max(0.0, 1.0 - chosen.bound / sums.minutes),
        stopped=chosen.stopped,
        holds=proof.holds,
        glue_ups=sums.glue_ups,
        set_ups=sums.set_ups,
        wood_litres=sums.wood_mm3 / 1e6,
    )


def apart_from_us(name: str, variant: str) -> Result | str:
    """The case in a process of its own; words where it gives no plan."""
    command = [sys.executable, __file__, "--case", name, "--variant", variant]
    try:
        done = subprocess.run(command, capture_output=True, timeout=PATIENCE_S, check=False)
    except subprocess.TimeoutExpired:
        return f"over {PATIENCE_S:.0f} s"
    last = done.stdout.decode().strip().splitlines()[-1:]
    if done.returncode == 2:
        return f"refused: {last[0]}"
    if done.returncode:
        return f"failed: {done.stderr.decode().strip().splitlines()[-1]}"
    return Result(**json.loads(last[0]))


# -- tables ----------------------------------------------------------------------------------------

HEAD = (
    "case", "patches", "kinds", "search s", "choice s", "proof s", "MB", "minutes", "gap", "stop",
    "holds", "singly: minutes ×", "glue-ups ×", "set-ups ×", "wood ×", "apart: kinds ×", "time ×",
    "minutes ×",
)  # fmt: skip


def row(name: str) -> list[str]:
    best = apart_from_us(name, "best")
    if isinstance(best, str):
        return [name, best]
    cells = [
        name, str(best.patches), str(best.kinds), f"{best.search_s:.2f}", f"{best.choice_s:.2f}",
        f"{best.proof_s:.2f}", f"{best.peak_mb:.0f}", f"{best.minutes:.0f}",
        f"{100.0 * best.gap:.1f} %", best.stopped, "yes" if best.holds else "NO",
    ]  # fmt: skip
    alone = apart_from_us(name, "singly")
    if isinstance(alone, str):
        cells += [alone, "", "", ""]
    else:
        cells += [
            ratio(alone.minutes, best.minutes), ratio(alone.glue_ups, best.glue_ups),
            ratio(alone.set_ups, best.set_ups), ratio(alone.wood_litres, best.wood_litres),
        ]  # fmt: skip
    each = apart_from_us(name, "apart")
    if isinstance(each, str):
        return [*cells, each, "", ""]
    return [
        *cells, ratio(each.kinds, best.kinds), ratio(each.total_s, best.total_s),
        ratio(each.minutes, best.minutes),
    ]  # fmt: skip


def ratio(a: float, b: float) -> str:
    return f"{a / b:.2f}" if b else "-"


def growth() -> Iterator[str]:
    yield "| patches | kinds | search s | choice s | proof s | MB | gap | stop |"
    yield "|---|---|---|---|---|---|---|---|"
    points: list[tuple[float, float, float]] = []
    for count in GROWTH:
        got = apart_from_us(f"growth {count}", "best")
        if isinstance(got, str):
            yield f"| {count} | {got} |"
            continue
        points.append((got.patches, got.search_s + got.choice_s, got.total_s))
        yield (
            f"| {got.patches} | {got.kinds} | {got.search_s:.2f} | {got.choice_s:.2f} | "
            f"{got.proof_s:.2f} | {got.peak_mb:.0f} | {100.0 * got.gap:.1f} % | {got.stopped} |"
        )
    yield ""
    if len(points) > 1:
        planner, whole = (slope([(p[0], p[i]) for p in points]) for i in (1, 2))
        yield f"Time grows as patches to the {planner:.2f} (planner), {whole:.2f} (with the proof)."


def slope(points: list[tuple[float, float]]) -> float:
    """Exponent of growth: least squares through the logarithms."""
    logs = [(math.log(x), math.log(max(y, 1e-4))) for x, y in points]
    mx, my = (sum(p[i] for p in logs) / len(logs) for i in (0, 1))
    return sum((x - mx) * (y - my) for x, y in logs) / sum((x - mx) ** 2 for x, _ in logs)


def report(names: list[str], *, growing: bool) -> Iterator[str]:
    yield "# Benchmarks of the planner"
    yield ""
    yield (
        f"Python {sys.version.split()[0]}, one process for each figure, exact choice limited to "
        f"{CHOICE_S:.0f} s. Named blocks: twelve of 6 in in rows of four, sashing 3/8 in, 1/2 in "
        "thick, default shop. Random boards: 1200 × 900 mm, cuts at 0, 45 and 90°, in a shop "
        "without limits on small pieces. *Singly*: every patch cut from a stick of its own, flat. "
        "*Apart*: no sub-assembly counts as equal to another, only single pieces do. Columns with "
        "× are ratios to the plan shown."
    )
    yield ""
    yield f"| {' | '.join(HEAD)} |"
    yield f"|{'---|' * len(HEAD)}"
    for name in names:
        yield f"| {' | '.join(row(name))} |"
    yield ""
    if growing:
        yield "## Growth"
        yield ""
        yield from growth()


MECHANICS = (
    "",
    "## Mechanics",
    "",
    "50, 200 and 500 patches, with the ratio to CalculiX in the same run, and the mesh study: see",
    "[mechanics](concepts/mechanics.md#how-long-it-takes).",
)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--case")
    parser.add_argument("--variant", default="best", choices=["best", "singly", "strips", "apart"])
    parser.add_argument("--quick", action="store_true")
    parser.add_argument("--write", action="store_true")
    asked = parser.parse_args()
    if asked.case:
        try:
            print(json.dumps(asdict(run(asked.case, asked.variant))))
        except PlanError as refused:
            print(refused.faults[0])
            return 2
        return 0
    names = [name for name in cases() if not name.startswith("growth ")]
    lines = []
    for line in report(list(QUICK) if asked.quick else names, growing=not asked.quick):
        print(line, flush=True)
        lines.append(line)
    if asked.write:
        put_head((*lines, *MECHANICS))
    return 0


if __name__ == "__main__":
    sys.exit(main())
