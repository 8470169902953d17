"""The 31 traditional blocks against facts taken patch by patch from a reference set.

Source of ``data/block_patches.csv``: geometries of traditional blocks gathered beforehand by
others and checked there for area, overlap and fill (common property of the trade); letter, number
of corners, area and centre of every patch, y downwards.
"""

import csv
import math
from collections import defaultdict
from pathlib import Path

import pytest

from seamwright.design import known_blocks
from seamwright.design.library import known_block
from seamwright.geometry import area, centroid

TEXT = (Path(__file__).parent / "data" / "block_patches.csv").read_text(encoding="utf-8")
ROWS = list(csv.DictReader(TEXT.splitlines()))
FACTS = defaultdict(list)
for row in ROWS:
    FACTS[row["block"]].append(row)


def test_all_of_them_and_no_other():
    assert known_blocks() == tuple(sorted(FACTS))
    assert len(known_blocks()) == 31


@pytest.mark.parametrize("name", FACTS)
def test_patch_by_patch(name):
    block, facts = known_block(name), FACTS[name]
    assert float(block.width_mm) == pytest.approx(float(facts[0]["grid_w"]), rel=1e-8)
    assert float(block.height_mm) == pytest.approx(float(facts[0]["grid_h"]), rel=1e-8)
    assert len(block.pieces) == len(facts)
    wanted = sorted(
        (
            fact["fabric"],
            int(fact["corners"]),
            round(float(fact["centre_x"]), 3),
            round(float(block.height_mm) - float(fact["centre_y_down"]), 3),
            round(float(fact["area"]), 4),
        )
        for fact in facts
    )
    ours = sorted(
        (
            piece.wood,
            len(piece.points),
            *(round(value, 3) for value in centroid(piece.points)),
            round(area(piece.points), 4),
        )
        for piece in block.pieces
    )
    for mine, theirs in zip(ours, wanted, strict=True):
        assert mine[:2] == theirs[:2]
        assert mine[2:] == pytest.approx(theirs[2:], abs=2e-3)


def test_the_star_of_eight_diamonds_by_formula():
    """Eight diamonds of side 1 and 45°, four squares of side 1, four half squares on a side √2."""
    block = known_block("lemoyne star")
    root = math.sqrt(0.5)
    assert float(block.width_mm) == pytest.approx(2.0 + 2.0 * root, abs=1e-9)
    areas = sorted(area(piece.points) for piece in block.pieces)
    assert areas == pytest.approx([0.5] * 4 + [root] * 8 + [1.0] * 4, abs=1e-8)
    values = {0.0, root, 1.0, 1.0 + root, 1.0 + 2.0 * root, 2.0 + root, 2.0 + 2.0 * root}
    for piece in block.pieces:
        for value in (v for point in piece.points for v in point):
            assert min(abs(value - exact) for exact in values) <= 1e-9


def test_the_cubes_by_formula():
    """Diamonds of side 1 and 60°, some cut by the block's edge; heights are multiples of √3/2."""
    block = known_block("tumbling blocks")
    half = math.sqrt(0.75)
    assert (float(block.width_mm), float(block.height_mm)) == pytest.approx((2.0 * half, 3.0))
    for piece in block.pieces:
        for x, y in piece.points:
            assert min(abs(x - k * half) for k in range(3)) <= 1e-9
            assert y * 2.0 == round(y * 2.0)
    whole = [area(p.points) for p in block.pieces if len(p.points) == 4]
    assert max(whole) == pytest.approx(half)
    assert sum(area(p.points) for p in block.pieces) == pytest.approx(6.0 * half)
