"""A sound plan turned by 45° was refused: a general polygon overlay found 2197 mm² in common where
both outlines have 2000 mm². The two outlines differ in the last bits only.

The bench now clips convex pieces itself. The numbers are those of the failing case.
"""

from __future__ import annotations

import pytest

from seamwright.bench.touching import common_area

DRAWN = (
    (-5.97716981445369, 22.307101433008214),
    (29.37816924487369, 57.66244049233559),
    (17.423829615966312, 102.27664335835202),
    (-17.93150944336107, 66.92130429902464),
)
MADE = (
    (-5.97716981445369, 22.307101433008214),
    (29.37816924487369, 57.66244049233559),
    (17.423829615966326, 102.27664335835203),
    (-17.931509443361097, 66.92130429902461),
)


def test_near_equal_outlines_share_their_area() -> None:
    assert common_area(DRAWN, MADE) == pytest.approx(2000.0, abs=1e-9)
    assert common_area(MADE, DRAWN) == pytest.approx(2000.0, abs=1e-9)
