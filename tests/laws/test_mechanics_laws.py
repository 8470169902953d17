"""Laws of the mechanics on random boards."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from mechanics_boards import Floats, Ready, check_board, ready, triangle_board
from seamwright.design import Drawing
from seamwright.strength.material import (
    free_strain,
    material,
    plane_stiffness,
    shear_stiffness,
)
from seamwright.strength.plane import PlaneAnswer, solve_plane
from seamwright.strength.plate import solve_plate
from seamwright.strength.tractions import plane_flux, plate_flux, seam_lines, segment_forces
from seamwright.woods import find_species, with_stand_ins

KINDS = {
    letter: material(with_stand_ins(find_species(name))[0], ring_angle_deg=20.0)
    for letter, name in (("A", "sugar maple"), ("B", "walnut"), ("C", "cherry"))
}


@st.composite
def boards(draw: st.DrawFn) -> Drawing:
    columns, rows = draw(st.integers(2, 4)), draw(st.integers(1, 3))
    seed, side = draw(st.integers(0, 10_000)), draw(st.floats(15.0, 60.0))
    if draw(st.booleans()):
        return triangle_board(columns, rows, side=side, seed=seed)
    return check_board(columns, rows, side=side, seed=seed)


def stiffness(board: Ready) -> Floats:
    return np.array([plane_stiffness(KINDS[p.wood], p.grain_deg) for p in board.drawing.patches])


def dried(board: Ready, across: float) -> PlaneAnswer:
    strain = np.array([free_strain(0.0, across, p.grain_deg) for p in board.drawing.patches])
    return solve_plane(board.elements, stiffness=stiffness(board), strain=strain[:, :, None])


def out_of_balance(board: Ready, forces: Floats, outer: Floats) -> float:
    """Largest force a piece is left with, over the largest that passes through a segment."""
    lines = seam_lines(board.elements, board.seams)
    left = -outer
    np.add.at(left, lines.pieces[:, 0], forces[:, :, 0])
    np.add.at(left, lines.pieces[:, 1], -forces[:, :, 0])
    return float(np.abs(left).max() / np.abs(forces).max())


@settings(max_examples=12, deadline=None)
@given(boards(), st.floats(-0.02, -0.002))
def test_every_piece_is_in_balance_under_its_seams(drawn: Drawing, across: float) -> None:
    board = ready(drawn, size=drawn.patches[0].points[1][0] / 3.0 + 4.0)
    answer = dried(board, across)
    lines = seam_lines(board.elements, board.seams)
    forces = segment_forces(lines, board.elements, answer.forces, plane_flux(answer.corner_stress))
    if np.abs(forces).max() < 1e-6:  # all grain happens to run one way
        return
    assert out_of_balance(board, forces, np.zeros((len(drawn.patches), 2))) < 1e-7


@settings(max_examples=6, deadline=None)
@given(boards())
def test_twice_the_drying_is_twice_the_stress(drawn: Drawing) -> None:
    board = ready(drawn, size=12.0)
    once, twice = dried(board, -0.005), dried(board, -0.01)
    scale = max(1.0, float(np.abs(twice.stress).max()))
    assert np.abs(twice.stress - 2.0 * once.stress).max() < 1e-7 * scale


@settings(max_examples=8, deadline=None)
@given(boards(), st.floats(0.0, 179.0), st.floats(-0.02, 0.02))
def test_one_wood_one_way_is_free_of_stress_in_any_pattern(
    drawn: Drawing, grain: float, across: float
) -> None:
    board = ready(drawn, size=12.0)
    count = len(drawn.patches)
    answer = solve_plane(
        board.elements,
        stiffness=np.repeat(plane_stiffness(KINDS["A"], grain)[None], count, axis=0),
        strain=np.repeat(free_strain(0.0001, across, grain)[None, :, None], count, axis=0),
    )
    assert np.abs(answer.stress).max() < 1e-5


@settings(max_examples=8, deadline=None)
@given(boards())
def test_shear_through_the_seams_carries_the_load_of_every_piece(drawn: Drawing) -> None:
    """A wavy pressure that is in balance as a whole, but not on any one piece."""
    board = ready(drawn, size=10.0)
    elements = board.elements
    points, weights = elements.points, elements.weights
    x, y = points[..., 0], points[..., 1]
    pressure = np.cos(3.0 * x / x.max()) * np.cos(2.0 * y / y.max())
    basis = np.stack((np.ones(weights.size), x.ravel(), y.ravel()))
    moments = basis @ (pressure * weights).ravel()
    fit = np.linalg.solve((basis * weights.ravel()) @ basis.T, moments)
    pressure = 1e-3 * (pressure - (fit @ basis).reshape(weights.shape))
    answer = solve_plate(
        elements,
        stiffness=stiffness(board),
        shear=np.array([shear_stiffness(KINDS[p.wood], p.grain_deg) for p in drawn.patches]),
        thickness_mm=19.0,
        pressure=pressure[:, :, None],
    )
    lines = seam_lines(elements, board.seams)
    flux = plate_flux(answer.corner_moment, answer.corner_shear)
    forces = segment_forces(lines, elements, answer.forces, flux)
    carried = np.bincount(
        elements.mesh.pieces,
        weights=-(pressure * weights).sum(axis=1),
        minlength=len(drawn.patches),
    )
    assert out_of_balance(board, forces[:, :1], carried[:, None]) < 1e-6
