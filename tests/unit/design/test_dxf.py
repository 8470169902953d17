"""Straight closed outlines of a DXF become patches; all else in it is named."""

from __future__ import annotations

import io
from collections.abc import Callable

import ezdxf
import pytest
from ezdxf.layouts import Modelspace

from seamwright.app import read_design
from seamwright.app.beginning import Sheet, from_file
from seamwright.design import Unit, block_from_dxf, demo, read
from seamwright.errors import DesignError
from seamwright.geometry import area
from seamwright.papers.dxf import board_dxf

SHEET = Sheet(title="n", unit=Unit.MM, thickness="20", woods=("sugar maple", "black walnut", "oak"))


def drawn(draw: Callable[[Modelspace], object], *, unit: int = 4) -> str:
    document = ezdxf.new("R2010", units=unit)
    draw(document.modelspace())
    out = io.StringIO()
    document.write(out)
    return out.getvalue()


def square(space: Modelspace, x: float, layer: str, **more: object) -> None:
    ring = [(x, 0), (x + 40, 0), (x + 40, 40), (x, 40)]
    space.add_lwpolyline(ring, close=True, dxfattribs={"layer": layer, **more})


def two(space: Modelspace) -> None:
    square(space, 100, "pale")
    square(space, 140, "dark")
    space.add_text("passed over")


def test_closed_polylines_by_layer() -> None:
    made = block_from_dxf(drawn(two), name="two.dxf")
    assert [piece.wood for piece in made.block.pieces] == ["pale", "dark"]
    assert made.real_size == (80, 40)


@pytest.mark.parametrize(("unit", "width"), [(1, 80 * 25.4), (4, 80), (5, 800), (0, None)])
def test_units_of_the_file(unit: int, width: float | None) -> None:
    made = block_from_dxf(drawn(two, unit=unit), name="two.dxf")
    assert (None if made.real_size is None else float(made.real_size[0])) == width


def test_layer_0_goes_by_colour() -> None:
    text = drawn(lambda space: (square(space, 0, "0", color=1), square(space, 40, "0", color=5)))
    assert {p.wood for p in block_from_dxf(text, name="n").block.pieces} == {"colour 1", "colour 5"}


def test_lines_enclose_areas() -> None:
    def grid(space: Modelspace) -> None:
        for at in (0, 30, 60):
            space.add_line((at, 0), (at, 60))
            space.add_line((0, at), (60, at))

    pieces = block_from_dxf(drawn(grid), name="n").block.pieces
    assert [area(piece.points) for piece in pieces] == [900.0] * 4


@pytest.mark.parametrize(
    ("add", "said"),
    [
        (lambda s: s.add_circle((7, 8), 5), "circle .* near 7, 8 is a circle"),
        (lambda s: s.add_arc((7, 8), 5, 0, 90), "is an arc"),
        (lambda s: s.add_spline([(1, 2), (3, 4), (5, 1)]), "near 1, 2 is a curve"),
        (lambda s: s.add_ellipse((7, 8), (5, 0), 0.5), "is an ellipse"),
        (
            lambda s: s.add_lwpolyline([(0, 0, 0, 0, 0.5), (9, 0), (9, 9)], close=True),
            "has a curved side",
        ),
        (lambda s: s.add_lwpolyline([(3, 4), (9, 0), (9, 9)]), "near 3, 4 is not closed"),
        (lambda s: s.add_line((3, 4), (9, 9)), "at 3, 4 encloses nothing"),
        (lambda s: s.add_text("nothing else"), "holds no closed outline"),
        (lambda s: s.add_blockref("b", (5, 6)), "is a copy of a group"),
    ],
)
def test_what_is_no_straight_outline_is_named(
    add: Callable[[Modelspace], object], said: str
) -> None:
    with pytest.raises(DesignError, match=said):
        block_from_dxf(drawn(add), name="n.dxf")


@pytest.mark.parametrize(
    "text", ["", "no drawing", "0\nSECTION\n2\nENTITIES\n0\nLINE\n", "\0" * 50]
)
def test_no_dxf_is_refused_in_words(text: str) -> None:
    with pytest.raises(DesignError):
        block_from_dxf(text, name="n.dxf")


def test_the_board_we_write_comes_back() -> None:
    demo_board = read(demo(), name="demo")
    text = board_dxf(demo_board).decode()
    assert len(block_from_dxf(text, name="own.dxf").block.pieces) == len(demo_board.patches)


def test_a_new_board_from_a_drawing() -> None:
    text = from_file(SHEET, "two.dxf", drawn(two).encode(), width="")
    board = read_design(text.encode(), name="n")
    assert [(p.wood, area(p.points)) for p in board.patches] == [("A", 1600.0), ("B", 1600.0)]


def test_a_design_file_names_a_drawing(tmp_path) -> None:
    (tmp_path / "two.dxf").write_text(drawn(two))
    design = (
        'unit = "mm"\nthickness = "20"\nwoods = { A = "oak", B = "ash" }\n[block.two]\n'
        'drawing = "two.dxf"\nletters = { pale = "A", dark = "B" }\n'
    )
    assert len(read_design(design.encode(), name="n", folder=tmp_path).patches) == 2
