"""The page on design files: its examples are read, its list of blocks is complete."""

import re
from pathlib import Path

import pytest

from seamwright import design
from seamwright.design import fields, grids, layout, reader, source

PAGE = (Path(__file__).parents[2] / "docs" / "reference" / "design-file.md").read_text("utf-8")
EXAMPLES = re.findall(r"```toml( \w+)?\n(.*?)```", PAGE, re.DOTALL)
HEAD = next(text for kind, text in EXAMPLES if kind == " head")
LEAF = (
    '<svg xmlns="http://www.w3.org/2000/svg"><rect width="2" height="3" fill="#e8d2ac"/>'
    '<path d="M2 0h2v3h-2z" fill="#5b3c2a"/></svg>'
)


@pytest.mark.parametrize("number", [n for n, (kind, _) in enumerate(EXAMPLES) if kind != " head"])
def test_examples_are_sound(number):
    text = EXAMPLES[number][1]
    whole = text if "unit =" in text else HEAD + text
    drawing = design.read(whole, name="example", drawing_text=lambda name: LEAF)
    assert drawing.patches
    assert design.read(design.write(drawing), name="again") == drawing


def test_there_are_examples():
    assert len(EXAMPLES) >= 8


def test_every_known_block_is_listed():
    listed = PAGE.partition("<!-- blocks -->")[2].partition("<!-- end -->")[0]
    names = [" ".join(name.split()) for name in listed.strip().rstrip(".").split(",")]
    assert tuple(names) == design.known_blocks()


def test_limits_are_as_written():
    limits = PAGE.replace(",", "")
    assert f"{grids.MOST_PATCHES} patches" in limits
    assert f"{reader.MOST_BLOCKS} blocks" in limits
    assert f"{fields.MOST_POINTS} corners" in limits
    assert f"{layout.MOST_BORDERS} borders" in limits
    assert f"1 to {reader.MOST_COPIES}" in limits
    assert f"{source.LARGEST_FILE // 10**6} million characters" in limits


def test_every_key_is_explained():
    for key in (*reader.KEYS, "columns", "rows", "cells", "letters", "size", "from", "drawing"):
        assert re.search(rf"`\[*{key}\]*`|^\[{key}|^{key} =", PAGE, re.MULTILINE), key
