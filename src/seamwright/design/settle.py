"""An edited drawing made sound without going through its file.

Most of an edited drawing is what it was before the edit. So what is known of each outline, and of
each two that meet, is kept, and only what is new is looked at. Whatever is not plainly in order is
left to the reader of design files, which says what is wrong with it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

import numpy as np
import shapely

from seamwright.design.check import AREA_MM2
from seamwright.design.fields import LARGEST_MM, MOST_POINTS, SMALLEST_MM
from seamwright.design.grids import MOST_PATCHES
from seamwright.design.model import Drawing, Patch
from seamwright.design.reader import MOST_COPIES, THICKEST_MM, read
from seamwright.design.weld import welded
from seamwright.design.write import write
from seamwright.geometry import (
    SLIVER_MM,
    Polygon,
    area,
    bounds,
    distance,
    signed_area,
    snap,
    snap_point,
)

_KEPT = 1 << 14
"""Outlines that are remembered: those of a dozen large boards."""


_LEAST_DEG = 1e-3
"""Smaller angles have more digits than a design file takes."""


def settle(drawing: Drawing) -> Drawing:
    """The drawing written and read back, so that every rule of the design file holds.

    Raises:
        DesignError: it breaks one.
    """
    return _in_order(drawing) or read(write(drawing), name=drawing.title)


def _in_order(drawing: Drawing) -> Drawing | None:
    """The drawing as its file would give it back; None where that is not plain to see."""
    if not _words_fit(drawing) or not _sizes_fit(drawing):
        return None
    around = _sound(drawing.outline, tuple(patch.points for patch in drawing.patches))
    if around is None:
        return None
    outline, *rings = around
    patches = tuple(
        patch if patch.points == ring else replace(patch, points=ring)
        for patch, ring in zip(drawing.patches, rings, strict=True)
    )
    thickness = snap(drawing.thickness_mm)
    return replace(drawing, patches=patches, outline=outline, thickness_mm=thickness)


@lru_cache(maxsize=16)
def _sound(outline: Polygon, rings: tuple[Polygon, ...]) -> tuple[Polygon, ...] | None:
    """Outline and patches welded; None where they do not tile. Many edits change no shape."""
    outline, *welded_rings = welded([outline, *rings])
    return (outline, *welded_rings) if _tiles(welded_rings, outline) else None


def _words_fit(drawing: Drawing) -> bool:
    letters = dict(drawing.woods)
    names = {patch.name for patch in drawing.patches}
    return (
        len(letters) == len(drawing.woods)
        and len(names) == len(drawing.patches)
        and _is_label(drawing.title, most=120)
        and all(_is_label(wood, most=60) for wood in letters.values())
        and all(_is_label(name, most=40) for name in names)
        and {patch.wood for patch in drawing.patches} <= set(letters)
    )


def _is_label(text: str, *, most: int) -> bool:
    return 0 < len(text) <= most and text.isprintable() and " ".join(text.split()) == text


def _sizes_fit(drawing: Drawing) -> bool:
    return (
        SMALLEST_MM <= snap(drawing.thickness_mm) <= THICKEST_MM
        and 1 <= drawing.copies <= MOST_COPIES
        and 0 < len(drawing.patches) <= MOST_PATCHES
        and _is_upright(drawing.outline)
        and all(map(_is_near, drawing.patches))
    )


def _is_upright(ring: Polygon) -> bool:
    """Whether a ring is an upright rectangle, anticlockwise."""
    if len(set(ring)) != 4 or len(ring) != 4:
        return False
    x0, y0, x1, y1 = bounds(ring)
    return all(x in (x0, x1) and y in (y0, y1) for x, y in ring) and signed_area(ring) > 0.0


@lru_cache(maxsize=_KEPT)
def _is_near(patch: Patch) -> bool:
    """Whether a patch lies within reach, on the lattice, and can be written as it is."""
    reach = float(LARGEST_MM)
    return (
        3 <= len(patch.points) <= MOST_POINTS
        and signed_area(patch.points) > 0.0
        and all(abs(x) <= reach and abs(y) <= reach for x, y in patch.points)
        and all(snap_point(p) == p for p in patch.points)
        and (patch.grain_deg == 0.0 or _LEAST_DEG <= patch.grain_deg < 180.0)
    )


def _tiles(rings: Sequence[Polygon], outline: Polygon) -> bool:
    """Whether sound outlines cover the board's without overlap, as ``check_patches`` asks."""
    if not all(map(_is_sound, rings)):
        return False
    shapes = np.array([_shape(ring) for ring in rings])
    board = shapely.Polygon(outline)
    if abs(float(shapely.area(shapes).sum()) - board.area) > AREA_MM2:
        return False
    if not board.covers(shapely.box(*shapely.total_bounds(shapes))):
        return False
    first, second = shapely.STRtree(shapes).query(shapes)
    return all(
        _are_apart(rings[a], rings[b])
        for a, b in zip(first.tolist(), second.tolist(), strict=True)
        if a < b
    )


@lru_cache(maxsize=_KEPT)
def _is_sound(ring: Polygon) -> bool:
    """Whether one outline by itself is plainly as ``check_patches`` asks."""
    if len(ring) < 3:
        return False
    lengths = [distance(a, b) for a, b in zip(ring, ring[1:] + ring[:1], strict=True)]
    return (
        min(lengths) >= SLIVER_MM
        and area(ring) > SLIVER_MM / 2.0 * sum(lengths)
        and bool(shapely.is_valid(_shape(ring)))
    )


@lru_cache(maxsize=_KEPT)
def _shape(ring: Polygon) -> shapely.Polygon:
    return shapely.Polygon(ring)


@lru_cache(maxsize=4 * _KEPT)
def _are_apart(a: Polygon, b: Polygon) -> bool:
    """Whether two outlines share no more than rounding."""
    return bool(shapely.area(shapely.intersection(_shape(a), _shape(b))) <= AREA_MM2)
