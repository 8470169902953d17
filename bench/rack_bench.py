"""Cut plans of seeded racks: gap and time by size, against a careful person's hand rule.

    python bench/rack_bench.py              everything
    python bench/rack_bench.py --most 30    racks of up to 30 boards
    python bench/rack_bench.py --write      everything, into docs/benchmarks.md
    python bench/rack_bench.py --cpu        time limits in processor seconds, as on an idle core

One run each, no repeats; the racks are invented (tests/checkers/seeded_rack.py).

The hand rule: offcuts first, shortest first; crosscut the longest stick still needed that fits,
rip that section into what is needed, widest first, step over flaws, keep the end if it is long
enough.
"""

from __future__ import annotations

import argparse
import os
import platform
import sys
from concurrent.futures import ProcessPoolExecutor
from importlib import import_module
from multiprocessing import get_context
from pathlib import Path
from time import monotonic, process_time

ROOT = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT / "src"), str(ROOT / "tests"), str(ROOT / "bench")]

from memory import Watched
from sections import put_section

from checkers.cut_checker import check
from checkers.seeded_rack import SHOP, seeded_demand, seeded_rack
from seamwright.rack import Board, CutRules, Demand, Rack, Stock, apart, cut_plan, rules_of
from seamwright.rack.ready import get_ready

CASES = (
    # boards, lines, woods, seconds
    (12, 6, 1, 10.0),
    (30, 15, 2, 2.0),
    (60, 25, 2, 15.0),
    (100, 40, 3, 20.0),
    (200, 80, 5, 30.0),
)
SEEDS = (0, 1)
MOST_DIRECT = 60
WANTED = (
    "at most 2 % at 30 boards in 2 s and at 200 boards in 30 s, proven up to 12 boards, under 1 GB."
)


def by_hand(rack: Rack, demand: Demand, rules: CutRules) -> float:
    """Cost of the hand rule's plan, counted as the rack counts."""
    left = [s.count for s in demand.sticks]
    face = SHOP.allowances.rough_face_mm
    sizes = [
        (s.length_mm + SHOP.allowances.rough_length_mm, s.width_mm + 2 * face)
        for s in demand.sticks
    ]
    prices = {o.wood: o.price / (o.length_mm * o.width_mm * o.thickness_mm) for o in rack.offers}
    cost = 0.0
    boards = sorted(rack.boards, key=lambda b: (b.stock is not Stock.OFFCUT, b.length_mm))
    for board in boards:
        share = rules.worth.offcut if board.stock is Stock.OFFCUT else rules.worth.board
        rest = _cut_by_hand(board, demand, sizes, left, rules)
        if rest is not None:
            volume = board.length_mm * board.width_mm * board.thickness_mm
            back = rules.worth.leftover * rest / board.length_mm
            cost += share * prices[board.wood] * volume * (1 - back)
    for offer in rack.offers:
        while True:
            board = offer.as_board(offer.name)
            rest = _cut_by_hand(board, demand, sizes, left, rules)
            if rest is None:
                break
            cost += offer.price * (1 - rules.worth.bought_leftover * rest / board.length_mm)
    return cost


def _cut_by_hand(
    board: Board,
    demand: Demand,
    sizes: list[tuple[float, float]],
    left: list[int],
    rules: CutRules,
) -> float | None:
    """Cut one board; length of the end that is kept, or None where nothing comes from it."""
    mine = [n for n, s in enumerate(demand.sticks) if s.wood == board.wood]
    at, end, used = rules.end_trim_mm, board.length_mm - rules.end_trim_mm, False
    while True:
        fit = [n for n in mine if left[n] and sizes[n][0] <= end - at]
        if not fit:
            break
        length = max(sizes[n][0] for n in fit)
        spoilt = [
            f
            for f in board.flaws
            if f.x_mm - rules.clearance_mm < at + length
            and f.x_mm + f.length_mm + rules.clearance_mm > at
        ]
        low, got = rules.edge_trim_mm, False
        walls = sorted((f.y_mm - rules.clearance_mm, f.y_mm + f.width_mm) for f in spoilt)
        for top, after in [*walls, (board.width_mm - rules.edge_trim_mm, 0.0)]:
            for n in sorted(fit, key=lambda n: -sizes[n][1]):
                while left[n] and sizes[n][1] <= top - low:
                    left[n] -= 1
                    low += sizes[n][1] + rules.rip_kerf_mm
                    got = used = True
            low = max(low, after + rules.clearance_mm)
        if got or not spoilt:
            at += length + rules.crosscut_kerf_mm
        else:
            at = max(f.x_mm + f.length_mm for f in spoilt) + rules.clearance_mm
    if not used:
        return None
    rest = board.length_mm - at
    return rest if rest - rules.end_trim_mm >= rules.keep_length_mm else 0.0


