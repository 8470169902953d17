"""Blocks from SVG drawings: closed straight shapes only."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seamwright import design
from seamwright.design.svg import block_from_svg
from seamwright.errors import DesignError
from seamwright.geometry import area, bounds

HEAD = """
unit = "in"
thickness = 1
woods = { A = "sugar maple", B = "black walnut" }
[block.leaf]
drawing = "leaf.svg"
"""


def svg(body, attributes='width="2in" viewBox="0 0 20 20"'):
    return f'<svg xmlns="http://www.w3.org/2000/svg" {attributes}>{body}</svg>'


LEAF = svg(
    """
    <!-- a leaf -->
    <title>leaf</title>
    <g fill="#e8d2ac">
      <polygon points="0,0 10,0 0,10"/>
      <path d="M 20 0 h -10 l 10,10 z M20,20 V10 L10,20 Z"/>
      <path d="m0 20 10 0 -10 -10z"/>
    </g>
    <g transform="translate(10 0) rotate(45)" style="stroke:none; fill: #5b3c2a">
      <rect width="14.142135623731" height="14.142135623731"/>
    </g>
    """
)


def read(text, drawing):
    return design.read(text, name="test", drawing_text=lambda name: drawing)


def refusal(drawing, text=HEAD):
    with pytest.raises(DesignError) as caught:
        read(text, drawing)
    return str(caught.value)


def test_a_drawing_makes_a_block():
    text = HEAD + 'letters = { "#e8d2ac" = "A", "#5b3c2a" = "B" }\n'
    drawing = read(text, LEAF)
    assert sorted(patch.wood for patch in drawing.patches) == ["A", "A", "A", "A", "B"]
    assert bounds(drawing.outline) == pytest.approx((0.0, 0.0, 50.8, 50.8))
    areas = {patch.wood: area(patch.points) / 25.4**2 for patch in drawing.patches}
    assert areas == pytest.approx({"A": 0.5, "B": 2.0})
    top_left = next(p for p in drawing.patches if p.name == "1")
    assert {tuple(round(v, 6) for v in p) for p in top_left.points} == {
        (0.0, 50.8), (25.4, 50.8), (0.0, 25.4),
    }  # fmt: skip


def test_a_size_overrules_the_drawing():
    text = HEAD + 'size = "3"\ngrain = "across"\nletters = { "#e8d2ac" = "A", "#5b3c2a" = "B" }\n'
    drawing = read(text, LEAF)
    assert bounds(drawing.outline) == pytest.approx((0.0, 0.0, 76.2, 76.2))
    assert {patch.grain_deg for patch in drawing.patches} == {0.0}


def test_wood_by_attribute():
    drawing = read(HEAD, svg('<rect width="5" height="5" fill="red" data-wood="B"/>'))
    assert [patch.wood for patch in drawing.patches] == ["B"]
    assert bounds(drawing.outline) == pytest.approx((0.0, 0.0, 12.7, 12.7))


REFUSED = [
    ('<path id="stem" data-wood="A" d="M0 0 C 1 1 2 2 3 3 Z"/>',
     'shape 1 (path "stem") of leaf.svg has a curve (C): straight closed shapes are read'),
    ('<path data-wood="A" d="M0 0 H5 a 3 3 0 0 1 2 2 Z"/>', "has an arc (a)"),
    ('<path data-wood="A" d="M0 0 H5 V5"/>', "is not closed"),
    ('<polyline data-wood="A" points="0,0 5,0 5,5"/>', "is not closed"),
    ('<circle data-wood="A" r="5"/>', "is a circle, which is no closed straight shape"),
    ('<rect data-wood="A" rx="1" width="5" height="5"/>', "has rounded corners"),
    ('<text>hello</text>', "is a text, which is no closed straight shape"),
    ('<rect width="5" height="5"/>', 'says no wood: give it data-wood="A", or a fill'),
    ('<rect width="5" height="5" fill="none"/>', "says no wood"),
    ('<rect data-wood="A" width="5" height="x"/>', "has numbers that cannot be read"),
    ('<polygon data-wood="A" points="0,0 5,0 5"/>', "has numbers that cannot be read"),
    ('<path data-wood="A" d="M0 0 L5 Z"/>', "has numbers that cannot be read"),
    ('<path data-wood="A" d="0 0 L5 5 Z"/>', "has numbers that cannot be read"),
    ('<path data-wood="A" d="M0 0 X5 5 Z"/>', "has numbers that cannot be read"),
    ('<path data-wood="A" d="M0 0 L5 5 §"/>', "has numbers that cannot be read"),
    ('<polygon data-wood="A" points="0,0 1e9,0 5,5"/>', "has numbers that cannot be read"),
    ('<g transform="spin(3)"/>', "has a transform that cannot be read"),
    ('<g transform="rotate(1"/>', "has a transform that cannot be read"),
    ("<defs><rect width='1' height='1'/></defs>", "holds no closed shape"),
    ('<rect data-wood="A" width="0" height="5"/>', "holds no closed shape"),
]  # fmt: skip


@pytest.mark.parametrize(("body", "message"), REFUSED)
def test_the_place_is_named(body, message):
    assert message in refusal(svg(body))


def test_what_is_no_svg():
    assert "is not SVG: syntax error in its line 1" in refusal("hello")
    assert "is not SVG but <html>" in refusal("<html/>")
    assert "document type" in refusal('<!DOCTYPE svg [<!ENTITY a "b">]><svg/>')
    body = '<rect data-wood="A" width="5" height="5"/>'
    assert "says no real size" in refusal(svg(body, 'viewBox="0 0 5 5"'))
    assert "says no real size" in refusal(svg(body, 'width="5" viewBox="0 0 5 5"'))
    with pytest.raises(DesignError, match="drawings cannot be read from here"):
        design.read(HEAD, name="test")


def test_transforms_by_hand():
    moved = {
        "translate(3)": (3, 0, 5, 1),
        "translate(3 4)": (3, 4, 5, 5),
        "scale(2)": (0, 0, 4, 2),
        "scale(2,3)": (0, 0, 4, 3),
        "rotate(90)": (-1, 0, 0, 2),
        "rotate(90, 1, 1)": (1, 0, 2, 2),
        "matrix(0 1 -1 0 5 5)": (4, 5, 5, 7),
        "skewX(45)": (0, 0, 3, 1),
        "skewY(45)": (0, 0, 2, 3),
        "translate(1 1) scale(2)": (1, 1, 5, 3),
    }
    anchor = '<rect data-wood="A" x="-9" y="-9" width="1" height="1"/>'
    for transform, box in moved.items():
        shape = f'<rect data-wood="B" transform="{transform}" width="2" height="1"/>'
        block = block_from_svg(svg(anchor + shape), name="x").block
        piece = next(piece for piece in block.pieces if piece.wood == "B")
        x0, y0, x1, y1 = bounds(piece.points)
        height = float(block.height_mm)
        assert (x0 - 9, height - y1 - 9, x1 - 9, height - y0 - 9) == pytest.approx(box)


def test_very_deep_groups():
    block = block_from_svg(
        svg("<g>" * 5000 + '<rect data-wood="A" width="2" height="2"/>' + "</g>" * 5000), name="x"
    ).block
    assert len(block.pieces) == 1


@given(
    st.sampled_from([LEAF, svg('<path data-wood="A" d="M0 0 5 0 5 5z"/>')]),
    st.data(),
)
@settings(max_examples=150, deadline=None)
def test_mutated_drawings(drawing, data):
    at = data.draw(st.integers(0, len(drawing)))
    new = data.draw(st.text("<>/\"'= .,0123456789eMLHVZmlhvzCA-rotatescle()&;#", max_size=5))
    drawing = drawing[:at] + new + drawing[at + data.draw(st.integers(0, 6)) :]
    try:
        block = block_from_svg(drawing, name="x").block
    except DesignError:
        return
    assert block.pieces
    assert block.width_mm > 0
