from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from mechanics_boards import Ready, check_board, drawing, ready, rectangle
from seamwright.errors import StrengthError
from seamwright.strength import Axis, Load, usual_loads
from seamwright.strength.bending import solve_loads
from seamwright.strength.grain import seam_grain
from seamwright.strength.loads import pressure_of, section_moment
from seamwright.strength.material import material
from seamwright.strength.ready import made_ready
from seamwright.strength.seasons import quantiles
from seamwright.strength.weakest import Links, links_of, weakest_line
from seamwright.woods import find_species, with_stand_ins

MAPLE = material(with_stand_ins(find_species("sugar maple"))[0], ring_angle_deg=0.0)


def plank(length: float = 300.0, seam: float = 150.0) -> Ready:
    """A board with its grain along x and one butt seam across it."""
    patches = [
        (rectangle(0, 0, seam, 60), "A", 0.0),
        (rectangle(seam, 0, length, 60), "A", 0.0),
    ]
    return ready(drawing(patches, length, 60.0), size=5.0)


MIDDLE = Load(
    key="middle",
    name="in the middle",
    force_n=100.0,
    on=(140.0, 0.0, 160.0, 60.0),
    held=((0.0, 0.0, 10.0, 60.0), (290.0, 0.0, 300.0, 60.0)),
    axis=Axis.X,
)


@pytest.mark.parametrize("load", usual_loads(check_board(6, 4)), ids=lambda load: load.key)
def test_every_usual_load_is_in_balance(load: Load) -> None:
    board = ready(check_board(6, 4), size=6.0)
    elements = board.elements
    pressure = pressure_of(load, elements, weight_mpa=np.full(24, 1e-4))
    force = pressure * elements.weights
    assert abs(force.sum()) < 1e-9 * load.force_n
    for axis in (0, 1):
        assert abs((force * elements.points[..., axis]).sum()) < 1e-7 * load.force_n


def test_the_moment_in_the_middle_is_that_of_a_beam() -> None:
    """Statics: P/2 on a lever from the middle of the hold, less the spread load's own."""
    board = plank()
    pressure = pressure_of(MIDDLE, board.elements, weight_mpa=np.zeros(2))
    (moment,) = section_moment(pressure, board.elements, Axis.X, np.array([150.0]))
    # spread evenly over 10 mm at the hold and 20 mm in the middle
    assert abs(moment) == pytest.approx(50.0 * 145.0 - 50.0 * 5.0, rel=0.02)


def test_a_hold_smaller_than_an_element_takes_the_nearest_points() -> None:
    pin = replace(MIDDLE, held=((150.0, 30.0, 150.0, 30.0),))
    board = plank()
    force = pressure_of(pin, board.elements, weight_mpa=np.zeros(2)) * board.elements.weights
    assert abs(force.sum()) < 1e-6


def test_a_force_upwards_is_refused() -> None:
    with pytest.raises(StrengthError, match="force above zero"):
        pressure_of(replace(MIDDLE, force_n=-1.0), plank().elements, weight_mpa=np.zeros(2))


def test_a_plank_breaks_along_its_one_butt_seam_at_the_hand_reckoned_load() -> None:
    """Bending strength of the seam's section: f·b·t²/6 over the moment there."""
    board = plank()
    grain = seam_grain(90.0, (0.0, 0.0), (MAPLE, MAPLE))
    links = links_of(board.elements.mesh.board, board.seams, (grain,), (MAPLE, MAPLE))
    pressure = pressure_of(MIDDLE, board.elements, weight_mpa=np.zeros(2))
    positions = np.linspace(0.0, 300.0, 301)
    moment = section_moment(pressure, board.elements, Axis.X, positions)
    line = weakest_line(links, thickness_mm=19.0, axis=Axis.X, positions=positions, moment=moment)
    expected = grain.tension_mpa[0] * 60.0 * 19.0**2 / 6.0 / abs(moment[150])
    assert line.factor == pytest.approx(expected, rel=1e-6)
    assert line.on_seams == pytest.approx(1.0)
    assert {round(x, 6) for x, _ in line.path} == {150.0}


