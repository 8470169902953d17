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
    weighted = by_law(own, b) * elements.few_weights[:, None, :, None]
    m = len(piece)
    matrices = stiffness_of(b, weighted)
    wanted = weighted.sum(axis=2).transpose(0, 2, 1) @ strain[piece]
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
    free = strain[piece]
    return PlaneAnswer(
        elements=elements,
        moved=moved,
        forces=forces,
        stress=acting(own, b, local, free),
        corner_stress=acting(own, strain_rows(elements.corner_slopes), local, free),
    )


def strain_rows(slopes: Floats) -> Floats:
    """(m, 3, q, 12) from displacements to strain (xx, yy, engineering xy).

    The points of an element stand side by side, so that one product serves them all.
    """
    m, q = slopes.shape[:2]
    b = np.zeros((m, 3, q, 12))
    b[:, 0, :, 0::2] = slopes[:, :, :, 0]
    b[:, 1, :, 1::2] = slopes[:, :, :, 1]
    b[:, 2, :, 0::2] = slopes[:, :, :, 1]
    b[:, 2, :, 1::2] = slopes[:, :, :, 0]
    return b


def by_law(law: Floats, rows: Floats) -> Floats:
    """(m, r, q, n) rows times each element's own (m, r, r) law."""
    m, r = rows.shape[:2]
    product: Floats = law @ rows.reshape(m, r, -1)
    return product.reshape(rows.shape)


def stiffness_of(rows: Floats, weighted: Floats) -> Floats:
    """(m, n, n) element matrices from (m, r, q, n) rows, plain and weighted by law and area."""
    m, n = len(rows), rows.shape[3]
    matrices: Floats = rows.reshape(m, -1, n).transpose(0, 2, 1) @ weighted.reshape(m, -1, n)
    return matrices


def acting(law: Floats, rows: Floats, local: Floats, free: Floats | None = None) -> Floats:
    """(m, q, r, k) stress, moment or shear at the points.

    Args:
        law: (m, r, r).
        rows: (m, r, q, n).
        local: (m, n, k) the unknowns of each element.
        free: (m, r, k) strain that asks for nothing.
    """
    m, r, q, n = rows.shape
    strain = (rows.reshape(m, r * q, n) @ local).reshape(m, r, q, -1)
    if free is not None:
        strain -= free[:, :, None]
    return by_law(law, strain).transpose(0, 2, 1, 3)


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
