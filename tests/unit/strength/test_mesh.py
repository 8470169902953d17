from __future__ import annotations

import math

import numpy as np
import pytest

from mechanics_boards import check_board, drawing, isotropic, ready, rectangle, triangle_board
from seamwright.design import Drawing
from seamwright.errors import StrengthError
from seamwright.strength.board import welded
from seamwright.strength.mesh import Mesh, meshed
from seamwright.strength.plane import solve_plane
from seamwright.strength.seams import seams_of


def star() -> Drawing:
    """Sixteen thin wedges that meet in the middle of a square."""
    rim = []
    for k in range(16):
        a = 2.0 * math.pi * k / 16.0
        scale = 50.0 / max(abs(math.cos(a)), abs(math.sin(a)))
        rim.append((50.0 + scale * math.cos(a), 50.0 + scale * math.sin(a)))
    patches = []
    for k in range(16):
        points = [(50.0, 50.0), rim[k], rim[(k + 1) % 16]]
        patches.append((tuple(points), "A", 11.25 * k))
    return drawing(patches, 100.0, 100.0)


def needle() -> Drawing:
    """A wedge of 1.5° between two pieces."""
    rise = 200.0 * math.tan(math.radians(1.5))
    return drawing(
        [
            (((0.0, 0.0), (200.0, 0.0), (200.0, 20.0), (0.0, 20.0)), "A", 0.0),
            (((0.0, 20.0), (200.0, 20.0), (200.0, 20.0 + rise)), "B", 0.0),
            (((0.0, 20.0), (200.0, 20.0 + rise), (200.0, 60.0), (0.0, 60.0)), "A", 0.0),
        ],
        200.0,
        60.0,
    )


def corner_piece() -> Drawing:
    """A piece with an inner corner, and a T where three pieces meet on a long edge."""
    return drawing(
        [
            (((0, 0), (60, 0), (60, 20), (20, 20), (20, 60), (0, 60)), "A", 0.0),
            (rectangle(20, 20, 60, 45), "B", 90.0),
            (rectangle(20, 45, 60, 60), "A", 0.0),
        ],
        60.0,
        60.0,
    )


BOARDS = {
    "checks": check_board(5, 4),
    "triangles": triangle_board(3, 2),
    "star": star(),
    "needle": needle(),
    "corner": corner_piece(),
}


def mesh_of(name: str, size: float) -> Mesh:
    return meshed(welded(BOARDS[name]), size_mm=size)


@pytest.mark.parametrize("name", BOARDS)
@pytest.mark.parametrize("size", [3.0, 8.0])
def test_triangles_cover_every_patch_and_keep_to_every_seam(name: str, size: float) -> None:
    mesh = mesh_of(name, size)
    p = mesh.points[mesh.triangles]
    e, f = p[:, 1] - p[:, 0], p[:, 2] - p[:, 0]
    areas = np.abs(e[:, 0] * f[:, 1] - e[:, 1] * f[:, 0]) / 2.0
    for piece, shape in enumerate(mesh.board.shapes):
        assert areas[mesh.pieces == piece].sum() == pytest.approx(shape.area, rel=1e-6)
    sides: dict[tuple[int, int], set[int]] = {}
    for triangle, piece in zip(mesh.triangles.tolist(), mesh.pieces.tolist(), strict=True):
        for i in range(3):
            a, b = triangle[i], triangle[(i + 1) % 3]
            sides.setdefault((min(a, b), max(a, b)), set()).add(piece)
    bounds = list(mesh.board.edges.values())
    for (a, b), owner in zip(mesh.segments.tolist(), mesh.owners.tolist(), strict=True):
        assert sides[min(a, b), max(a, b)] == set(bounds[owner])


@pytest.mark.parametrize("name", ["checks", "triangles"])
def test_elements_are_well_shaped_and_about_as_large_as_asked(name: str) -> None:
    mesh = mesh_of(name, 5.0)
    p = mesh.points[mesh.triangles]
    lengths = np.linalg.norm(p - np.roll(p, 1, axis=1), axis=2)
    assert lengths.max() < 9.0
    e, f = p[:, 1] - p[:, 0], p[:, 2] - p[:, 0]
    height = np.abs(e[:, 0] * f[:, 1] - e[:, 1] * f[:, 0]) / lengths.max(axis=1)
    assert (height / lengths.max(axis=1)).min() > 0.2


def test_the_same_drawing_gives_the_same_mesh() -> None:
    one, two = mesh_of("star", 4.0), mesh_of("star", 4.0)
    assert np.array_equal(one.points, two.points)
    assert np.array_equal(one.triangles, two.triangles)


def test_seams_of_a_t_and_their_lengths() -> None:
    seams = seams_of(welded(corner_piece()))
    lengths = sorted((s.first, s.second, round(s.length_mm, 6)) for s in seams)
    assert lengths == [(0, 1, 25.0), (0, 1, 40.0), (0, 2, 15.0), (1, 2, 40.0)]


def test_a_curve_of_short_straights_is_one_seam() -> None:
    arc = [(50.0 + 30.0 * math.cos(a), 30.0 * math.sin(a)) for a in np.linspace(0.0, math.pi, 25)]
    board = drawing(
        [
            (tuple(arc), "A", 0.0),
            (((0, 0), *reversed(arc), (100, 0), (100, 60), (0, 60)), "B", 0.0),
        ],
        100.0,
        60.0,
    )
    (seam,) = seams_of(welded(board))
    assert seam.length_mm == pytest.approx(30.0 * math.pi, rel=0.002)
    assert seam.middle == pytest.approx((50.0, 30.0), abs=1e-6)


def test_a_board_that_nothing_holds_is_refused_in_words() -> None:
    board = ready(check_board(2, 2), size=10.0)
    with pytest.raises(StrengthError, match="not held together firmly enough") as caught:
        solve_plane(
            board.elements,
            stiffness=np.repeat(isotropic(1000.0, 0.3)[None], 4, axis=0),
            strain=np.full((4, 3, 1), 0.001),
            fixed=np.zeros(0, dtype=np.int64),
        )
    assert caught.value.faults[0].code == "S130"


def test_a_board_smaller_than_an_element() -> None:
    tiny = meshed(welded(drawing([(rectangle(0, 0, 3, 2), "A", 0.0)], 3.0, 2.0)), size_mm=20.0)
    assert 2 <= len(tiny.triangles) <= 16
