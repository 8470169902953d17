"""Six-node triangles: shape functions, and sums over elements.

Shape functions and numbering come from scikit-fem; the element matrices are summed here, because
their products with the answer give the forces between the pieces (see ``tractions``).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from skfem import Basis, ElementTriP2, MeshTri

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
    inside = Basis(triangles, ElementTriP2(), intorder=4)
    few = Basis(triangles, ElementTriP2(), intorder=2)
    corners = Basis(triangles, ElementTriP2(), quadrature=(_CORNERS, np.full(3, 1.0 / 6.0)))
    sides = triangles.facets.astype(np.int64)
    count = len(mesh.points)
    keys = sides.min(axis=0) * count + sides.max(axis=0)
    order = np.argsort(keys)
    wanted = mesh.segments.min(axis=1) * count + mesh.segments.max(axis=1)
    facets = order[np.searchsorted(keys[order], wanted)]
    places = np.ascontiguousarray(inside.doflocs.T)
    nodes = inside.element_dofs.T.astype(np.int64)
    values = _values(inside)
    return Elements(
        mesh=mesh,
        places=places,
        nodes=nodes,
        weights=np.asarray(inside.dx),
        values=values,
        slopes=_slopes(inside),
        few_weights=np.asarray(few.dx),
        few_slopes=_slopes(few),
        corner_slopes=_slopes(corners),
        middles=np.asarray(inside.facet_dofs[0, facets], dtype=np.int64),
        parts=dissected(nodes, places),
        points=values @ places[nodes],
        few_points=_values(few) @ places[nodes],
    )


def _values(basis: Basis) -> Floats:
    """(q, 6) shape functions, the same in every element."""
    return np.array([np.asarray(basis.basis[i][0])[0] for i in range(6)]).T.copy()


def _slopes(basis: Basis) -> Floats:
    stacked: Floats = np.array([basis.basis[i][0].grad for i in range(6)])
    return np.ascontiguousarray(stacked.transpose(2, 3, 0, 1))


def summed(elements: Elements, forces: Floats, *, unknowns: int) -> Floats:
    """The global vector(s) from (m, 6·u, k) element vectors."""
    u, count = unknowns, len(elements.places)
    where = (elements.nodes[:, :, None] * u + np.arange(u)).reshape(len(elements.nodes), -1)
    columns = [
        np.bincount(where.ravel(), weights=forces[:, :, k].ravel(), minlength=count * u)
        for k in range(forces.shape[2])
    ]
    return np.column_stack(columns)
