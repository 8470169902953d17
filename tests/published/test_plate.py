"""The plate against series, beams and statics; the source stands beside each check."""

from __future__ import annotations

import numpy as np
import pytest

from mechanics_boards import Floats, Ready, drawing, isotropic, ready, rectangle, triangle_board
from seamwright.strength.material import (
    free_strain,
    material,
    plane_stiffness,
    shear_stiffness,
)
from seamwright.strength.plate import SHEAR_CORRECTION, PlateAnswer, solve_plate
from seamwright.strength.tractions import plate_flux, seam_lines, segment_forces
from seamwright.woods import find_species, with_stand_ins

MAPLE = material(with_stand_ins(find_species("sugar maple"))[0], ring_angle_deg=0.0)


def pressure(board: Ready, value: float) -> Floats:
    return np.full((*board.elements.weights.shape, 1), value)


def at(board: Ready, x: float, y: float) -> int:
    return int(np.argmin(np.sum((board.elements.places - (x, y)) ** 2, axis=1)))


def simply_supported(board: Ready, width: float, height: float) -> Floats:
    """Hard simple support: no deflection, no slope along the edge."""
    x, y = board.elements.places.T
    sides = np.flatnonzero((x < 1e-9) | (x > width - 1e-9))
    ends = np.flatnonzero((y < 1e-9) | (y > height - 1e-9))
    return np.unique(np.concatenate((3 * sides, 3 * ends, 3 * sides + 2, 3 * ends + 1)))


def navier_deflection(
    stiffness: Floats, shear: Floats, width: float, height: float, thickness: float
) -> float:
    """Middle deflection under unit pressure: Navier's double sine series for a plate with shear.

    Reddy, Mechanics of Laminated Composite Plates and Shells, section 5.4 (first-order theory).
    """
    d = stiffness * thickness**3 / 12.0
    s = shear * SHEAR_CORRECTION * thickness
    total = 0.0
    for m in range(1, 60, 2):
        for n in range(1, 60, 2):
            a, b = m * np.pi / width, n * np.pi / height
            matrix = np.array(
                [
                    [s[0, 0] * a * a + s[1, 1] * b * b, -s[0, 0] * a, -s[1, 1] * b],
                    [
                        -s[0, 0] * a,
                        d[0, 0] * a * a + d[2, 2] * b * b + s[0, 0],
                        (d[0, 1] + d[2, 2]) * a * b,
                    ],
                    [
                        -s[1, 1] * b,
                        (d[0, 1] + d[2, 2]) * a * b,
                        d[2, 2] * a * a + d[1, 1] * b * b + s[1, 1],
                    ],
                ]
            )
            load = 16.0 / (np.pi**2 * m * n)
            w = np.linalg.solve(matrix, np.array([load, 0.0, 0.0]))[0]
            total += w * np.sin(m * np.pi / 2.0) * np.sin(n * np.pi / 2.0)
    return float(total)


@pytest.mark.parametrize("thickness", [19.0, 6.0])
def test_orthotropic_plate_against_naviers_series(thickness: float) -> None:
    board = ready(drawing([(rectangle(0, 0, 300, 200), "A", 0.0)], 300.0, 200.0), size=10.0)
    stiffness, shear = plane_stiffness(MAPLE, 0.0), shear_stiffness(MAPLE, 0.0)
    answer = solve_plate(
        board.elements,
        stiffness=stiffness[None],
        shear=shear[None],
        thickness_mm=thickness,
        pressure=pressure(board, 0.001),
        fixed=simply_supported(board, 300.0, 200.0),
    )
    expected = 0.001 * navier_deflection(stiffness, shear, 300.0, 200.0, thickness)
    assert answer.sunk[at(board, 150.0, 100.0), 0, 0] == pytest.approx(expected, rel=1.5e-3)


def test_square_plate_of_one_stiffness_against_the_printed_table() -> None:
    """Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, table 8: .00406 and .0479."""
    board = ready(drawing([(rectangle(0, 0, 200, 200), "A", 0.0)], 200.0, 200.0), size=5.0)
    thickness = 4.0
    answer = solve_plate(
        board.elements,
        stiffness=isotropic(10_000.0, 0.3)[None],
        shear=(np.eye(2) * 100_000.0)[None],  # stiff: the table leaves shear out
        thickness_mm=thickness,
        pressure=pressure(board, 0.001),
        fixed=simply_supported(board, 200.0, 200.0),
    )
    rigidity = 10_000.0 * thickness**3 / (12.0 * (1.0 - 0.09))
    sunk = answer.sunk[at(board, 100.0, 100.0), 0, 0] * rigidity / (0.001 * 200.0**4)
    places = board.elements.few_points.reshape(-1, 2)
    middle = np.argsort(np.sum((places - 100.0) ** 2, axis=1))[:8]
    moment = answer.moment[:, :, 0, 0].ravel()[middle].mean() / (0.001 * 200.0**2)
    assert f"{sunk:.5f}" == "0.00406"
    assert abs(moment) == pytest.approx(0.0479, rel=0.006)


