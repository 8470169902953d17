"""What must hold of any drawing that was freed by added seams; checked with shapely."""

from __future__ import annotations

import pytest
from shapely import LineString
from shapely import Polygon as Shape

from seamwright.geometry import SLIVER_MM, Polygon, area
from seamwright.seams import Freed, splits, supporting_lines


def assert_frees(rings: list[Polygon], freed: Freed) -> None:
    assert splits(freed.cells)
    assert len(freed.cells) == len(freed.origin) == len(rings) + len(freed.added)
    for number, ring in enumerate(rings):
        parts = [
            Shape(cell)
            for cell, origin in zip(freed.cells, freed.origin, strict=True)
            if origin == number
        ]
        assert sum(part.area for part in parts) == pytest.approx(area(ring), rel=1e-9)
        assert all(Shape(ring).buffer(1e-6).covers(part) for part in parts)
        for i, part in enumerate(parts):
            assert all(part.intersection(other).area < 1e-6 for other in parts[:i])
        cuts = [seam for seam in freed.added if seam.cell == number]
        assert len(parts) == len(cuts) + 1
        whole = Shape(ring)
        for seam in cuts:
            line = LineString([seam.start, seam.end])
            assert line.length >= SLIVER_MM
            assert whole.buffer(1e-6).contains(line)
            assert whole.boundary.intersection(line).length < 1e-6, "it runs through the inside"
    carriers = supporting_lines(rings)
    for seam in freed.added:
        assert any(
            abs(entry.line.side(seam.start)) < 1e-4 and abs(entry.line.side(seam.end)) < 1e-4
            for entry in carriers
        ), "an added seam carries on along one that is drawn"
