from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from mechanics_boards import drawing, rectangle, triangle_board
from seamwright.design import Drawing
from seamwright.pictures.moved import exaggeration, moved_svg
from seamwright.pictures.seam_use import Shown, seam_use_svg, used
from seamwright.pictures.through import through_svg
from seamwright.strength import Soundness, soundness
from seamwright.woods import find_species

SPECIES = {
    letter: find_species(name)
    for letter, name in (("A", "sugar maple"), ("B", "walnut"), ("C", "cherry"))
}
COLOURS = {letter: wood.colour for letter, wood in SPECIES.items()}
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def case() -> tuple[Drawing, Soundness]:
    board = triangle_board(4, 3)
    return board, soundness(board, SPECIES, element_mm=10.0)


def test_the_scale_is_said_and_is_the_scale_drawn(case: tuple[Drawing, Soundness]) -> None:
    board, sound = case
    text = moved_svg(board, sound, season=0, colours=COLOURS, times=25.0)
    assert "movement drawn 25 times" in text
    root = ElementTree.fromstring(text)
    first = next(p for p in root.iter(f"{SVG}path") if p.find(f"{SVG}title") is not None)
    x, y = (float(v) for v in re.findall(r"-?\d+\.\d+", first.attrib["d"])[:2])
    shape = sound.shapes[0]
    (px, py), (dx, dy) = shape.points[0], shape.moves[0][0]
    assert (x, -y) == pytest.approx((px + 25.0 * dx, py + 25.0 * dy), abs=0.01)


def test_exaggeration_is_round_and_keeps_the_board_in_its_frame(
    case: tuple[Drawing, Soundness],
) -> None:
    board, sound = case
    times = exaggeration(board, sound, 1)
    assert f"{times:e}"[0] in "125"
    largest = max(abs(v) for s in sound.shapes for m in s.moves[1] for v in m)
    assert 0.015 * 200.0 < times * largest < 0.06 * 200.0


def test_a_board_that_does_not_move_is_drawn_as_it_is() -> None:
    board = drawing([(rectangle(0, 0, 100, 60), "A", 0.0)], 100.0, 60.0)
    sound = soundness(board, SPECIES, element_mm=20.0, built_pct=8.0)
    still = sound.seasons[0]
    assert still.change_mm[1] < 0.0
    assert exaggeration(board, sound, 0) >= 1.0


@pytest.mark.parametrize("shown", list(Shown))
def test_every_seam_is_drawn_in_colour_and_pattern(
    case: tuple[Drawing, Soundness], shown: Shown
) -> None:
    board, sound = case
    root = ElementTree.fromstring(seam_use_svg(board, sound, shown=shown, colours=COLOURS))
    lines = [p for p in root.iter(f"{SVG}path") if p.find(f"{SVG}title") is not None]
    told = {p.find(f"{SVG}title").text for p in lines}  # type: ignore[union-attr]
    assert len(lines) == len(sound.seams) + 4
    looks = {(p.attrib["stroke"], p.attrib.get("stroke-dasharray")) for p in lines[-4:]}
    patterns = {(p.attrib["stroke-width"], p.attrib.get("stroke-dasharray")) for p in lines[-4:]}
    assert len(looks) == len(patterns) == 4
    worst = max(sound.seams, key=lambda seam: used(seam, shown))
    assert any(f"{100.0 * used(worst, shown):.0f} %" in str(text) for text in told)


def test_names_are_safe_in_svg(case: tuple[Drawing, Soundness]) -> None:
    board = drawing([(rectangle(0, 0, 100, 60), "A", 0.0)], 100.0, 60.0)
    patch = board.patches[0]
    odd = type(patch)(name='<b>&"', points=patch.points, wood="A", grain_deg=0.0)
    renamed = type(board)(
        title="t",
        unit=board.unit,
        thickness_mm=19.0,
        kind=board.kind,
        woods=board.woods,
        patches=(odd,),
        outline=board.outline,
    )
    sound = soundness(renamed, SPECIES, element_mm=20.0)
    root = ElementTree.fromstring(moved_svg(renamed, sound, season=0, colours=COLOURS))
    assert any(t.text == 'patch <b>&"' for t in root.iter(f"{SVG}title"))


def test_through_lines_are_numbered_and_drawn_by_what_they_meet(
    case: tuple[Drawing, Soundness],
) -> None:
    board, sound = case
    assert sound.through
    root = ElementTree.fromstring(through_svg(board, sound.through, colours=COLOURS))
    groups = [g for g in root.iter(f"{SVG}g") if g.find(f"{SVG}title") is not None]
    assert len(groups) == len(sound.through)
    for group, line in zip(reversed(groups), sound.through, strict=True):
        assert len(list(group.iter(f"{SVG}path"))) == 2 * len(line.stretches)
    empty = through_svg(board, (), colours=COLOURS)
    assert "no through line found" in empty
