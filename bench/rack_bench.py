"""Cut plans of seeded racks: gap and time by size, against a careful person's hand rule.

Run from the repository: ``PYTHONPATH=src:tests python bench/rack_bench.py [SECONDS-FACTOR]``.
One run each, no repeats; the racks are invented (tests/checkers/seeded_rack.py).

The hand rule: offcuts first, shortest first; crosscut the longest stick still needed that fits,
rip that section into what is needed, widest first, step over flaws, keep the end if it is long
enough.
"""

from __future__ import annotations

import resource
import sys
from time import monotonic, process_time

from checkers.cut_checker import check
from checkers.seeded_rack import SHOP, seeded_demand, seeded_rack
from seamwright.rack import Board, CutRules, Demand, Fate, Rack, Stock, cut_plan, rules_of

CASES = (
    # boards, lines, woods, seconds
    (12, 6, 1, 10.0),
    (30, 15, 2, 2.0),
    (60, 25, 2, 15.0),
    (100, 40, 3, 20.0),
    (200, 80, 5, 30.0),
)
SEEDS = (0, 1)


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


def main() -> None:
    factor = float(sys.argv[1]) if len(sys.argv) > 1 else 1.0
    rules = rules_of(SHOP)
    print(
        "boards lines woods seed | limit  wall   cpu s | gap %  proven | hand/ours yield % checker"
    )
    for boards, lines, woods, seconds in CASES:
        for seed in SEEDS:
            rack = seeded_rack(seed, boards=boards, woods=woods)
            demand = seeded_demand(seed, lines=lines, woods=woods)
            start, cpu = monotonic(), process_time()
            plan = cut_plan(rack, demand, shop=SHOP, seconds=seconds * factor)
            wall, cpu = monotonic() - start, process_time() - cpu
            hand = by_hand(rack, demand, rules)
            faults = len(check(rack, demand, SHOP, rules, plan))
            blanks = sum(len(c.of(Fate.BLANK)) for c in plan.boards)
            print(
                f"{boards:6} {lines:5} {woods:5} {seed:4} | {seconds * factor:5.0f} {wall:5.1f} "
                f"{cpu:7.1f} | {100 * plan.gap:5.2f}  {'yes' if plan.is_proven else 'no':6} | "
                f"{hand / plan.cost:9.2f} {plan.yield_pct:7.0f} "
                f"{'ok' if not faults else f'{faults} faults'} ({blanks} blanks)",
                flush=True,
            )
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"peak memory {peak:.0f} MB")


if __name__ == "__main__":
    main()
