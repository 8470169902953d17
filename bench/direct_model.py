"""The cut plan as one direct constraint model (CP-SAT): what a general solver makes of it.

Rectangles placed on boards, no two within a kerf, none on a flaw. It may leave out more than ours
does (cuts from edge to edge, machine minima), and its leftover is the clear end of a board only,
flaws in it not subtracted: all in its favour but the last. None where no solution is found in time.
"""

from __future__ import annotations

import math

from ortools.sat.python import cp_model

from checkers.seeded_rack import SHOP
from seamwright.rack import Board, CutRules, Demand, Rack, Stock

_SCALE = 1000


def by_model(rack: Rack, demand: Demand, rules: CutRules, *, seconds: float) -> float | None:
    """Cost of the best plan found, counted as ours are; one model for each wood."""
    woods = list(dict.fromkeys(s.wood for s in demand.sticks))
    total = 0.0
    for wood in woods:
        found = _wood(rack, demand, rules, wood, seconds=seconds / len(woods))
        if found is None:
            return None
        total += found
    return total


def _wood(
    rack: Rack, demand: Demand, rules: CutRules, wood: str, *, seconds: float
) -> float | None:
    model = cp_model.CpModel()
    prices = {o.wood: o.price / o.as_board(o.name).litres for o in rack.offers}
    face, spare = SHOP.allowances.rough_face_mm, SHOP.allowances.rough_length_mm
    # tenths of a millimetre
    pieces = [
        (math.ceil(10 * (s.length_mm + spare)), math.ceil(10 * (s.width_mm + 2 * face)))
        for s in demand.sticks
        if s.wood == wood
        for _ in range(s.count)
    ]
    sources = [(b, _worth(b, rules, prices[wood])) for b in rack.boards if b.wood == wood]
    for offer in rack.offers:
        if offer.wood == wood:
            part = rules.worth.bought_leftover
            sources += [(offer.as_board(f"{offer.name} {n}"), (offer.price, part)) for n in (1, 2)]
    cross, rip = math.ceil(10 * rules.crosscut_kerf_mm), math.ceil(10 * rules.rip_kerf_mm)
    placed: list[list[cp_model.IntVar]] = [[] for _ in pieces]
    goal = []
    for board, (cost, part) in sources:
        goal.append(_board(model, board, pieces, placed, rules, cost, part, cross, rip))
    for choices in placed:
        model.add_exactly_one(choices)
    model.minimize(sum(goal))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 2
    status = solver.solve(model)
    return (
        solver.objective_value / _SCALE if status in (cp_model.OPTIMAL, cp_model.FEASIBLE) else None
    )


def _board(model, board, pieces, placed, rules, cost, part, cross, rip):  # type: ignore[no-untyped-def]
    long = math.floor(10 * (board.length_mm - 2 * rules.end_trim_mm)) + cross
    wide = math.floor(10 * (board.width_mm - 2 * rules.edge_trim_mm)) + rip
    used = model.new_bool_var("used")
    end = model.new_int_var(0, long, "end")
    xs, ys = [], []
    for n, (length, width) in enumerate(pieces):
        if length + cross > long or width + rip > wide:
            continue
        here = model.new_bool_var("here")
        x = model.new_int_var(0, long - length - cross, "x")
        y = model.new_int_var(0, wide - width - rip, "y")
        xs.append(model.new_optional_fixed_size_interval_var(x, length + cross, here, "ix"))
        ys.append(model.new_optional_fixed_size_interval_var(y, width + rip, here, "iy"))
        model.add(end >= x + length + cross).only_enforce_if(here)
        model.add_implication(here, used)
        placed[n].append(here)
    for flaw in board.flaws:
        near, low = flaw.x_mm - rules.clearance_mm, flaw.y_mm - rules.clearance_mm
        x0 = math.floor(10 * (near - rules.end_trim_mm)) + cross
        y0 = math.floor(10 * (low - rules.edge_trim_mm)) + rip
        x1 = math.ceil(10 * (flaw.x_mm + flaw.length_mm + rules.clearance_mm - rules.end_trim_mm))
        y1 = math.ceil(10 * (flaw.y_mm + flaw.width_mm + rules.clearance_mm - rules.edge_trim_mm))
        if x1 > max(0, x0) and y1 > max(0, y0):
            xs.append(model.new_fixed_size_interval_var(max(0, x0), x1 - max(0, x0), "fx"))
            ys.append(model.new_fixed_size_interval_var(max(0, y0), y1 - max(0, y0), "fy"))
    model.add_no_overlap_2d(xs, ys)
    per_step = cost * part / board.length_mm / 10
    keep = math.ceil(10 * rules.keep_length_mm)
    rest = model.new_int_var(0, long, "rest")
    kept = model.new_bool_var("kept")
    model.add(rest <= long - end)
    model.add(rest == 0).only_enforce_if(kept.negated())
    model.add(long - end >= keep).only_enforce_if(kept)
    model.add(rest == 0).only_enforce_if(used.negated())
    return round(cost * _SCALE) * used - _units(model, rest, per_step)


def _units(model, rest, per_step):  # type: ignore[no-untyped-def]
    """Credit of a rest in whole units, rounded down a little."""
    rate = max(0, math.floor(per_step * _SCALE * 100))
    credit = model.new_int_var(0, 10**9, "credit")
    model.add(100 * credit <= rate * rest)
    return credit


def _worth(board: Board, rules: CutRules, price: float) -> tuple[float, float]:
    share = rules.worth.offcut if board.stock is Stock.OFFCUT else rules.worth.board
    return share * price * board.litres, rules.worth.leftover
