"""Pieces of a block in the block's own frame, before they become patches of a board."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

import shapely

from seamwright.geometry import (
    ON_LINE_MM,
    WELD_MM,
    Motion,
    Polygon,
    anticlockwise,
    area,
    bounds,
    drop_collinear,
    snap_point,
)

CELL = re.compile(r"(\w{1,12})(?:([/\\])(\w{1,12}))?")
"""A cell of a grid: a wood, or two woods with a slanted seam between them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One patch of a block.

    Attributes:
        points: outline [mm], anticlockwise.
        wood: letter of its wood.
        grain_deg: its own grain [°], which turns with the block; None: the board's grain.
        place: what a fault calls it; on a board, its name.
        line: where it is drawn in the file, if known.
    """

    points: Polygon
    wood: str
    grain_deg: float | None = None
    place: str = ""
    line: int | None = None

    def moved(self, motion: Motion) -> Piece:
        """The piece after a rigid motion, its own grain carried along."""
        grain = None if self.grain_deg is None else motion.undirected_deg(self.grain_deg)
        points = tuple(snap_point(p) for p in motion.polygon(self.points))
        return replace(self, points=points, grain_deg=grain)

    def scaled(self, x_factor: float, y_factor: float) -> Piece:
        """The piece stretched from the origin; its own grain keeps its direction."""
        points = tuple(snap_point((x * x_factor, y * y_factor)) for x, y in self.points)
        return replace(self, points=points)


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A block: a rectangle tiled by pieces, numbered in this order.

    Attributes:
        width_mm, height_mm: size.
        pieces: in reading order.
    """

    width_mm: Fraction
    height_mm: Fraction
    pieces: tuple[Piece, ...]

    def turned(self, turn: str) -> Block:
        """The block turned anticlockwise by "90", "180", "270", or mirrored left to right: "m"."""
        width, height = float(self.width_mm), float(self.height_mm)
        motion, swapped = {
            "90": (Motion(turn_deg=90.0, x_mm=height), True),
            "180": (Motion(turn_deg=180.0, x_mm=width, y_mm=height), False),
            "270": (Motion(turn_deg=270.0, y_mm=width), True),
            "m": (Motion(turn_deg=180.0, over=True, x_mm=width), False),
        }[turn]
        size = (self.height_mm, self.width_mm) if swapped else (self.width_mm, self.height_mm)
        pieces = tuple(piece.moved(motion) for piece in self.pieces)
        return Block(width_mm=size[0], height_mm=size[1], pieces=pieces)

    def resized(self, width_mm: Fraction, height_mm: Fraction) -> Block:
        """The block stretched to a new size."""
        x, y = float(width_mm / self.width_mm), float(height_mm / self.height_mm)
        pieces = tuple(piece.scaled(x, y) for piece in self.pieces)
        return Block(width_mm=width_mm, height_mm=height_mm, pieces=pieces)


def cell_pieces(
    cell: re.Match[str],
    box: tuple[float, float, float, float],
    *,
    grain_deg: float | None,
    line: int | None,
) -> tuple[Piece, ...]:
    """The one or two pieces of a cell.

    Args:
        cell: as matched by ``CELL``.
        box: x_min, y_min, x_max, y_max [mm].
        grain_deg: own grain, or None.
        line: where the cell stands in the file, if known.
    """
    x0, y0, x1, y1 = box
    left, seam, right = cell[1], cell[2], cell[3]
    shapes: list[tuple[str, Polygon]]
    if seam is None:
        shapes = [(left, ((x0, y0), (x1, y0), (x1, y1), (x0, y1)))]
    elif seam == "/":
        shapes = [(left, ((x0, y0), (x1, y1), (x0, y1))), (right, ((x0, y0), (x1, y0), (x1, y1)))]
    else:
        shapes = [(left, ((x0, y0), (x1, y0), (x0, y1))), (right, ((x1, y0), (x1, y1), (x0, y1)))]
    return tuple(
        Piece(points=points, wood=wood, grain_deg=grain_deg, line=line) for wood, points in shapes
    )


class HoleError(ValueError):
    """A patch laid over a piece would leave a hole in it."""


def laid_over(pieces: Iterable[Piece], top: Piece) -> list[Piece]:
    """The pieces with one more laid over them: what it covers is cut away beneath it.

    Raises:
        HoleError: the new piece lies inside another, whose rest would have a hole.
    """
    cover = shapely.Polygon(top.points)
    if not cover.is_valid:  # named by the check of the drawing
        return [*pieces, top]
    box = bounds(top.points)
    result: list[Piece] = []
    for piece in pieces:
        if not _boxes_meet(bounds(piece.points), box):
            result.append(piece)
            continue
        below = shapely.Polygon(piece.points)
        if not below.is_valid:
            result.append(piece)
            continue
        rest = shapely.difference(below, cover)
        if below.area - rest.area < ON_LINE_MM:
            result.append(piece)
            continue
        result.extend(replace(piece, points=ring) for ring in _rings(rest))
    return [*result, top]


def _boxes_meet(a: tuple[float, float, float, float], b: tuple[float, float, float, float]) -> bool:
    ax0, ay0, ax1, ay1 = a
    bx0, by0, bx1, by1 = b
    return ax0 < bx1 and bx0 < ax1 and ay0 < by1 and by0 < ay1


def _rings(shape: shapely.Geometry) -> list[Polygon]:
    """The outlines of what is left, without the hairs that rounding leaves."""
    rings: list[Polygon] = []
    for part in shapely.get_parts(shape):
        if part.geom_type != "Polygon" or 2.0 * part.area <= WELD_MM * part.length:
            continue
        if part.interiors:
            raise HoleError
        points = tuple(snap_point((x, y)) for x, y in part.exterior.coords[:-1])
        ring = drop_collinear(anticlockwise(points))
        if area(ring) > 0.0:
            rings.append(ring)
    return rings


def in_reading_order(pieces: Iterable[Piece]) -> tuple[Piece, ...]:
    """From the top down, and in one row from left to right, by each piece's upper left corner."""

    def key(piece: Piece) -> tuple[float, float, float, float]:
        x0, y0, x1, y1 = bounds(piece.points)
        return (-round(y1, 3), round(x0, 3), -round(y0, 3), round(x1, 3))

    return tuple(sorted(pieces, key=key))
