from __future__ import annotations

import math

import numpy as np
import pytest

from mechanics_boards import drawing, ready, rectangle
from seamwright.design import Drawing
from seamwright.strength.grain import seam_grain
from seamwright.strength.material import material
from seamwright.strength.through import ThroughLine, bridged_share, through_lines
from seamwright.woods import find_species, with_stand_ins

MAPLE = material(with_stand_ins(find_species("sugar maple"))[0], ring_angle_deg=0.0)


def lines_of(board: Drawing) -> tuple[ThroughLine, ...]:
    net = ready(board, size=20.0)
    patches = board.patches
    grains = tuple(
        seam_grain(
            s.direction_deg,
            (patches[s.first].grain_deg, patches[s.second].grain_deg),
            (MAPLE, MAPLE),
        )
        for s in net.seams
    )
    return through_lines(net.elements.mesh.board, net.seams, grains)


def rows(*breaks: float) -> Drawing:
    """Rows of long grain along x, each cut across once at its own place."""
    patches = []
    for i, at in enumerate(breaks):
        y = 30.0 * i
        patches.append((rectangle(0, y, at, y + 30), "A", 0.0))
        patches.append((rectangle(at, y, 200, y + 30), "A", 0.0))
    return drawing(patches, 200.0, 30.0 * len(breaks))


def test_butts_in_one_line_are_found() -> None:
    (line,) = lines_of(rows(100.0, 100.0, 100.0))
    assert line.bridged == 0.0
    assert line.weak == pytest.approx(1.0)
    assert sorted((line.start, line.end)) == [(100.0, 0.0), (100.0, 90.0)]
    assert "stagger" in line.advice


def test_staggered_butts_are_bridged() -> None:
    assert lines_of(rows(100.0, 60.0, 140.0)) == ()


def test_one_long_strip_in_four_is_not_enough_but_two_are() -> None:
    (line,) = lines_of(rows(100.0, 40.0, 100.0, 100.0))
    assert line.bridged == pytest.approx(0.25, rel=1e-3)
    assert lines_of(rows(100.0, 40.0, 100.0, 160.0)) == ()


def test_a_plank_glued_along_its_grain_has_no_through_line() -> None:
    boards = [(rectangle(0, 40.0 * i, 200, 40.0 * i + 40.0), "A", 0.0) for i in range(4)]
    assert lines_of(drawing(boards, 200.0, 160.0)) == ()


def test_share_of_long_grain_at_each_cross_section() -> None:
    net = ready(rows(100.0, 40.0, 100.0, 160.0), size=20.0)
    across = bridged_share(net.elements.mesh.board, 90.0, count=50)
    shares = {round(-offset): share for offset, share in across}
    assert shares[98] == pytest.approx(0.5)  # two of four pieces end within a finger's breadth
    assert shares[70] == pytest.approx(1.0)
    along = bridged_share(net.elements.mesh.board, 0.0, count=20)
    assert {share for _, share in along} == {0.0}


def test_a_line_that_only_cuts_off_a_corner_is_left_out() -> None:
    corner = ((0.0, 0.0), (40.0, 0.0), (0.0, 40.0))
    rest = ((40.0, 0.0), (200.0, 0.0), (200.0, 120.0), (0.0, 120.0), (0.0, 40.0))
    assert lines_of(drawing([(corner, "A", 0.0), (rest, "A", 0.0)], 200.0, 120.0)) == ()


def test_a_curved_seam_is_no_line() -> None:
    arc = [(100.0 + 60.0 * math.cos(a), 60.0 * math.sin(a)) for a in np.linspace(0, math.pi, 25)]
    rest = ((0.0, 0.0), *reversed(arc), (200.0, 0.0), (200.0, 100.0), (0.0, 100.0))
    assert lines_of(drawing([(tuple(arc), "A", 90.0), (rest, "A", 0.0)], 200.0, 100.0)) == ()


def test_seams_a_hair_apart_in_direction_are_one_line() -> None:
    patches = [
        (((0, 0), (200, 0), (200, 50.0), (100, 50.00004), (0, 50)), "A", 90.0),
        (((0, 50), (100, 50.00004), (100, 100), (0, 100)), "A", 90.0),
        (((100, 50.00004), (200, 50), (200, 100), (100, 100)), "A", 90.0),
    ]
    (line,) = lines_of(drawing(patches, 200.0, 100.0))
    assert line.weak == pytest.approx(1.0, abs=1e-3)
