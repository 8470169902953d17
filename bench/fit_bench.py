"""How long the fit of the demo takes: 100,000 trials, and a plain Python loop beside them.

    PYTHONPATH=src python bench/fit_bench.py

The loop does less than the trials do: it draws every error one by one and adds up first-order
chains, without any geometry. It is run on fewer trials and told for 100,000.
"""

from __future__ import annotations

import random
import time

import numpy as np
from threadpoolctl import threadpool_limits

from seamwright import app
from seamwright.design import demo
from seamwright.fit import GAP_MM, Measured, Size, levers, resolve, study
from seamwright.fit.sources import sources
from seamwright.fit.trials import run_trials
from seamwright.plan import read_accuracy

TRIALS, LOOP = 100_000, 200


def main() -> None:
    report = app.plan(app.read_design(demo().encode(), name="demo"), seconds=20.0)
    start = time.perf_counter()
    looked = study(report.plan)
    found = sources(looked.plan, looked.program, read_accuracy())
    print(
        f"study: {time.perf_counter() - start:.2f} s, {len(found.sd)} errors, "
        f"{len(looked.meetings.pairs)} pairs of corners, {len(looked.meetings.gaps)} faces"
    )
    busy = time.process_time()
    quick = timed(looked, found, real=4000)
    busy = time.process_time() - busy
    print(f"{TRIALS} trials, 4,000 through the geometry: {quick:.2f} s, {busy:.2f} s of one core")
    print(
        f"{TRIALS // 5} trials, all through the geometry: "
        f"{timed(looked, found, real=TRIALS // 5, trials=TRIALS // 5):.2f} s"
    )
    slow = loop(looked, found) * TRIALS / LOOP
    print(f"plain Python, {TRIALS} trials: {slow:.0f} s ({LOOP} run), ratio {slow / quick:.0f}")
    start = time.perf_counter()
    with threadpool_limits(1, user_api="blas"):  # as the program does
        chosen_again(looked)
    print(f"rest of the plan chosen again: {time.perf_counter() - start:.2f} s")


def chosen_again(looked) -> None:
    known = levers(looked)
    width = next(s for s in looked.relations.sizes if s.what == "width")
    measured = Measured(
        made={Size(width.part, "width"): -0.4}, heights={}, parts=frozenset({width.part})
    )
    assert resolve(looked, measured, known) is not None


def timed(looked, found, *, real: int, trials: int = TRIALS) -> float:
    start = time.perf_counter()
    run_trials(
        looked.program, looked.meetings, found, gap_mm=GAP_MM, trials=trials, seed=1, real=real
    )
    return time.perf_counter() - start


def loop(looked, found) -> float:
    weighed = looked.meetings.drift @ (found.matrix.toarray() * found.sd)
    chains = [
        [(int(k), complex(row[k])) for k in np.flatnonzero(np.abs(row) > 1e-12)] for row in weighed
    ]
    draw = random.Random(1)
    start = time.perf_counter()
    met = 0
    for _ in range(LOOP):
        errors = [draw.gauss(0.0, 1.0) for _ in found.sd]
        met += max(abs(sum(f * errors[k] for k, f in chain)) for chain in chains) <= GAP_MM
    return time.perf_counter() - start


if __name__ == "__main__":
    main()
