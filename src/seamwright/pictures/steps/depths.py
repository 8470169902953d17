"""Resawing and planing: the part seen from its lower edge, depth upwards."""

from __future__ import annotations

from seamwright.geometry import Polygon
from seamwright.pictures.dimensions import SMALL_MM, dimension, sign
from seamwright.pictures.looks import CHALK, INK, PAPER, QUIET
from seamwright.pictures.primitives import Ink, Item, Path, Picture, Text, framed
from seamwright.pictures.solids import Solid
from seamwright.pictures.steps.easel import Easel, kerf, size_of, waste
from seamwright.plan import Resaw, Surface


def resaw_picture(step: Resaw, easel: Easel) -> Picture:
    """A billet from its edge with the saw cuts between the leaves."""
    billet, leaf = easel.solids[step.takes], easel.solids[step.makes]
    depth, kerf_mm = billet.depth_mm, easel.saws.resaw_kerf_mm
    long = min(easel.width_mm - 60.0, 110.0)
    scale = min((easel.height_mm - 26.0) / depth, 1.4)
    items = _edge_view(billet, easel, long, depth * scale)
    y = 0.0
    for place in range(step.leaves):
        low, high = y * scale, (y + leaf.depth_mm) * scale
        items.append(sign((long * 0.72, (low + high) / 2.0), f"{step.makes} · {place + 1}"))
        y += leaf.depth_mm + kerf_mm
        if place < step.leaves - 1:
            items.append(kerf(_strip(long, high, high + kerf_mm * scale)))
    items += _slant(long, depth * scale)
    ruler = easel.ruler
    items += dimension(
        (0.0, 0.0), (0.0, leaf.depth_mm * scale), size_mm=leaf.depth_mm, ruler=ruler, offset_mm=5.0
    )
    items += dimension(
        (long, depth * scale), (long, 0.0), size_mm=depth, ruler=ruler, offset_mm=5.0, big_mm=3.6
    )
    title = f"{step.takes} seen from its edge, sawn into {step.leaves} leaves {step.makes}"
    return framed(items, title=title)


def surface_picture(step: Surface, easel: Easel) -> Picture:
    """A part from its edge: what the planer takes off each face, and what is left."""
    taken = easel.solids[step.takes]
    long = min(easel.width_mm - 60.0, 110.0)
    scale = min((easel.height_mm - 26.0) / taken.depth_mm, 1.2)
    off = (taken.depth_mm - step.depth_mm) / 2.0
    shown = max(off * scale, 0.8)
    high = step.depth_mm * scale
    items = _edge_view(taken, easel, long, high)
    for low in (-shown, high):
        items += waste(_strip(long, low, low + shown))
    items.append(
        Text(
            at=(long / 2.0, high + shown + 3.4),
            text=f"show face: take off about {easel.ruler.both(off)}",
            size_mm=SMALL_MM,
            colour=INK,
        )
    )
    items.append(
        Text(
            at=(long / 2.0, -shown - 3.4),
            text=f"back: take off about {easel.ruler.both(off)}",
            size_mm=SMALL_MM,
            colour=INK,
        )
    )
    items += dimension(
        (0.0, 0.0), (0.0, high), size_mm=step.depth_mm, ruler=easel.ruler, offset_mm=5.0
    )
    title = f"{step.takes} seen from its edge, planed to {easel.ruler.both(step.depth_mm)}"
    return framed(items, title=title)


def _strip(long: float, low: float, high: float) -> Polygon:
    return ((0.0, low), (long, low), (long, high), (0.0, high))


def _edge_view(solid: Solid, easel: Easel, long: float, high: float) -> list[Item]:
    """A part from its lower edge."""
    wide, _ = size_of(solid)
    left = min(x for piece in solid.pieces for x, _ in piece.points)
    items: list[Item] = [Path(points=_strip(long, 0.0, high), closed=True, ink=Ink(fill="#eeeae0"))]
    # far pieces first, so that the edge nearest to the viewer stays on top
    for piece in sorted(solid.pieces, key=lambda p: -min(y for _, y in p.points)):
        across = [(x - left) * long / wide for x, _ in piece.points]
        a, b = min(across), max(across)
        shape = ((a, 0.0), (b, 0.0), (b, high), (a, high))
        ink = Ink(fill=easel.looks[piece.wood].fill, line=QUIET, width_mm=0.15)
        items.append(Path(points=shape, closed=True, ink=ink))
    items.append(Path(points=_strip(long, 0.0, high), closed=True, ink=Ink(line=INK, width_mm=0.3)))
    return items


def _slant(long: float, high: float) -> list[Item]:
    """A slanted chalk line over the edge: leaves laid back in order show it whole again."""
    ink = Ink(line=CHALK, width_mm=0.5)
    halo = Ink(line=PAPER, width_mm=1.1)
    points = ((long * 0.12, 0.0), (long * 0.45, high))
    return [Path(points=points, ink=halo), Path(points=points, ink=ink)]
