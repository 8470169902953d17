"""Drawings edited patch by patch, and a shop without limits on small pieces."""

from __future__ import annotations

from dataclasses import replace

from seamwright.app.redrawing import lay_seam
from seamwright.design import Drawing, settle
from seamwright.errors import DesignError
from seamwright.plan import Shop, default_shop


def open_shop() -> Shop:
    shop = default_shop()
    limits = replace(
        shop.limits, stick_min_width_mm=1.0, slice_min_mm=1.0, part_min_mm=1.0,
        stick_length_mm=1e5, clamp_reach_mm=1e5,
    )  # fmt: skip
    return replace(shop, limits=limits)


def edited(drawing: Drawing, number: int, what: int) -> Drawing:
    """One patch with another wood, or another grain, or a seam through it where one can be laid."""
    patches = list(drawing.patches)
    patch = patches[number % len(patches)]
    if what == 4:
        (ax, ay), (bx, by), *_, (dx, dy) = patch.points
        try:
            return lay_seam(drawing, ((ax + bx) / 2, (ay + by) / 2), ((ax + dx) / 2, (ay + dy) / 2))
        except DesignError:
            return drawing
    if what == 3:
        patch = replace(patch, grain_deg=(patch.grain_deg + 90.0) % 180.0)
    else:
        patch = replace(patch, wood="ABC"[what])
    patches[number % len(patches)] = patch
    return settle(replace(drawing, patches=tuple(patches)))
