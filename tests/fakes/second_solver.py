"""The choice put to CP-SAT, written down from the problem's own words: a second opinion.

Every figure must be a multiple of 1/8, as the random problems' are: CP-SAT counts in whole numbers.
"""

from __future__ import annotations

import math

from ortools.sat.python import cp_model

from seamwright.planner.problem import Pool, Problem

EIGHTHS = 8


def least_minutes(problem: Problem, *, seconds: float = 20.0) -> float:
    """The cost of the best choice [min].

    Raises:
        RuntimeError: it was not proven in time.
    """
    model = cp_model.CpModel()
    costs: list[tuple[int, cp_model.IntVar]] = []
    wanted = [model.new_int_var(0, node.most, "") for node in problem.nodes]
    settings = [model.new_bool_var("") for _ in problem.setting_minutes]
    costs += [(whole(c), s) for c, s in zip(problem.setting_minutes, settings, strict=True)]
    drawn: list[list[tuple[int, cp_model.IntVar]]] = [[] for _ in problem.pools]
    needs: list[list[cp_model.LinearExpr]] = [[] for _ in problem.nodes]
    for n, node in enumerate(problem.nodes):
        picks = []
        for mode in node.modes:
            pick = model.new_bool_var("")
            uses = model.new_int_var(0, node.most, "")
            picks.append(pick)
            model.add(uses == 0).only_enforce_if(~pick)
            # just enough: no use more than what is wanted calls for
            model.add(mode.yields * uses >= wanted[n]).only_enforce_if(pick)
            model.add(mode.yields * (uses - 1) < wanted[n]).only_enforce_if(pick)
            costs += [(whole(mode.once), pick), (whole(mode.each), uses)]
            if mode.batch:
                loads = model.new_int_var(0, node.most, "")
                model.add(mode.batch * loads >= uses)
                costs.append((whole(mode.clamping), loads))
            for setting in mode.settings:
                model.add_implication(pick, settings[setting])
            if mode.pool >= 0:
                drawn[mode.pool].append((whole(mode.pitch_mm), uses))
            for child, times in mode.children:
                needs[child].append(times * uses)
        made = model.new_bool_var("")
        model.add(sum(picks) == made)
        model.add(wanted[n] == 0).only_enforce_if(~made)
        model.add(wanted[n] >= 1).only_enforce_if(made)
    for n in range(len(problem.nodes)):
        model.add(wanted[n] == sum(needs[n]) + (problem.copies if n == 0 else 0))
    worths = _bars(problem, model, drawn, settings, costs)
    model.minimize(EIGHTHS * sum(c * v for c, v in costs) + sum(worths))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = seconds
    if solver.solve(model) != cp_model.OPTIMAL:
        raise RuntimeError("not proven")
    return problem.fixed + solver.objective_value / EIGHTHS**2


def _bars(
    problem: Problem,
    model: cp_model.CpModel,
    drawn: list[list[tuple[int, cp_model.IntVar]]],
    settings: list[cp_model.IntVar],
    costs: list[tuple[int, cp_model.IntVar]],
) -> list[cp_model.LinearExpr]:
    """Every bar by itself with the slices on it; the worth of their wood, in sixty-fourths."""
    worths = []
    for pool, parts in zip(problem.pools, drawn, strict=True):
        if not parts:
            continue
        used = model.new_bool_var("")
        most = max(problem.nodes, key=lambda node: node.most).most
        laid: list[list[cp_model.IntVar]] = [[] for _ in parts]
        bars: list[tuple[cp_model.IntVar, cp_model.IntVar]] = []
        before = None
        for _ in range(pool.most):
            there = model.new_bool_var("")
            on_it = [model.new_int_var(0, most, "") for _ in parts]
            for own, count in zip(laid, on_it, strict=True):
                own.append(count)
                model.add(count == 0).only_enforce_if(~there)
            pitch = sum(each * count for (each, _), count in zip(parts, on_it, strict=True))
            model.add(pitch <= whole(pool.room_mm))
            length = model.new_int_var(0, 10**8, "")
            model.add(length >= whole(pool.least_mm)).only_enforce_if(there)
            model.add(length >= whole(pool.overhead_mm) + pitch).only_enforce_if(there)
            bars.append((there, length))
            costs.append((whole(pool.per_bar), there))
            worths.append(whole(pool.per_mm) * length)
            model.add_implication(there, used)
            if before is not None:
                model.add(before >= pitch)
            before = pitch
        _parted(pool, model, bars, costs)
        _clamped(pool, model, bars, costs)
        for own, (_, uses) in zip(laid, parts, strict=True):
            model.add(sum(own) == uses)
        for setting in pool.settings:
            model.add_implication(used, settings[setting])
    return worths


def _parted(
    pool: Pool,
    model: cp_model.CpModel,
    bars: list[tuple[cp_model.IntVar, cp_model.IntVar]],
    costs: list[tuple[int, cp_model.IntVar]],
) -> None:
    """Where there is one bar, and short, its equal sticks may come from one long one."""
    ways = []
    for together, most_mm in pool.parting:
        way = model.new_bool_var("")
        ways.append(way)
        model.add(sum(there for there, _ in bars) == 1).only_enforce_if(way)
        for _, length in bars:
            model.add(length <= whole(most_mm)).only_enforce_if(way)
        saved = sum(each * (n - math.ceil(n / together)) for n, each in pool.alike)
        costs.append((-whole(saved), way))
    if ways:
        model.add(sum(ways) <= 1)


def _clamped(
    pool: Pool,
    model: cp_model.CpModel,
    bars: list[tuple[cp_model.IntVar, cp_model.IntVar]],
    costs: list[tuple[int, cp_model.IntVar]],
) -> None:
    """Bars of one length share clampings; others are glued one by one."""
    clampings, alike = model.new_int_var(0, len(bars), ""), model.new_bool_var("")
    count = sum(there for there, _ in bars)
    model.add(pool.batch * clampings >= count)
    model.add(clampings >= count).only_enforce_if(~alike)
    common = model.new_int_var(0, 10**8, "")
    for there, length in bars:
        model.add(length == common).only_enforce_if([alike, there])
    costs.append((whole(pool.clamping), clampings))


def whole(figure: float) -> int:
    """A multiple of 1/8 as a whole number of eighths.

    Raises:
        ValueError: it is none.
    """
    eighths = figure * EIGHTHS
    if eighths != int(eighths):
        raise ValueError(f"{figure} is no multiple of 1/8")
    return int(eighths)
