"""One mixed board of 48 pieces against CalculiX 2.20, an independent program, on the same mesh."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from calculix import PieceLaw, free_board, piece_forces
from mechanics_boards import Floats, Ready, ready, triangle_board
from seamwright.strength.material import free_strain, material, plane_stiffness
from seamwright.strength.plane import PlaneAnswer, solve_plane, without_rigid_motion
from seamwright.strength.tractions import (
    _balanced,
    _needs,
    _shares,
    plane_flux,
    seam_lines,
    segment_forces,
)
from seamwright.woods import Quantity, find_species, with_stand_ins

WOODS = {"A": "sugar maple", "B": "black walnut", "C": "black cherry"}
DRYING_PCT = -4.0


@pytest.fixture(scope="module")
def board() -> Ready:
    return ready(triangle_board(), size=8.0)


@pytest.fixture(scope="module")
def laws(board: Ready) -> list[PieceLaw]:
    kinds = {letter: with_stand_ins(find_species(name))[0] for letter, name in WOODS.items()}
    return [
        PieceLaw(
            material=material(kinds[p.wood], ring_angle_deg=0.0),
            grain_deg=p.grain_deg,
            along=0.00005 * DRYING_PCT,
            across=kinds[p.wood].needed(Quantity.TANGENTIAL_COEFFICIENT) * DRYING_PCT,
        )
        for p in board.drawing.patches
    ]


@pytest.fixture(scope="module")
def ours(board: Ready, laws: list[PieceLaw]) -> PlaneAnswer:
    return solve_plane(
        board.elements,
        stiffness=np.array([plane_stiffness(law.material, law.grain_deg) for law in laws]),
        strain=np.array([free_strain(law.along, law.across, law.grain_deg) for law in laws])[
            :, :, None
        ],
    )


@pytest.fixture(scope="module")
def theirs(
    board: Ready, laws: list[PieceLaw], tmp_path_factory: pytest.TempPathFactory
) -> tuple[Floats, Path]:
    folder = tmp_path_factory.mktemp("calculix")
    moved, _ = free_board(board.elements, laws, folder)
    return moved, folder


def test_displacements_agree_to_a_thousandth(
    board: Ready, ours: PlaneAnswer, theirs: tuple[Floats, Path]
) -> None:
    moved = without_rigid_motion(board.elements.places, theirs[0][:, :, None])[:, :, 0]
    largest = np.abs(ours.moved).max()
    assert largest > 0.3
    assert np.abs(moved - ours.moved[:, :, 0]).max() < 1e-3 * largest


def test_mean_seam_tractions_agree_to_a_hundredth(
    board: Ready, laws: list[PieceLaw], ours: PlaneAnswer, theirs: tuple[Floats, Path]
) -> None:
    """Each piece alone in CalculiX, driven through CalculiX's own displacements.

    Its nodal forces are what the piece exerts; they go into the seam means in place of ours.
    """
    elements = board.elements
    moved, folder = theirs
    forces = [piece_forces(elements, law, piece, moved, folder) for piece, law in enumerate(laws)]
    lines = seam_lines(elements, board.seams)
    flux = plane_flux(ours.corner_stress)
    ends = elements.mesh.segments[lines.segments]
    rows, needs = _needs(elements, ours.forces, ends)
    for (piece, node), row in rows.items():
        needs[row, :, 0] = forces[piece][node]
    low = lines.pieces[:, 0]
    middles = elements.middles[lines.segments]
    passing = np.array([forces[p][m] for p, m in zip(low.tolist(), middles.tolist(), strict=True)])
    shares = _shares(lines, elements, ends, flux)
    passing = passing + _balanced(lines, ends, shares, rows, needs).sum(axis=1)[:, :, 0]
    mine = segment_forces(lines, elements, ours.forces, flux)[:, :, 0]
    means = []
    for seam, run in zip(board.seams, lines.runs, strict=True):
        means.append((mine[run].sum(axis=0), passing[run].sum(axis=0)) / np.float64(seam.length_mm))
    both = np.array(means)
    scale = np.sqrt((both[:, 1] ** 2).mean())
    assert scale > 1.0
    assert np.abs(both[:, 0] - both[:, 1]).max() < 0.01 * scale
