"""Least squares with equations and bounds, against scipy."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize

from seamwright.fit.constrained import least_squares


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10**6))
def test_random_chains_come_out_as_scipy_finds_them(seed: int) -> None:
    """Chains of sizes that must add up, each no smaller than a limit (SLSQP as the reference)."""
    draw = np.random.default_rng(seed)
    count = int(draw.integers(2, 9))
    weights = np.diag(draw.uniform(0.05, 2.0, count))
    wanted = draw.normal(0.0, 1.0, count)
    chain = draw.choice([-2.0, -1.0, 1.0, 2.0], size=(1, count))
    total = draw.normal(0.0, 1.0, 1)
    least = draw.uniform(-1.5, -0.1, count)
    ours = least_squares(weights, wanted, (chain, total), (np.eye(count), least))
    theirs = minimize(
        lambda x: float(((weights @ x - wanted) ** 2).sum()),
        np.zeros(count),
        jac=lambda x: 2.0 * weights.T @ (weights @ x - wanted),
        method="SLSQP",
        constraints=[
            {"type": "eq", "fun": lambda x: chain @ x - total},
            {"type": "ineq", "fun": lambda x: x - least},
        ],
        options={"ftol": 1e-12, "maxiter": 500},
    )
    if ours is None:
        assert not theirs.success or np.abs(chain @ theirs.x - total).max() > 1e-6
        return
    assert np.abs(chain @ ours - total).max() < 1e-6
    assert (ours - least).min() > -1e-6
    cost = float(((weights @ ours - wanted) ** 2).sum())
    if theirs.success:
        assert cost <= theirs.fun + 1e-6 * max(1.0, theirs.fun)


def test_what_contradicts_itself_has_no_answer() -> None:
    one = np.eye(2)
    none = (np.zeros((0, 2)), np.zeros(0))
    twice = (np.array([[1.0, 1.0], [1.0, 1.0]]), np.array([1.0, 2.0]))
    assert least_squares(one, np.zeros(2), twice, none) is None
    apart = (np.array([[1.0, 0.0], [-1.0, 0.0]]), np.array([1.0, 1.0]))
    assert least_squares(one, np.zeros(2), none, apart) is None


def test_without_bounds_it_is_the_usual_least_squares() -> None:
    draw = np.random.default_rng(4)
    a, b = draw.normal(size=(7, 3)), draw.normal(size=7)
    none = (np.zeros((0, 3)), np.zeros(0))
    assert least_squares(a, b, none, none) == pytest.approx(np.linalg.lstsq(a, b, rcond=None)[0])
