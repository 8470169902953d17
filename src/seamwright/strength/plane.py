"""The board in its own plane: pieces that want to move differently hold each other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from seamwright.strength.arrays import Floats, Ints
from seamwright.strength.elements import Elements, summed
from seamwright.strength.fronts import factored


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaneAnswer:
    """Displacements and forces of k load cases.

    Attributes:
        elements: the mesh it stands on.
        moved: (n, 2, k) displacement of the nodes [mm], without rigid motion where none was fixed.
        forces: (m, 6, 2, k) force of each element on its nodes per thickness [N/mm].
        stress: (m, p, 3, k) stress at the fewer integration points [MPa].
        corner_stress: (m, 3, 3, k) stress at the corners [MPa].
    """

    elements: Elements
    moved: Floats
    forces: Floats
    stress: Floats
    corner_stress: Floats


def solve_plane(
    elements: Elements,
    *,
    stiffness: Floats,
    strain: Floats,
    nodal: Floats | None = None,
    fixed: Ints | None = None,
) -> PlaneAnswer:
    """Plane stress with free strains, in each piece its own.

    Args:
        stiffness: (pieces, 3, 3) plane-stress stiffness [MPa] (``material.plane_stiffness``).
        strain: (pieces, 3, k) free strain in k cases [-].
        nodal: (2n, k) outer forces per thickness on the nodes [N/mm]; None for none.
        fixed: numbers (2·node + axis) held at zero; None holds three in a way that leaves the
            board free to move, then takes the rigid motion out.

    Raises:
        StrengthError: S130, no single answer.

    Reference:
        Any text on finite elements, for example Zienkiewicz & Taylor; six-node triangle.
    """
    piece = elements.mesh.pieces
    b = strain_rows(elements.few_slopes)
    own = stiffness[piece]
    weighted = (own[:, None] @ b) * elements.few_weights[:, :, None, None]
    m, q = elements.few_weights.shape
    matrices = b.reshape(m, q * 3, 12).transpose(0, 2, 1) @ weighted.reshape(m, q * 3, 12)
    wanted = weighted.sum(axis=1).transpose(0, 2, 1) @ strain[piece]
    loads = summed(elements, wanted, unknowns=2)
    if nodal is not None:
        loads = loads + nodal
    held = _loose_hold(elements) if fixed is None else fixed
    loads[held] = 0.0
    nodes = elements.nodes
    answer = factored(elements.parts, matrices, nodes, unknowns=2, fixed=held).solve(loads)
    k = answer.shape[1]
    local = answer.reshape(-1, 2, k)[elements.nodes].reshape(m, 12, k)
    forces = (matrices @ local - wanted).reshape(m, 6, 2, k)
    moved = answer.reshape(-1, 2, k)
    if fixed is None:
        moved = without_rigid_motion(elements.places, moved)
    free = strain[piece][:, None]
    corner = strain_rows(elements.corner_slopes)
    return PlaneAnswer(
        elements=elements,
        moved=moved,
        forces=forces,
        stress=own[:, None] @ (b @ local[:, None] - free),
        corner_stress=own[:, None] @ (corner @ local[:, None] - free),
    )


def strain_rows(slopes: Floats) -> Floats:
    """(m, q, 3, 12) from displacements to strain (xx, yy, engineering xy)."""
    m, q = slopes.shape[:2]
    b = np.zeros((m, q, 3, 12))
    b[:, :, 0, 0::2] = slopes[:, :, :, 0]
    b[:, :, 1, 1::2] = slopes[:, :, :, 1]
    b[:, :, 2, 0::2] = slopes[:, :, :, 1]
    b[:, :, 2, 1::2] = slopes[:, :, :, 0]
    return b


def _loose_hold(elements: Elements) -> Ints:
    """Three unknowns that stop the rigid motion and nothing else."""
    x = elements.places[: len(elements.mesh.points), 0]
    first, last = int(np.argmin(x)), int(np.argmax(x))
    return np.array([2 * first, 2 * first + 1, 2 * last + 1])


def without_rigid_motion(places: Floats, moved: Floats) -> Floats:
    """Displacements less the shift and small turn that fit them best."""
    from_middle = places - places.mean(axis=0)
    shifted = moved - moved.mean(axis=0)
    x, y = from_middle[:, 0, None], from_middle[:, 1, None]
    turn = (x * shifted[:, 1] - y * shifted[:, 0]).sum(axis=0) / (from_middle**2).sum()
    turned: Floats = shifted.copy()
    turned[:, 0] += turn * y
    turned[:, 1] -= turn * x
    return turned
