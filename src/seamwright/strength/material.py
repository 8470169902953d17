"""The stiffness of one piece in the plane of the board, from its wood and its growth rings."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from seamwright.errors import StrengthError
from seamwright.geometry import cos_deg, sin_deg
from seamwright.strength.arrays import Floats
from seamwright.woods import Quantity, Species, missing

TRUE_MODULUS = 1.10
"""Tabulated bending moduli hold the beam's shear: the true one is 10 % more (Wood Handbook
Table 5-3, footnote c)."""

NEEDED = (
    Quantity.BENDING_MODULUS,
    Quantity.BENDING_STRENGTH,
    Quantity.GRAVITY_12,
    Quantity.SHEAR_ALONG,
    Quantity.TENSION_ACROSS,
    Quantity.RATIO_ET_EL,
    Quantity.RATIO_ER_EL,
    Quantity.RATIO_GLR_EL,
    Quantity.RATIO_GLT_EL,
    Quantity.RATIO_GRT_EL,
    Quantity.POISSON_LR,
    Quantity.POISSON_LT,
    Quantity.POISSON_RT,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """A wood in the board's plane: axis 1 along the grain, 2 across it, 3 through the thickness.

    Attributes:
        e1_mpa, e2_mpa: moduli.
        nu12: Poisson's ratio, stress along 1.
        g12_mpa, g13_mpa, g23_mpa: shear moduli.
        tension_along_mpa: strength; the modulus of rupture stands in for it.
        tension_across_mpa, shear_mpa: strengths.
        density_kg_m3: at 12 % moisture.
    """

    e1_mpa: float
    e2_mpa: float
    nu12: float
    g12_mpa: float
    g13_mpa: float
    g23_mpa: float
    tension_along_mpa: float
    tension_across_mpa: float
    shear_mpa: float
    density_kg_m3: float


def material(species: Species, *, ring_angle_deg: float) -> Material:
    """The material of a piece with lying grain.

    Args:
        ring_angle_deg: between face and rings: 0 flat-sawn, 90 quarter-sawn.

    Raises:
        StrengthError: the wood lacks values (code W110), all named.

    Reference:
        Rotation of an orthotropic body about its grain under plane stress (any text on
        laminates, for example Jones, Mechanics of Composite Materials, ch. 2).
    """
    lacking = tuple(q for q in NEEDED if species.amount(q) is None)
    if lacking:
        raise StrengthError(missing(species.name, lacking))
    v = {q: species.needed(q) for q in NEEDED}
    e_l = v[Quantity.BENDING_MODULUS] * TRUE_MODULUS
    e_t, e_r = v[Quantity.RATIO_ET_EL] * e_l, v[Quantity.RATIO_ER_EL] * e_l
    g_lr, g_lt = v[Quantity.RATIO_GLR_EL] * e_l, v[Quantity.RATIO_GLT_EL] * e_l
    g_rt = v[Quantity.RATIO_GRT_EL] * e_l
    nu_rt = v[Quantity.POISSON_RT]
    c2, s2 = cos_deg(ring_angle_deg) ** 2, sin_deg(ring_angle_deg) ** 2
    across = c2 * c2 / e_t + s2 * s2 / e_r + c2 * s2 * (1.0 / g_rt - 2.0 * nu_rt / e_r)
    rolling = 4.0 * c2 * s2 * (1.0 / e_r + 1.0 / e_t + 2.0 * nu_rt / e_r) + (c2 - s2) ** 2 / g_rt
    return Material(
        e1_mpa=e_l,
        e2_mpa=1.0 / across,
        nu12=c2 * v[Quantity.POISSON_LT] + s2 * v[Quantity.POISSON_LR],
        g12_mpa=1.0 / (c2 / g_lt + s2 / g_lr),
        g13_mpa=1.0 / (s2 / g_lt + c2 / g_lr),
        g23_mpa=1.0 / rolling,
        tension_along_mpa=v[Quantity.BENDING_STRENGTH],
        tension_across_mpa=v[Quantity.TENSION_ACROSS],
        shear_mpa=v[Quantity.SHEAR_ALONG],
        density_kg_m3=v[Quantity.GRAVITY_12] * 1000.0 * 1.12,
    )


def plane_stiffness(material: Material, grain_deg: float) -> Floats:
    """(3, 3) plane-stress stiffness [MPa] in the board's axes, engineering shear strain."""
    nu21 = material.nu12 * material.e2_mpa / material.e1_mpa
    scale = 1.0 / (1.0 - material.nu12 * nu21)
    own = np.array(
        [
            [material.e1_mpa * scale, nu21 * material.e1_mpa * scale, 0.0],
            [nu21 * material.e1_mpa * scale, material.e2_mpa * scale, 0.0],
            [0.0, 0.0, material.g12_mpa],
        ]
    )
    turn = strain_turn(grain_deg)
    turned: Floats = turn.T @ own @ turn
    return turned


def shear_stiffness(material: Material, grain_deg: float) -> Floats:
    """(2, 2) stiffness against shear through the thickness [MPa] in the board's axes."""
    c, s = cos_deg(grain_deg), sin_deg(grain_deg)
    turn = np.array([[c, s], [-s, c]])
    turned: Floats = turn.T @ np.diag([material.g13_mpa, material.g23_mpa]) @ turn
    return turned


def strain_turn(grain_deg: float) -> Floats:
    """(3, 3): strain in board axes (xx, yy, engineering xy) to strain along and across grain."""
    c, s = cos_deg(grain_deg), sin_deg(grain_deg)
    return np.array(
        [[c * c, s * s, c * s], [s * s, c * c, -c * s], [-2.0 * c * s, 2.0 * c * s, c * c - s * s]]
    )


def free_strain(along: float, across: float, grain_deg: float) -> Floats:
    """(3,) strain in board axes of wood that swells freely along and across its grain [-]."""
    c, s = cos_deg(grain_deg), sin_deg(grain_deg)
    return np.array(
        [
            c * c * along + s * s * across,
            s * s * along + c * c * across,
            2.0 * c * s * (along - across),
        ]
    )
