"""One-dimensional cutting stock: bins of 150, sizes 20 to 100 drawn evenly.

Source: the recipe of the u-class bin packing instances of the OR-Library (Falkenauer 1996);
drawn here with our own seed, so no instance is copied. Each is cut with the rack's column
generation and confirmed by an arc-flow model (Valério de Carvalho 1999) written here, which
shares no code with the rack.
"""

from __future__ import annotations

import random
from collections import Counter
from time import monotonic

import highspy
import numpy as np
import pytest

from seamwright.rack import Board, CutRules
from seamwright.rack.grid import Blank, GridBoard
from seamwright.rack.price import Kind
from seamwright.rack.problem import Problem
from seamwright.rack.search import Hunt
from seamwright.rack.tables import menu

BIN = 150
PLAIN = CutRules(
    crosscut_kerf_mm=0.0,
    rip_kerf_mm=0.0,
    resaw_kerf_mm=0.0,
    end_trim_mm=0.0,
    edge_trim_mm=0.0,
    rip_length_mm=1.0,
    keep_length_mm=1e5,
    keep_width_mm=1e5,
)


def _sizes(seed: int, count: int) -> Counter[int]:
    rng = random.Random(seed)
    return Counter(rng.randint(20, 100) for _ in range(count))


def _arc_flow(sizes: Counter[int]) -> int:
    """Fewest bins, proven: flow from 0 to BIN over arcs of item sizes and arcs of waste."""
    items = sorted(sizes, reverse=True)
    reach = {0}
    arcs: list[tuple[int, int, int]] = []
    for size in items:  # largest first, as often as wanted: every packing has this order
        at = set(reach)
        for _ in range(sizes[size]):
            fresh = set()
            for node in at:
                if node + size <= BIN:
                    arcs.append((node, node + size, size))
                    fresh.add(node + size)
            at = fresh
            reach |= fresh
    arcs = sorted(set(arcs)) + [(a, a + 1, 0) for a in range(BIN)]
    model = highspy.Highs()
    model.setOptionValue("output_flag", False)
    model.setOptionValue("threads", 1)  # as everywhere: one process, one pool of threads
    model.setOptionValue("mip_rel_gap", 0.0)
    none_i, none_f = np.array([], dtype=np.int32), np.array([], dtype=float)
    for _ in range(1, BIN):
        model.addRow(0.0, 0.0, 0, none_i, none_f)
    row = {size: BIN - 1 + n for n, size in enumerate(items)}
    for size in items:
        model.addRow(float(sizes[size]), float(sizes[size]), 0, none_i, none_f)
    for a, b, size in arcs:
        entries = [(a - 1, -1.0)] * (a > 0) + [(b - 1, 1.0)] * (b < BIN)
        entries += [(row[size], 1.0)] if size else []
        model.addCol(
            1.0 if a == 0 else 0.0,
            0.0,
            float(sizes.total()),
            len(entries),
            np.array([r for r, _ in entries], dtype=np.int32),
            np.array([v for _, v in entries]),
        )
    number = model.getNumCol()
    model.changeColsIntegrality(
        number,
        np.arange(number, dtype=np.int32),
        np.array([highspy.HighsVarType.kInteger] * number),
    )
    model.run()
    assert model.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return round(model.getInfo().objective_function_value)


def _by_rack(sizes: Counter[int], seconds: float) -> tuple[int, float]:
    """Bins the rack's search needs, each bin a bought board one strip wide, and its bound."""
    items = sorted(sizes)
    blanks = tuple(
        Blank(row=n, stick=n, variant=0, along=size, across=10, gives=1)
        for n, size in enumerate(items)
    )
    zeros = np.zeros(BIN + 1)
    grid = GridBoard(
        board=Board(name="bin", wood="any", thickness_mm=1, width_mm=1, length_mm=BIN),
        cells=BIN,
        units=10,
        flaws=(),
        cost=1.0,
        credit=0.0,
        limit=sizes.total(),
        rest=zeros,
        head=zeros,
    )
    problem = Problem(
        kinds=(Kind(menu(blanks, cells=BIN, units=10, rules=PLAIN), (grid,), PLAIN),),
        needs=tuple(sizes[size] for size in items),
        missing=(10.0,) * len(items),
        costs=(1.0,),
        limits=(sizes.total(),),
        bought=(True,),
    )
    until = monotonic() + seconds
    hunt = Hunt(problem, seed=1, until=until, check=lambda: None)
    while monotonic() < until and hunt.best.cost - np.ceil(hunt.bound - 1e-6) > 0.5:
        hunt.work(until)
    assert not any(problem.short(problem.needs, hunt.best.choice))
    for column, _ in hunt.best.choice:
        assert sum(items[r] * g for r, g in enumerate(column.gives)) <= BIN
    return sum(times for _, times in hunt.best.choice), hunt.bound


@pytest.mark.parametrize(("seed", "count"), [(1, 40), (2, 60), (4, 80)])
def test_proven_optimum_of_two_models(seed, count):
    sizes = _sizes(seed, count)
    fewest = _arc_flow(sizes)
    bins, bound = _by_rack(sizes, 20.0)
    assert bound <= fewest + 1e-6
    assert np.ceil(bound - 1e-6) == fewest
    assert bins == fewest
