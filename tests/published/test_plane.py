"""Plane mechanics against closed forms; the source stands beside each check."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from mechanics_boards import (
    Floats,
    Ready,
    drawing,
    isotropic,
    ready,
    rectangle,
    triangle_board,
)
from seamwright.design import Drawing
from seamwright.strength.material import free_strain, material, plane_stiffness
from seamwright.strength.plane import PlaneAnswer, solve_plane
from seamwright.strength.tractions import plane_flux, seam_lines, segment_forces
from seamwright.woods import find_species, with_stand_ins

MAPLE = material(with_stand_ins(find_species("sugar maple"))[0], ring_angle_deg=0.0)


def strips(*heights: float, length: float = 400.0, size: float = 5.0) -> Ready:
    patches, y = [], 0.0
    for height in heights:
        patches.append((rectangle(0.0, y, length, y + height), "A", 0.0))
        y += height
    return ready(drawing(patches, length, y), size=size)


def strain(*values: float) -> Floats:
    return np.array([[v, v, 0.0] for v in values])[:, :, None]


def forces(board: Ready, answer: PlaneAnswer) -> tuple[Floats, Floats]:
    """Middles of the seam segments along x, and the force on the lower piece."""
    lines = seam_lines(board.elements, board.seams)
    passing = segment_forces(lines, board.elements, answer.forces, plane_flux(answer.corner_stress))
    mesh = board.elements.mesh
    middle = mesh.points[mesh.segments[lines.segments]].mean(axis=1)[:, 0]
    return middle, passing[:, :, 0]


@pytest.fixture(scope="module")
def bimetal() -> tuple[Ready, PlaneAnswer]:
    board = strips(10.0, 15.0)
    stiffness = np.array([isotropic(10_000.0, 0.3), isotropic(4_000.0, 0.3)])
    return board, solve_plane(board.elements, stiffness=stiffness, strain=strain(0.01, 0.0))


def timoshenko_curvature(e1: float, e2: float, h1: float, h2: float, mismatch: float) -> float:
    m, n = h1 / h2, e1 / e2
    return (
        6.0
        * mismatch
        * (1.0 + m) ** 2
        / ((h1 + h2) * (3.0 * (1.0 + m) ** 2 + (1.0 + m * n) * (m * m + 1.0 / (m * n))))
    )


def test_bimetal_strip_bends_as_timoshenko_says(bimetal: tuple[Ready, PlaneAnswer]) -> None:
    """Timoshenko (1925), Analysis of bi-metal thermostats, J. Opt. Soc. Am. 11, eq. 4."""
    board, answer = bimetal
    places = board.elements.places
    middle = (np.abs(places[:, 0] - 200.0) < 60.0) & (places[:, 1] < 1e-9)
    fit = np.polyfit(places[middle, 0], answer.moved[middle, 1, 0], 2)
    expected = timoshenko_curvature(10_000.0, 4_000.0, 10.0, 15.0, 0.01)
    assert expected == pytest.approx(5.996e-4, rel=1e-4)
    assert 2.0 * fit[0] == pytest.approx(expected, rel=1e-6)


def test_bimetal_glue_line_carries_the_force_of_the_layer(
    bimetal: tuple[Ready, PlaneAnswer],
) -> None:
    """The same paper: the layers' force P = κ·2(E₁I₁ + E₂I₂)/h comes in over half the length."""
    board, answer = bimetal
    middle, passing = forces(board, answer)
    curvature = timoshenko_curvature(10_000.0, 4_000.0, 10.0, 15.0, 0.01)
    stiff = 10_000.0 * 10.0**3 / 12.0 + 4_000.0 * 15.0**3 / 12.0
    half = passing[middle < 200.0].sum(axis=0)
    assert abs(half[0]) == pytest.approx(2.0 * curvature * stiff / 25.0, rel=1e-6)


def test_nothing_passes_through_a_free_glue_line_on_the_whole(
    bimetal: tuple[Ready, PlaneAnswer],
) -> None:
    """Statics: a strip with no load has no net force across its one seam."""
    _, passing = forces(*bimetal)
    assert np.abs(passing.sum(axis=0)).max() < 1e-6


def test_sandwich_core_stress() -> None:
    """Bars side by side, any strength of materials text: σ = −ε·E_c·2A_fE_f/(A_cE_c + 2A_fE_f)."""
    board = strips(8.0, 20.0, 8.0, length=600.0)
    stiffness = np.array(
        [isotropic(9_000.0, 0.0), isotropic(3_000.0, 0.0), isotropic(9_000.0, 0.0)]
    )
    answer = solve_plane(board.elements, stiffness=stiffness, strain=strain(0.0, 0.003, 0.0))
    x, y = board.elements.few_points.reshape(-1, 2).T
    at = (np.abs(x - 300.0) < 20.0) & (np.abs(y - 18.0) < 6.0)
    core = answer.stress[:, :, 0, 0].ravel()[at]
    faces = 2.0 * 8.0 * 9_000.0
    expected = -0.003 * 3_000.0 * faces / (20.0 * 3_000.0 + faces)
    assert core == pytest.approx(np.full(at.sum(), expected), rel=1e-4)


