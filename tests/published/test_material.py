"""The turned material against a full rotation of the three-dimensional compliance."""

from __future__ import annotations

import numpy as np
import pytest

from mechanics_boards import Floats
from seamwright.strength.material import TRUE_MODULUS, material
from seamwright.woods import Quantity, find_species, with_stand_ins

WALNUT = with_stand_ins(find_species("walnut"))[0]
_PAIRS = ((0, 0), (1, 1), (2, 2), (1, 2), (0, 2), (0, 1))


def compliance() -> Floats:
    """(6, 6) in L, R, T, engineering shear strain in the order RT, LT, LR."""
    v = {q: WALNUT.needed(q) for q in Quantity if WALNUT.amount(q) is not None}
    e_l = v[Quantity.BENDING_MODULUS] * TRUE_MODULUS
    e_r, e_t = v[Quantity.RATIO_ER_EL] * e_l, v[Quantity.RATIO_ET_EL] * e_l
    s = np.zeros((6, 6))
    s[0, 0], s[1, 1], s[2, 2] = 1.0 / e_l, 1.0 / e_r, 1.0 / e_t
    s[0, 1] = s[1, 0] = -v[Quantity.POISSON_LR] / e_l
    s[0, 2] = s[2, 0] = -v[Quantity.POISSON_LT] / e_l
    s[1, 2] = s[2, 1] = -v[Quantity.POISSON_RT] / e_r
    s[3, 3] = 1.0 / (v[Quantity.RATIO_GRT_EL] * e_l)
    s[4, 4] = 1.0 / (v[Quantity.RATIO_GLT_EL] * e_l)
    s[5, 5] = 1.0 / (v[Quantity.RATIO_GLR_EL] * e_l)
    return s


def turned(s: Floats, angle_deg: float) -> Floats:
    """The compliance in axes L, Y, Z by the rotation of its fourth-order tensor.

    Y lies in the face: along T where the board is flat-sawn (0°), along R where it is
    quarter-sawn (90°).
    """
    full = np.zeros((3, 3, 3, 3))
    for a, (i, j) in enumerate(_PAIRS):
        for b, (k, m) in enumerate(_PAIRS):
            value = s[a, b] / ((1.0 if a < 3 else 2.0) * (1.0 if b < 3 else 2.0))
            for p, q in {(i, j), (j, i)}:
                for u, w in {(k, m), (m, k)}:
                    full[p, q, u, w] = value
    c, n = np.cos(np.radians(angle_deg)), np.sin(np.radians(angle_deg))
    axes = np.array([[1.0, 0.0, 0.0], [0.0, n, c], [0.0, c, -n]])  # rows L, Y, Z in L, R, T
    return np.einsum("ai,bj,ck,dm,ijkm->abcd", axes, axes, axes, axes, full)


@pytest.mark.parametrize("angle", [0.0, 20.0, 45.0, 70.0, 90.0])
def test_rings_at_any_angle(angle: float) -> None:
    """Jones, Mechanics of Composite Materials, ch. 2: rotation of an orthotropic compliance."""
    t = turned(compliance(), angle)
    wood = material(WALNUT, ring_angle_deg=angle)
    assert wood.e1_mpa == pytest.approx(1.0 / t[0, 0, 0, 0], rel=1e-12)
    assert wood.e2_mpa == pytest.approx(1.0 / t[1, 1, 1, 1], rel=1e-12)
    assert wood.nu12 == pytest.approx(-t[0, 0, 1, 1] / t[0, 0, 0, 0], rel=1e-12)
    assert wood.g12_mpa == pytest.approx(0.25 / t[0, 1, 0, 1], rel=1e-12)
    assert wood.g13_mpa == pytest.approx(0.25 / t[0, 2, 0, 2], rel=1e-12)
    assert wood.g23_mpa == pytest.approx(0.25 / t[1, 2, 1, 2], rel=1e-12)
