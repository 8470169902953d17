"""Six-node triangles: shape functions, and sums over elements.

Shape functions and numbering come from scikit-fem; the element matrices are summed here, because
their products with the answer give the forces between the pieces (see ``tractions``).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from skfem import Basis, ElementTriP2, MeshTri
from skfem.quadrature import get_quadrature

from seamwright.strength.arrays import Floats, Ints
from seamwright.strength.dissect import Part, dissected
from seamwright.strength.mesh import Mesh

_CORNERS = np.array([[0.0, 1.0, 0.0], [0.0, 0.0, 1.0]])


@dataclass(frozen=True, slots=True, kw_only=True)
class Elements:
    """A mesh ready for sums over its elements.

    Attributes:
        mesh: the triangles.
        places: (n, 2) corner and mid-side nodes [mm]; the mesh's points come first.
        nodes: (m, 6) nodes of each triangle: three corners, then sides 01, 12, 02.
        weights: (m, q) area that each integration point stands for [mm²].
        values: (q, 6) shape functions at the integration points.
        slopes: (m, q, 6, 2) their gradients [1/mm].
        few_weights, few_slopes: (m, p), (m, p, 6, 2) the same for fewer points, exact to the
            second degree: enough for strains, which are linear in an element.
        corner_slopes: (m, 3, 6, 2) their gradients at the corners [1/mm].
        middles: (k,) the mid-side node of each segment of the mesh.
        parts: the order in which its equations are solved.
        points: (m, q, 2) places of the integration points [mm].
        few_points: (m, p, 2) places of the fewer points [mm].
    """

    mesh: Mesh
    places: Floats
    nodes: Ints
    weights: Floats
    values: Floats
    slopes: Floats
    few_weights: Floats
    few_slopes: Floats
    corner_slopes: Floats
    middles: Ints
    parts: tuple[Part, ...]
    points: Floats
    few_points: Floats


def prepared(mesh: Mesh) -> Elements:
    """Shape functions of a mesh, integrated exactly up to the fourth degree."""
    triangles = MeshTri(mesh.points.T.copy(), mesh.triangles.T.copy(), validate=False)
    few = Basis(triangles, ElementTriP2(), intorder=2)
    inside_at, inside_weights = get_quadrature(ElementTriP2.refdom, 4)
    few_at, few_weights = few.quadrature
    sides = triangles.facets.astype(np.int64)
    count = len(mesh.points)
    keys = sides.min(axis=0) * count + sides.max(axis=0)
    order = np.argsort(keys)
    wanted = mesh.segments.min(axis=1) * count + mesh.segments.max(axis=1)
    facets = order[np.searchsorted(keys[order], wanted)]
    places = np.ascontiguousarray(few.doflocs.T)
    nodes = few.element_dofs.T.astype(np.int64)
    values = _values(inside_at)
    corner = places[nodes[:, :3]]
    sides_mm = (corner[:, 1:] - corner[:, :1]).transpose(0, 2, 1)
    twice_mm2 = np.abs(np.linalg.det(sides_mm))[:, None]
    back = np.linalg.inv(sides_mm)
    return Elements(
        mesh=mesh,
        places=places,
        nodes=nodes,
        weights=twice_mm2 * inside_weights,
        values=values,
        slopes=_slopes(back, inside_at),
        few_weights=twice_mm2 * few_weights,
        few_slopes=_slopes(back, few_at),
        corner_slopes=_slopes(back, _CORNERS),
        middles=np.asarray(few.facet_dofs[0, facets], dtype=np.int64),
        parts=dissected(nodes, places),
        points=values @ places[nodes],
        few_points=_values(few_at) @ places[nodes],
    )


def _values(at: Floats) -> Floats:
    """(q, 6) shape functions at (2, q) places of the reference triangle."""
    return np.array([ElementTriP2().lbasis(at, i)[0] for i in range(6)]).T.copy()


def _slopes(back: Floats, at: Floats) -> Floats:
    """(m, q, 6, 2) gradients at (2, q) places; ``back`` (m, 2, 2) takes sides to the reference."""
    q = at.shape[1]
    own = np.array([ElementTriP2().lbasis(at, i)[1] + np.zeros((2, q)) for i in range(6)])
    slopes: Floats = own.transpose(2, 0, 1).reshape(1, q * 6, 2) @ back
    return slopes.reshape(len(back), q, 6, 2)


def summed(elements: Elements, forces: Floats, *, unknowns: int) -> Floats:
    """The global vector(s) from (m, 6·u, k) element vectors."""
    u, count = unknowns, len(elements.places)
    where = (elements.nodes[:, :, None] * u + np.arange(u)).reshape(len(elements.nodes), -1)
    columns = [
        np.bincount(where.ravel(), weights=forces[:, :, k].ravel(), minlength=count * u)
        for k in range(forces.shape[2])
    ]
    return np.column_stack(columns)