def test_bars_in_a_row_held_at_both_ends() -> None:
    """Bars end to end: σ = −Σ ε·L / Σ L/E, the same in every bar when nothing moves sideways."""
    patches = [
        (rectangle(0.0, 0.0, 120.0, 30.0), "A", 0.0),
        (rectangle(120.0, 0.0, 200.0, 30.0), "A", 0.0),
    ]
    board = ready(drawing(patches, 200.0, 30.0))
    stiffness = np.array([isotropic(10_000.0, 0.0), isotropic(5_000.0, 0.0)])
    free = np.array([[0.004, 0.0, 0.0], [0.001, 0.0, 0.0]])[:, :, None]
    places = board.elements.places
    ends = np.flatnonzero((places[:, 0] < 1e-9) | (places[:, 0] > 200.0 - 1e-9))
    fixed = np.concatenate((2 * ends, [2 * ends[0] + 1]))
    answer = solve_plane(board.elements, stiffness=stiffness, strain=free, fixed=fixed)
    expected = -(0.004 * 120.0 + 0.001 * 80.0) / (120.0 / 10_000.0 + 80.0 / 5_000.0)
    assert answer.stress[:, :, 0, 0] == pytest.approx(
        np.full(answer.stress.shape[:2], expected), rel=1e-9
    )


@pytest.mark.parametrize("grain", [15.0, 30.0, 45.0, 60.0])
def test_off_axis_modulus(grain: float) -> None:
    """Jones, Mechanics of Composite Materials, eq. for 1/E_x of a lamina turned by an angle.

    Pulled along x, a bar of one wood stretches by σ/E_x; the bar is solved with finite elements.
    """
    board = ready(drawing([(rectangle(0.0, 0.0, 100.0, 40.0), "A", grain)], 100.0, 40.0), size=8.0)
    stiffness = plane_stiffness(MAPLE, grain)[None]
    mesh, places = board.elements.mesh, board.elements.places
    nodal = np.zeros((2 * len(places), 1))
    for segment, middle in zip(mesh.segments, board.elements.middles, strict=True):
        x = places[segment, 0]
        if np.ptp(x) < 1e-9:
            length = np.ptp(places[segment, 1])
            for node, share in ((segment[0], 1 / 6), (segment[1], 1 / 6), (middle, 4 / 6)):
                nodal[2 * node, 0] += (1.0 if x[0] > 50.0 else -1.0) * length * share
    answer = solve_plane(
        board.elements, stiffness=stiffness, strain=np.zeros((1, 3, 1)), nodal=nodal
    )
    right, left = places[:, 0] > 100.0 - 1e-9, places[:, 0] < 1e-9
    stretch = answer.moved[right, 0, 0].mean() - answer.moved[left, 0, 0].mean()
    c, s = np.cos(np.radians(grain)), np.sin(np.radians(grain))
    compliance = (
        c**4 / MAPLE.e1_mpa
        + s**4 / MAPLE.e2_mpa
        + c * c * s * s * (1.0 / MAPLE.g12_mpa - 2.0 * MAPLE.nu12 / MAPLE.e1_mpa)
    )
    assert stretch / 100.0 == pytest.approx(compliance, rel=1e-9)


def test_a_board_of_one_wood_and_direction_stays_free_of_stress() -> None:
    """Patch test (Irons and Razzaque 1972): a uniform free strain makes no stress on any mesh."""
    board = ready(triangle_board(mixed=False), size=8.0)
    count = len(board.drawing.patches)
    stiffness = np.repeat(plane_stiffness(MAPLE, 30.0)[None], count, axis=0)
    free = np.repeat(free_strain(0.0002, 0.0141, 30.0)[None, :, None], count, axis=0)
    answer = solve_plane(board.elements, stiffness=stiffness, strain=free)
    assert np.abs(answer.stress).max() < 1e-6


def three_at_a_point() -> Drawing:
    """Three patches that meet at one point at unequal angles."""
    middle = (40.0, 25.0)
    patches = [
        (((0.0, 0.0), (100.0, 0.0), (100.0, 10.0), middle), "A", 30.0),
        ((middle, (100.0, 10.0), (100.0, 60.0), (30.0, 60.0)), "A", 30.0),
        (((0.0, 0.0), middle, (30.0, 60.0), (0.0, 60.0)), "A", 30.0),
    ]
    return drawing(patches, 100.0, 60.0)


@pytest.mark.parametrize("make", [lambda: triangle_board(4, 3, mixed=False), three_at_a_point])
def test_a_pull_passes_through_every_seam_as_cauchy_says(make: Callable[[], Drawing]) -> None:
    """Cauchy: under a uniform stress σ along x the traction on a cut is σ·n_x, whatever the cut."""
    board = ready(make(), size=9.0)
    elements, count = board.elements, len(board.drawing.patches)
    x = elements.places[:, 0]
    far = x.max()
    nodal = np.zeros((2 * len(x), 1))
    for segment, middle in zip(elements.mesh.segments, elements.middles, strict=True):
        if np.ptp(x[segment]) < 1e-9 and (x[segment[0]] < 1e-9 or x[segment[0]] > far - 1e-9):
            length = np.ptp(elements.places[segment, 1])
            sign = 1.0 if x[segment[0]] > far / 2.0 else -1.0
            for node, share in ((segment[0], 1 / 6), (segment[1], 1 / 6), (middle, 4 / 6)):
                nodal[2 * node, 0] += sign * length * share
    answer = solve_plane(
        elements,
        stiffness=np.repeat(plane_stiffness(MAPLE, 30.0)[None], count, axis=0),
        strain=np.zeros((count, 3, 1)),
        nodal=nodal,
    )
    lines = seam_lines(elements, board.seams)
    passing = segment_forces(lines, elements, answer.forces, plane_flux(answer.corner_stress))
    traction = passing[:, :, 0] / lines.lengths_mm[:, None]
    # at the pulled ends the outer force is shared by the patches that meet there
    ends = x[elements.mesh.segments[lines.segments]]
    inside = (ends.min(axis=1) > 1e-9) & (ends.max(axis=1) < far - 1e-9)
    assert inside.sum() > 10
    assert traction[inside, 0] == pytest.approx(lines.normals[inside, 0], abs=1e-7)
    assert traction[inside, 1] == pytest.approx(np.zeros(inside.sum()), abs=1e-7)