def cantilever(board: Ready, stiffness: Floats, shear: Floats, height: float) -> PlateAnswer:
    """Held at x = 0; 100 N spread over the far end."""
    x = board.elements.places[:, 0]
    far = x.max()
    held = np.flatnonzero(x < 1e-9)
    nodal = np.zeros((3 * len(x), 1))
    mesh = board.elements.mesh
    for segment, middle in zip(mesh.segments, board.elements.middles, strict=True):
        if np.all(x[segment] > far - 1e-9):
            length = np.ptp(board.elements.places[segment, 1])
            for node, share in ((segment[0], 1 / 6), (segment[1], 1 / 6), (middle, 4 / 6)):
                nodal[3 * node, 0] += 100.0 / height * length * share
    return solve_plate(
        board.elements,
        stiffness=stiffness,
        shear=shear,
        thickness_mm=19.0,
        pressure=pressure(board, 0.0),
        nodal=nodal,
        fixed=np.concatenate((3 * held, 3 * held + 1, 3 * held + 2)),
    )


def test_cantilever_against_the_beam_with_shear() -> None:
    """Timoshenko beam: P·L³/3EI + P·L/(5/6·G·A); the first part is 3.28036 mm."""
    patches = [
        (rectangle(0, 0, 50, 40), "A", 0.0),
        (rectangle(50, 0, 200, 40), "A", 0.0),
        (rectangle(200, 0, 300, 40), "A", 0.0),
    ]
    board = ready(drawing(patches, 300.0, 40.0))
    stiffness = np.repeat(isotropic(12_000.0, 0.0)[None], 3, axis=0)
    shear = np.repeat(np.eye(2)[None] * 6_000.0, 3, axis=0)
    answer = cantilever(board, stiffness, shear, 40.0)
    bending = 100.0 * 300.0**3 / (3.0 * 12_000.0 * 40.0 * 19.0**3 / 12.0)
    sliding = 100.0 * 300.0 / (5.0 / 6.0 * 6_000.0 * 40.0 * 19.0)
    assert f"{bending:.5f}" == "3.28036"
    tip = answer.sunk[at(board, 300.0, 20.0), 0, 0]
    assert tip == pytest.approx(bending + sliding, rel=2e-4)
    moments = seam_moments(board, answer)
    assert sorted(abs(moments)) == pytest.approx([10_000.0, 25_000.0], rel=1e-9)


def seam_moments(board: Ready, answer: PlateAnswer) -> Floats:
    """Moment about y that passes through each seam [N·mm]."""
    lines = seam_lines(board.elements, board.seams)
    passing = segment_forces(
        lines, board.elements, answer.forces, plate_flux(answer.corner_moment, answer.corner_shear)
    )
    return np.array([passing[run, 1, 0].sum() for run in lines.runs])


def test_the_moment_of_statics_passes_through_the_seams_of_a_mixed_board() -> None:
    """Statics: 100 N at 150 mm from the section x = 150 is 15 000 N·mm, whatever the woods."""
    board = ready(triangle_board(), size=8.0)
    woods = {"A": "sugar maple", "B": "black walnut", "C": "black cherry"}
    kinds = {
        letter: material(with_stand_ins(find_species(name))[0], ring_angle_deg=0.0)
        for letter, name in woods.items()
    }
    patches = board.drawing.patches
    answer = cantilever(
        board,
        np.array([plane_stiffness(kinds[p.wood], p.grain_deg) for p in patches]),
        np.array([shear_stiffness(kinds[p.wood], p.grain_deg) for p in patches]),
        200.0,
    )
    on_line = [
        i for i, seam in enumerate(board.seams) if all(abs(x - 150.0) < 1e-9 for x, _ in seam.path)
    ]
    assert len(on_line) == 4
    assert abs(seam_moments(board, answer)[on_line].sum()) == pytest.approx(15_000.0, rel=1e-8)


def test_a_board_damp_on_one_face_cups_by_geometry_alone() -> None:
    """A free strain that differs by Δε between the faces bends the board to κ = Δε/t."""
    board = ready(triangle_board(4, 2, mixed=False), size=10.0)
    count = len(board.drawing.patches)
    free = free_strain(0.0002, 0.0141, 0.0) / 19.0
    answer = solve_plate(
        board.elements,
        stiffness=np.repeat(plane_stiffness(MAPLE, 0.0)[None], count, axis=0),
        shear=np.repeat(shear_stiffness(MAPLE, 0.0)[None], count, axis=0),
        thickness_mm=19.0,
        pressure=pressure(board, 0.0),
        curvature=np.repeat(free[None, :, None], count, axis=0),
    )
    low, middle, high = (answer.sunk[at(board, 100.0, y), 0, 0] for y in (0.0, 50.0, 100.0))
    sagitta = abs((low + high) / 2.0 - middle)
    assert sagitta == pytest.approx(0.0141 / 19.0 * 100.0**2 / 8.0, rel=1e-6)
