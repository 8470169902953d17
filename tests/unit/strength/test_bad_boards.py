"""Every bad board is named before anything is solved; no trace of a singular matrix."""

from __future__ import annotations

from dataclasses import replace

import pytest

from mechanics_boards import check_board, drawing, rectangle
from seamwright.design import Drawing
from seamwright.errors import StrengthError
from seamwright.strength import Load, soundness
from seamwright.strength.loads import Axis
from seamwright.woods import Species, find_species

SPECIES = {"A": find_species("sugar maple"), "B": find_species("walnut")}
LEFT, RIGHT = rectangle(0, 0, 50, 40), rectangle(50, 0, 100, 40)


def refused(board: Drawing, species: dict[str, Species] | None = None, **options: object) -> str:
    with pytest.raises(StrengthError) as caught:
        soundness(board, species or SPECIES, **options)  # type: ignore[arg-type]
    for fault in caught.value.faults:
        assert fault.subject
        assert fault.message
    return " ".join(f"{fault.code} {fault}" for fault in caught.value.faults)


def two(left: object = LEFT, right: object = RIGHT, wood: str = "B") -> Drawing:
    return drawing([(left, "A", 0.0), (right, wood, 90.0)], 100.0, 40.0)  # type: ignore[list-item]


def test_parts_that_touch_at_a_corner_only() -> None:
    corners = drawing(
        [(rectangle(0, 0, 50, 40), "A", 0.0), (rectangle(50, 40, 100, 80), "A", 0.0)], 100, 80
    )
    # the outline is the two squares themselves, so that nothing but the corner is wrong
    outline = ((0, 0), (50, 0), (50, 40), (100, 40), (100, 80), (50, 80), (50, 40.004), (0, 40))
    said = refused(replace(corners, outline=outline))
    assert "S110 patch" in said
    assert "a corner is no seam" in said


def test_a_gap_is_named_with_its_area_and_place() -> None:
    said = refused(two(rectangle(0, 0, 49.7, 40)))
    assert "S106 the drawing has a gap of 12 mm² near (50, 20)" in said


def test_a_gap_thinner_than_the_weld_is_closed() -> None:
    soundness(two(rectangle(0, 0, 49.995, 40)), SPECIES, element_mm=20.0)


def test_an_overlap_is_named_with_both_patches() -> None:
    assert "S105 patch 1 overlaps patch 2 by 40 mm²" in refused(two(rectangle(0, 0, 51, 40)))


def test_a_sliver() -> None:
    board = drawing(
        [(rectangle(0, 0, 100, 39.9), "A", 0), (rectangle(0, 39.9, 100, 40), "A", 0)], 100, 40
    )
    assert "S104 patch 2 is a sliver" in refused(board)


@pytest.mark.parametrize("thickness", [0.0, -3.0, float("nan"), float("inf")])
def test_no_thickness(thickness: float) -> None:
    assert "S102" in refused(replace(two(), thickness_mm=thickness))


def test_a_patch_that_crosses_itself() -> None:
    bow = ((0.0, 0.0), (50.0, 40.0), (50.0, 0.0), (0.0, 40.0))
    assert "S103 patch 1 crosses" in refused(two(bow))


def test_a_patch_of_two_points_and_one_of_no_area() -> None:
    assert "S103" in refused(two(((0.0, 0.0), (50.0, 0.0))))
    assert "S10" in refused(two(((0.0, 0.0), (50.0, 0.0), (25.0, 0.0))))


def test_no_patches_and_a_point_that_is_no_number() -> None:
    assert "S101" in refused(replace(two(), patches=()))
    assert "S108" in refused(two(rectangle(0, 0, float("nan"), 40)))


def test_a_board_of_ten_kilometres() -> None:
    assert "check the unit" in refused(drawing([(rectangle(0, 0, 1e7, 40), "A", 0)], 1e7, 40))


def test_a_patch_beyond_the_outline() -> None:
    assert "S107" in refused(replace(two(), outline=rectangle(0, 0, 90, 40)))


def test_a_wood_without_stiffness_is_named_with_what_it_lacks() -> None:
    said = refused(two(), {"A": find_species("padauk"), "B": find_species("ebony")})
    assert "W110 padauk has no value for modulus of elasticity in bending" in said
    assert "ebony has no value" in said


def test_a_letter_without_a_wood() -> None:
    assert "S150 wood C is not named" in refused(two(wood="C"))


def test_a_wood_that_lacks_its_movement_only() -> None:
    assert "bubinga has no value for movement coefficient" in refused(
        two(), {"A": find_species("bubinga"), "B": find_species("walnut")}
    )


@pytest.mark.parametrize("size", [0.0, 0.1, 1000.0, float("nan")])
def test_an_absurd_element_size(size: float) -> None:
    assert "S152" in refused(two(), element_mm=size)


@pytest.mark.parametrize("built", [0.0, -4.0, 80.0])
def test_moisture_that_is_none(built: float) -> None:
    assert "S151" in refused(two(), built_pct=built)


def test_a_load_without_force() -> None:
    load = Load(
        key="none",
        name="nothing",
        force_n=0.0,
        on=(40.0, 10.0, 60.0, 30.0),
        held=((0.0, 0.0, 10.0, 40.0),),
        axis=Axis.X,
    )
    assert "S140" in refused(two(), loads=(load,))


def test_all_faults_are_told_at_once() -> None:
    board = check_board(3, 2)
    patches = list(board.patches)
    patches[0] = replace(patches[0], points=patches[0].points[:2])
    patches[3] = replace(patches[3], points=patches[3].points[:2])
    said = refused(replace(board, patches=tuple(patches)))
    assert said.count("S103") == 2
