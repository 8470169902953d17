"""First-order spread against a published worked example and against a reference library."""

from __future__ import annotations

import numpy as np
import pytest
from uncertainties import ufloat

from fakes.boards import CORNERS, studied
from seamwright.fit.meeting import central_slopes, combined_sd
from seamwright.fit.sources import sources
from seamwright.plan import read_accuracy


def test_end_gauge_of_the_guide() -> None:
    """JCGM 100:2008 (GUM), example H.1: calibration of an end gauge, u_c = 32 nm.

    Values and standard uncertainties of H.1.3; the standard's length 50 000 623 nm (25 nm), the
    difference 215 nm (9.7 nm), expansion 11.5e-6/°C (1.2e-6), its difference 0 (0.58e-6),
    temperature −0.1 °C (0.41 °C), its difference 0 (0.029 °C).
    """
    value = np.array([50_000_623.0, 215.0, 11.5e-6, 0.0, -0.1, 0.0])
    sd = np.array([25.0, 9.7, 1.2e-6, 0.58e-6, 0.41, 0.029])

    def length(errors: np.ndarray) -> np.ndarray:
        standard, apart, alpha, d_alpha, theta, d_theta = value[:, None] + sd[:, None] * errors
        return (standard + apart - standard * (d_alpha * theta + alpha * d_theta))[None]

    slopes = central_slopes(length, 6)
    assert float(length(np.zeros((6, 1)))[0, 0]) == pytest.approx(50_000_838.0)
    # contributions as in table H.1
    assert np.abs(slopes[0]) == pytest.approx([25.0, 9.7, 0.0, 2.9, 0.0, 16.6], abs=0.1)
    (combined,) = combined_sd(slopes, np.ones(6))
    assert combined**2 == pytest.approx(1002.0, abs=4.0)
    assert round(float(combined)) == 32


def test_the_chain_of_a_board_against_a_reference_library() -> None:
    """The package ``uncertainties`` carries shared errors by name; both must give one spread."""
    looked = studied(CORNERS)
    found = sources(looked.plan, looked.program, read_accuracy())
    matrix = found.matrix.toarray()
    names = [ufloat(0.0, sd) for sd in found.sd]
    slopes = looked.meetings.drift.real @ matrix
    ours = combined_sd(slopes, found.sd)
    told = 0
    for row in range(0, len(slopes), 7):
        terms = [
            drift * factor * names[k]
            for drift, factors in zip(looked.meetings.drift.real[row], matrix, strict=True)
            for k, factor in enumerate(factors)
            if drift * factor
        ]
        if terms:
            total = sum(terms[1:], start=terms[0])
            assert total.std_dev == pytest.approx(ours[row], rel=1e-9, abs=1e-12)
            told += 1
    assert told >= 3