HEAD = (
    "## Cut plans\n\n"
    "{when} One run each, a process for each wood; racks and sticks are invented "
    "(`tests/checkers`), the kerf is 3.2 mm. *Hand rule*: offcuts "
    "first, shortest first, the longest stick that fits. *Direct "
    "model*: rectangles on boards for a general solver (CP-SAT, two workers, the same time), not "
    "bound to cuts from edge to edge; — where it found no plan. Both as cost ÷ ours. The gap is "
    "proven: (cost − bound) ÷ cost. *Memory*: of all processes together, what they share counted "
    "once (proportional set size, sampled).\n\n"
    "| boards | sticks' kinds | woods | seed | limit s | taken s | gap | proven | "
    "memory MB | hand rule | direct model | in blanks | checker |\n"
    "|---|---|---|---|---|---|---|---|---|---|---|---|---|"
)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("factor", type=float, nargs="?", default=1.0, help="of all time limits")
    parser.add_argument("--most", type=int, default=999, help="leave larger racks out")
    parser.add_argument("--write", action="store_true", help="into docs/benchmarks.md")
    parser.add_argument("--cpu", action="store_true", help="limits in processor seconds")
    asked = parser.parse_args()
    if asked.cpu:
        count_processor_seconds()
    get_ready()
    busy = os.getloadavg()[0]
    when = f"Python {platform.python_version()}, {os.cpu_count()} cores, load {busy:.1f} at start."
    lines = [HEAD.format(when=when)]
    print(lines[0])
    for case in CASES:
        if case[0] <= asked.most:
            for seed in SEEDS:
                lines.append(measured(*case[:3], seed=seed, seconds=case[3] * asked.factor))
                print(lines[-1], flush=True)
    lines.append(f"\nWanted: {WANTED}")
    print(lines[-1])
    if asked.write:
        put_section("## Cut plans", "\n".join(lines).split("\n"))


def count_processor_seconds() -> None:
    """Let the rack's search count its own processor time instead of the clock on the wall."""
    for room in ("cutting", "search", "relax", "improve", "close", "match"):
        import_module(f"seamwright.rack.{room}").monotonic = process_time  # type: ignore[attr-defined]
    # processes side by side share the cores
    apart.limit = lambda seconds, number: seconds * min(1.0, apart.cores() / number)


def measured(boards: int, kinds: int, woods: int, *, seed: int, seconds: float) -> str:
    rack = seeded_rack(seed, boards=boards, woods=woods)
    demand = seeded_demand(seed, lines=kinds, woods=woods)
    rules = rules_of(SHOP)
    start = monotonic()
    with Watched() as memory:
        plan = cut_plan(rack, demand, shop=SHOP, seconds=seconds)
        wall = monotonic() - start
    hand = by_hand(rack, demand, rules) / plan.cost
    model = by_model(rack, demand, rules, seconds) if boards <= MOST_DIRECT else None
    faults = len(check(rack, demand, SHOP, rules, plan))
    cells = (
        boards, kinds, woods, seed, f"{seconds:g}", f"{wall:.1f}",
        f"{100 * plan.gap:.1f} %", "yes" if plan.is_proven else "no",
        f"{memory.most_mb:.0f}", f"{hand:.2f}",
        "—" if model is None else f"{model / plan.cost:.2f}", f"{plan.yield_pct:.0f} %",
        "sound" if not faults else f"{faults} faults",
    )  # fmt: skip
    return f"| {' | '.join(map(str, cells))} |"


def by_model(rack: Rack, demand: Demand, rules: CutRules, seconds: float) -> float | None:
    """The direct model's cost, in its own process: its solver stays out of what is measured."""
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
        return pool.submit(_direct, rack, demand, rules, seconds).result()


def _direct(rack: Rack, demand: Demand, rules: CutRules, seconds: float) -> float | None:
    model = import_module("direct_model")
    cost: float | None = model.by_model(rack, demand, rules, seconds=seconds)
    return cost


if __name__ == "__main__":
    main()
