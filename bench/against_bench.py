"""Plans against how it would be done otherwise, and HiGHS against a second solver.

    python bench/against_bench.py            print the table
    python bench/against_bench.py --write    put it into docs/benchmarks.md

Ratios to the best plan, in one run: every patch cut singly; strip sets only (glued, sliced, flat,
nothing trimmed that can be made without). For the solvers both are given the same numbers,
rounded to eighths, because CP-SAT counts in whole numbers: flat parts alone, at most 20 s each.
"""

from __future__ import annotations

import math
import sys
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT / "src"), str(ROOT / "tests"), str(ROOT / "bench")]

import sections
from planner_bench import Result, apart_from_us, cases, ratio

from fakes.second_solver import EIGHTHS, least_minutes
from seamwright.planner.cells import prepare
from seamwright.planner.depths import depths
from seamwright.planner.descent import descend
from seamwright.planner.pricing import price
from seamwright.planner.problem import Problem
from seamwright.planner.solver import Relaxed
from seamwright.planner.space import explore

SECTION = "## Against others"
SECONDS = 20.0
CASES = (
    "demo", "checkerboard 8 × 8", "nine patch", "log cabin", "sawtooth star", "flying geese",

)  # fmt: skip


def rounded(problem: Problem) -> Problem:
    """The problem with every figure a multiple of 1/8; none that was something becomes nothing."""

    def eighths(figure: float) -> float:
        return max(1, round(figure * EIGHTHS)) / EIGHTHS if figure > 0.0 else 0.0

    def up(figure: float) -> float:
        return math.ceil(figure * EIGHTHS) / EIGHTHS

    def down(figure: float) -> float:
        return math.floor(figure * EIGHTHS) / EIGHTHS

    return replace(
        problem,
        fixed=eighths(problem.fixed),
        setting_minutes=tuple(map(eighths, problem.setting_minutes)),
        pools=tuple(
            replace(
                pool, room_mm=up(pool.room_mm), full_mm=up(pool.full_mm),
                overhead_mm=up(pool.overhead_mm), least_mm=up(pool.least_mm),
                per_bar=eighths(pool.per_bar), per_mm=eighths(pool.per_mm),
                alike=tuple((number, eighths(each)) for number, each in pool.alike),
                parting=tuple((together, down(most)) for together, most in pool.parting),
                clamping=eighths(pool.clamping),
            )
            for pool in problem.pools
        ),
        nodes=tuple(
            replace(
                node,
                modes=tuple(
                    replace(
                        mode, each=eighths(mode.each), once=eighths(mode.once),
                        clamping=eighths(mode.clamping), pitch_mm=eighths(mode.pitch_mm),
                    )
                    for mode in node.modes
                ),
            )
            for node in problem.nodes
        ),
    )  # fmt: skip


def solvers(name: str) -> tuple[str, str, str]:
    """Seconds of HiGHS, of CP-SAT, and their ratio, on one choice."""
    make, shop_of = cases()[name]
    drawing, shop = make(), shop_of()
    flat = depths(drawing.thickness_mm, 1, shop)
    space = explore(prepare(drawing, shop), shop)
    problem = rounded(price(space, shop, flat, drawing.copies, edge_cuts=4))
    began = time.perf_counter()
    known = descend(problem)
    solved = Relaxed(problem).solve(seconds=SECONDS, beat=known.minutes)
    ours = time.perf_counter() - began
    best = solved.choice.minutes if solved.choice else known.minutes
    began = time.perf_counter()
    try:
        theirs = least_minutes(problem, seconds=SECONDS)
    except RuntimeError:
        return f"{ours:.2f}", f"over {SECONDS:.0f}", f"over {SECONDS / ours:.0f}"
    took = time.perf_counter() - began
    same = abs(theirs - best) < 1e-4 and solved.stopped != "time"
    return f"{ours:.2f}", f"{took:.2f}", f"{took / ours:.1f}" + ("" if same else " (differ!)")


def against(best: Result, other: Result | str) -> list[str]:
    """Four ratios, or words where there is no such plan."""
    if isinstance(other, str):
        return [other, "", "", ""]
    return [
        ratio(other.minutes, best.minutes), ratio(other.glue_ups, best.glue_ups),
        ratio(other.set_ups, best.set_ups), ratio(other.wood_litres, best.wood_litres),
    ]  # fmt: skip


def report() -> Iterator[str]:
    yield SECTION
    yield ""
    yield (
        "Ratios to the best plan. *Singly*: every patch from a stick of its own, flat. *Strips*: "
        "glued strip sets and slices, flat, nothing trimmed that can be made without. Solvers: the "
        "same choice among flat parts, figures rounded to eighths, one thread each; HiGHS with our "
        "descent before it."
    )
    yield ""
    yield (
        "| case | minutes | singly: minutes × | glue-ups × | set-ups × | wood × | strips: minutes "
        "× | glue-ups × | set-ups × | wood × | HiGHS s | CP-SAT s | CP-SAT ÷ HiGHS |"
    )
    yield "|" + "---|" * 13
    for name in CASES:
        best = apart_from_us(name, "best")
        if isinstance(best, str):
            yield f"| {name} | {best} |"
            continue
        row = [name, f"{best.minutes:.0f}"]
        row += against(best, apart_from_us(name, "singly"))
        row += against(best, apart_from_us(name, "strips"))
        yield f"| {' | '.join([*row, *solvers(name)])} |"


if __name__ == "__main__":
    sys.exit(sections.main(__doc__, SECTION, report))
