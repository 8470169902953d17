"""Blocks cut out, kept and set in rows: the board drawn is the one asked for, or it is refused."""

from __future__ import annotations

import itertools
from dataclasses import replace
from fractions import Fraction

import pytest

from seamwright.app import redrawing
from seamwright.app.beginning import Blocks, Sheet, from_blocks
from seamwright.app.own_blocks import cut_out, sized
from seamwright.app.rows import (
    Edging,
    alone,
    counted,
    in_rows,
    one_block,
    placed,
    setting_of,
    turned,
    with_block,
)
from seamwright.design import Drawing, Unit, demo, known_blocks, read
from seamwright.errors import DesignError
from seamwright.geometry import area, bounds

SHEET = Sheet(
    title="Bench top",
    unit=Unit.MM,
    thickness="20",
    woods=("sugar maple", "black walnut", "black cherry"),
)
TEXT = from_blocks(SHEET, Blocks(first="sawtooth star", size="120", across=2, down=2))


def seen(text: str) -> set[tuple[frozenset[tuple[float, float]], str, float]]:
    """What lies where, whatever the patches are called."""
    return {
        (frozenset((round(x, 4), round(y, 4)) for x, y in p.points), p.wood, p.grain_deg)
        for p in read(text, name="n").patches
    }


def a_block(drawing: Drawing) -> list[str]:
    return [p.name for p in drawing.patches if p.name.startswith("A1·")]


@pytest.mark.parametrize("turns", list(itertools.product(["90", "m"], repeat=3)))
def test_a_word_of_turns_is_the_turns_one_after_another(turns: tuple[str, ...]) -> None:
    word = "first"
    for turn in turns:
        word = turned(word, turn)
    by_hand = "first" + "".join(f"~{turn}" for turn in turns)
    text = TEXT.replace("sawtooth star", "log cabin")
    assert seen(alone(text, word)) == seen(alone(text, by_hand))


def test_one_place_is_set_and_the_others_stay() -> None:
    setting = setting_of(TEXT)
    assert setting is not None
    after = setting_of(in_rows(TEXT, placed(setting, 1, 0, "first~90")))
    assert after is not None
    assert after.rows == (("first", "first"), ("first~90", "first"))


def test_more_places_repeat_the_pattern() -> None:
    setting = setting_of(TEXT.replace("first first\nfirst first", "first first~90\nfirst~m first"))
    assert setting is not None
    assert counted(setting, 3, 3).rows[2] == ("first", "first~90", "first")
    assert counted(setting, 1, 1).rows == (("first",),)


def test_strips_stones_and_borders_have_the_size_typed() -> None:
    setting = setting_of(TEXT)
    assert setting is not None
    text = in_rows(
        TEXT,
        replace(
            setting,
            sashing=Edging(wood="B", width="10", stones="C"),
            borders=(Edging(wood="A", width="15"), Edging(wood="C", width="5", sides="left right")),
        ),
    )
    drawing = read(text, name="n")
    assert bounds(drawing.outline) == (0.0, 0.0, 290.0, 280.0)
    stones = [p for p in drawing.patches if p.name.startswith("stone")]
    assert [(p.wood, area(p.points)) for p in stones] == [("C", 100.0)]
    again = setting_of(text)
    assert again is not None
    assert again.borders[1].sides == "left right"
    assert in_rows(text, again) == text


def test_what_the_strips_do_not_name_is_kept() -> None:
    setting = setting_of(demo())
    assert setting is not None
    assert seen(in_rows(demo(), setting)) == seen(demo())


def test_a_selection_becomes_a_block_that_can_be_set_at_any_size() -> None:
    drawing = read(TEXT, name="n")
    kept = cut_out(drawing, a_block(drawing), "hearth-star")
    assert len(read(kept, name="k").patches) == len(a_block(drawing))
    table = sized(kept, "60", Unit.MM)
    text = with_block(TEXT, "hearth-star", table)
    small = read(alone(text, "hearth-star"), name="n")
    assert bounds(small.outline) == (0.0, 0.0, 60.0, 60.0)


def test_a_block_of_ones_own_is_turned_and_its_grain_stays() -> None:
    drawing = read(TEXT, name="n")
    kept = cut_out(drawing, a_block(drawing), "own")
    text = from_blocks(SHEET, Blocks(first="own", size="120", across=1, down=1), {"own": kept})
    known = from_blocks(SHEET, Blocks(first="sawtooth star", size="120", across=1, down=1))
    assert seen(alone(text, "first~90")) == seen(alone(known, "first~90"))


@pytest.mark.parametrize("taken", [slice(1, None), slice(0, 0), slice(0, 3)])
def test_no_rectangle_no_block(taken: slice) -> None:
    drawing = read(TEXT, name="n")
    with pytest.raises(DesignError, match=r"rectangle|no patches"):
        cut_out(drawing, a_block(drawing)[taken], "own")


@pytest.mark.parametrize("name", ["sawtooth star", "card trick", "tumbling blocks"])
def test_a_board_drawn_by_hand_becomes_one_block(name: str) -> None:
    assert name in known_blocks()
    start = from_blocks(SHEET, Blocks(first=name, size="150", across=2, down=1, border="12"))
    drawn = redrawing.turn_grain(read(start, name="n"), ["left 1"], 0.0)
    text = one_block(drawn, "whole")
    assert setting_of(text) is not None
    assert {(a, w, g) for a, w, g in seen(text)} == {
        (frozenset((round(x, 4), round(y, 4)) for x, y in p.points), p.wood, p.grain_deg)
        for p in drawn.patches
    }


def test_a_block_that_fits_no_row_is_refused_and_rows_are_counted() -> None:
    setting = setting_of(TEXT)
    assert setting is not None
    text = with_block(TEXT, "small", {"from": "four patch", "size": "50"})
    with pytest.raises(DesignError, match="one height"):
        in_rows(text, placed(setting, 0, 0, "small"))
    with pytest.raises(DesignError, match="1 to 20"):
        counted(setting, 21, 1)
    with pytest.raises(DesignError, match="not on this board"):
        placed(setting, 7, 0, "first")


def test_cornerstones_from_the_start() -> None:
    blocks = Blocks(first="pinwheel", size="80", across=2, down=2, sashing="9", stones=True)
    drawing = read(from_blocks(SHEET, blocks), name="n")
    assert Fraction(sum(p.name.startswith("stone") for p in drawing.patches)) == 1


@pytest.mark.parametrize(
    "backing",
    ['panel = "birch plywood"', 'wood = "A"\ngrain = 22.5'],
)
def test_one_block_of_an_overlay_keeps_its_backing(backing: str) -> None:
    drawing = read(
        f"""
        unit = "mm"
        kind = "overlay"
        thickness = 3
        woods = {{ A = "pear", B = "bog oak" }}
        [backing]
        {backing}
        thickness = 12
        [block.one]
        from = "pinwheel"
        size = 150
        """,
        name="face",
    )
    again = read(one_block(drawing, "one"), name="again")
    assert again.backing == drawing.backing
