"""Woods that meet are compared by lightness and by colour; the pictures are of this board."""

from __future__ import annotations

import io

import pytest
from PIL import Image

from seamwright.app.wood_view import pair_words, pairs, seen_svg, value_svg, wood_jpeg
from seamwright.design import Drawing, Unit, read
from seamwright.pictures import Ruler
from seamwright.pictures.timber import Age
from seamwright.pictures.values import Sight


def text(first: str, second: str) -> str:
    return (
        f'unit = "mm"\nthickness = "20"\nwoods = {{ A = "{first}", B = "{second}" }}\n'
        '[block.two]\ncolumns = "60 40"\nrows = "50"\ncells = "A B"\n'
    )


def board(first: str, second: str) -> Drawing:
    return read(text(first, second), name="n")


def test_pale_and_dark_wood_are_well_apart() -> None:
    (pair,) = pairs(board("sugar maple", "black walnut"))
    assert pair.woods == ("sugar maple", "black walnut")
    assert (pair.close, pair.mixed_up) == (False, ())
    assert pair.together_mm == pytest.approx(50.0)


def test_two_woods_of_one_lightness_are_named() -> None:
    (pair,) = pairs(board("red maple", "sugar maple"))
    assert pair.close
    assert Sight.FULL in pair.mixed_up
    assert "too close" in pair_words(pair, Ruler(unit=Unit.MM))


def test_one_wood_meets_nobody() -> None:
    one = board("ash", "ash").patches
    assert len(one) == 2
    alone = read(text("ash", "ash").replace("A B", "A A"), name="n")
    assert pairs(alone) == ()


def test_pictures() -> None:
    design = text("sugar maple", "purpleheart")
    new, aged = (Image.open(io.BytesIO(wood_jpeg(design, age))) for age in Age)
    assert new.size == (800, 400)
    assert new.tobytes() != aged.tobytes()
    greys = {part[:7] for part in value_svg(design).split('fill="')[1:] if part[0] == "#"}
    assert all(g[1:3] == g[3:5] == g[5:7] for g in greys - {"#22262b"})
    assert seen_svg(design, Sight.NO_GREEN) != seen_svg(design, Sight.FULL)
