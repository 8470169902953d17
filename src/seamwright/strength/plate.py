"""The board as a plate: it bends, twists and shears under a load across its face."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from seamwright.strength.arrays import Floats, Ints
from seamwright.strength.elements import Elements, summed
from seamwright.strength.fronts import factored
from seamwright.strength.plane import acting, by_law, stiffness_of, strain_rows

SHEAR_CORRECTION = 5.0 / 6.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateAnswer:
    """Deflections and forces of k load cases.

    Unknowns of a node: deflection w [mm], then the two slopes of the cross-section [rad]:
    bending is their gradient, shear the difference between the gradient of w and them.

    Attributes:
        elements: the mesh it stands on.
        sunk: (n, 3, k) w and slopes of the nodes.
        forces: (m, 6, 3, k) force [N] and moments [N·mm] of each element on its nodes.
        moment: (m, p, 3, k) bending and twisting moments (xx, yy, xy) per length [N] at the fewer
            integration points.
        corner_moment: (m, 3, 3, k) the same at the corners.
        corner_shear: (m, 3, 2, k) shear force per length at the corners [N/mm].
    """

    elements: Elements
    sunk: Floats
    forces: Floats
    moment: Floats
    corner_moment: Floats
    corner_shear: Floats


def solve_plate(
    elements: Elements,
    *,
    stiffness: Floats,
    shear: Floats,
    thickness_mm: float,
    pressure: Floats,
    nodal: Floats | None = None,
    fixed: Ints | None = None,
    curvature: Floats | None = None,
) -> PlateAnswer:
    """A Reissner-Mindlin plate of one thickness, in each piece its own wood.

    Args:
        stiffness: (pieces, 3, 3) plane-stress stiffness [MPa].
        shear: (pieces, 2, 2) shear stiffness through the thickness [MPa].
        pressure: (m, q, k) pressure at the integration points [MPa], up positive.
        nodal: (3n, k) outer forces and moments on the nodes; None for none.
        fixed: numbers (3·node + unknown) held at zero; None holds three corners' deflection, for
            loads that are in balance by themselves.
        curvature: (pieces, 3, k) free curvature [1/mm], as from faces of different moisture.

    Raises:
        StrengthError: S130, no single answer.

    Reference:
        Reissner (1945), Mindlin (1951); shear correction 5/6. Six-node triangles for deflection
        and slopes, fully integrated: no locking while elements are no longer than the thickness.
    """
    piece = elements.mesh.pieces
    bend, slide = _bend_rows(elements.few_slopes), _slide_rows(elements.slopes, elements.values)
    own = stiffness[piece] * (thickness_mm**3 / 12.0)
    across = shear[piece] * (SHEAR_CORRECTION * thickness_mm)
    bent = by_law(own, bend) * elements.few_weights[:, None, :, None]
    slid = by_law(across, slide) * elements.weights[:, None, :, None]
    matrices = stiffness_of(bend, bent)
    matrices += stiffness_of(slide, slid)
    m, k = len(piece), pressure.shape[2]
    wanted = np.zeros((m, 18, k))
    spread = pressure * elements.weights[:, :, None]
    wanted[:, 0::3] = elements.values.T @ spread
    free = None if curvature is None else curvature[piece]
    if free is not None:
        wanted += bent.sum(axis=2).transpose(0, 2, 1) @ free
    loads = summed(elements, wanted, unknowns=3)
    if nodal is not None:
        loads = loads + nodal
    held = three_corners(elements) if fixed is None else fixed
    loads[held] = 0.0
    nodes = elements.nodes
    answer = factored(elements.parts, matrices, nodes, unknowns=3, fixed=held).solve(loads)
    local = answer.reshape(-1, 3, k)[elements.nodes].reshape(m, 18, k)
    corner_bend = _bend_rows(elements.corner_slopes)
    corner_slide = _slide_rows(elements.corner_slopes, _corner_values())
    return PlateAnswer(
        elements=elements,
        sunk=answer.reshape(-1, 3, k),
        forces=(matrices @ local - wanted).reshape(m, 6, 3, k),
        moment=acting(own, bend, local, free),
        corner_moment=acting(own, corner_bend, local, free),
        corner_shear=acting(across, corner_slide, local),
    )


def _corner_values() -> Floats:
    """(3, 6) shape functions at the corners: one at their own node."""
    return np.eye(3, 6)


def _bend_rows(slopes: Floats) -> Floats:
    """(m, 3, q, 18) from the unknowns to curvature (xx, yy, twice xy)."""
    flat = strain_rows(slopes)
    bend = np.zeros((*flat.shape[:3], 18))
    bend[..., 1::3] = flat[..., 0::2]
    bend[..., 2::3] = flat[..., 1::2]
    return bend


def _slide_rows(slopes: Floats, values: Floats) -> Floats:
    """(m, 2, q, 18) from the unknowns to shear strain through the thickness."""
    slide = np.zeros((len(slopes), 2, slopes.shape[1], 18))
    slide[:, 0, :, 0::3] = slopes[:, :, :, 0]
    slide[:, 1, :, 0::3] = slopes[:, :, :, 1]
    slide[:, 0, :, 1::3] = -values
    slide[:, 1, :, 2::3] = -values
    return slide


def three_corners(elements: Elements) -> Ints:
    """Deflection held at three far points: enough for loads in balance, and no force there."""
    places = elements.places[: len(elements.mesh.points)]
    middle = places.mean(axis=0)
    first = int(np.argmax(np.linalg.norm(places - middle, axis=1)))
    second = int(np.argmax(np.linalg.norm(places - places[first], axis=1)))
    along = places[second] - places[first]
    offset = places - places[first]
    third = int(np.argmax(np.abs(along[0] * offset[:, 1] - along[1] * offset[:, 0])))
    return 3 * np.array([first, second, third])