def test_a_slanted_bit_of_a_break_bends_and_twists() -> None:
    """Bending across the span over its height, twisting over its run: t²(f_n·dy/6 + f_s·dx/3)/M."""
    links = Links(
        points=np.array([[0.0, 0.0], [10.0, 20.0]]),
        ends=np.array([[0, 1]]),
        tension_mpa=np.array([5.0]),
        shear_mpa=np.array([12.0]),
        on_seam=np.array([1.0]),
        rim=np.array([0, 1]),
    )
    line = weakest_line(
        links,
        thickness_mm=20.0,
        axis=Axis.X,
        positions=np.array([0.0, 10.0]),
        moment=np.array([1000.0, 1000.0]),
    )
    assert line.factor == pytest.approx(400.0 * (5.0 * 20.0 / 6.0 + 12.0 * 10.0 / 3.0) / 1000.0)


@pytest.mark.parametrize("seam", [150.0, 80.0])
def test_the_use_of_a_butt_seam_is_that_of_the_beams_section(seam: float) -> None:
    """Beam formulas: 6M/(b·t²) at the faces and 1.5·Q/(b·t) in the middle of the thickness."""
    patches = [
        (rectangle(0, 0, seam, 60), "A", 0.0),
        (rectangle(seam, 0, 300, 60), "A", 0.0),
    ]
    board = drawing(patches, 300.0, 60.0, thickness=12.0)
    made = made_ready(board, {"A": find_species("sugar maple")}, ring_angle_deg={}, size_mm=6.0)
    load = replace(MIDDLE, force_n=400.0)
    bending = solve_loads(made, (load,))
    pressure = pressure_of(load, made.elements, weight_mpa=made.weight_mpa)
    beyond = made.elements.points[..., 0] > seam
    force = float((pressure * made.elements.weights)[beyond].sum())
    (moment,) = section_moment(pressure, made.elements, Axis.X, np.array([seam]))
    grain = made.grains[0]
    pull = 6.0 * abs(moment) / (60.0 * 12.0**2)
    shear = 1.5 * abs(force) / (60.0 * 12.0)
    expected = np.hypot(pull / grain.tension_mpa[0], shear / grain.shear_mpa[0])
    assert bending.uses[0].whole[0] == pytest.approx(expected, rel=1e-6)
    assert bending.uses[0].shear_mpa[0] == pytest.approx(shear, rel=1e-6, abs=1e-3)
    assert bending.results[0].first_crack_n <= 400.0 / expected + 1e-6


def test_own_weight_is_that_of_the_wood() -> None:
    """Specific gravity .63 on the ovendry mass, so 12 % of water comes on top."""
    board = drawing([(rectangle(0, 0, 100, 60), "A", 0.0)], 100.0, 60.0, thickness=20.0)
    made = made_ready(board, {"A": find_species("sugar maple")}, ring_angle_deg={}, size_mm=20.0)
    kilograms = 0.63e-6 * 1.12 * 100.0 * 60.0 * 20.0
    assert made.weight_mpa[0] * 6000.0 == pytest.approx(kilograms * 9.81, rel=1e-9)


def test_ninety_five_per_cent_of_a_patch_lies_below_the_quantile() -> None:
    board = drawing(
        [(rectangle(0, 0, 100, 40), "A", 0.0), (rectangle(100, 0, 150, 40), "A", 0.0)], 150.0, 40.0
    )
    made = made_ready(board, {"A": find_species("sugar maple")}, ring_angle_deg={}, size_mm=3.0)
    found = quantiles(made, made.elements.few_points[..., 0][:, :, None])
    assert found[:, 0] == pytest.approx([95.0, 147.5], abs=0.8)
