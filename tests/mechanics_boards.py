"""Boards for the tests of the mechanics."""

from __future__ import annotations

import random
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from seamwright.design import Drawing, Kind, Patch, Unit
from seamwright.geometry import Polygon
from seamwright.strength.board import welded
from seamwright.strength.elements import Elements, prepared
from seamwright.strength.mesh import meshed
from seamwright.strength.seams import SeamRun, seams_of

WOODS = (("A", "sugar maple"), ("B", "black walnut"), ("C", "black cherry"))
Floats = NDArray[np.float64]


def rectangle(x0: float, y0: float, x1: float, y1: float) -> Polygon:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def drawing(
    patches: Iterable[tuple[Polygon, str, float]],
    width: float,
    height: float,
    *,
    thickness: float = 19.0,
) -> Drawing:
    return Drawing(
        title="test board",
        unit=Unit.MM,
        thickness_mm=thickness,
        kind=Kind.THROUGH,
        woods=WOODS,
        patches=tuple(
            Patch(name=str(i + 1), points=points, wood=wood, grain_deg=grain)
            for i, (points, wood, grain) in enumerate(patches)
        ),
        outline=rectangle(0.0, 0.0, width, height),
    )


def triangle_board(
    columns: int = 6, rows: int = 4, *, side: float = 50.0, seed: int = 1, mixed: bool = True
) -> Drawing:
    """Squares split on alternating diagonals, woods and grain at random (or all alike)."""
    dice = random.Random(seed)
    patches = []
    for i in range(columns):
        for j in range(rows):
            x, y = i * side, j * side
            a, b, c, d = rectangle(x, y, x + side, y + side)
            halves = ((a, b, c), (a, c, d)) if (i + j) % 2 else ((a, b, d), (b, c, d))
            for points in halves:
                wood = dice.choice("ABC") if mixed else "A"
                grain = dice.choice((0.0, 45.0, 90.0, 135.0)) if mixed else 30.0
                patches.append((points, wood, grain))
    return drawing(patches, columns * side, rows * side)


def check_board(columns: int, rows: int, *, side: float = 20.0, seed: int = 1) -> Drawing:
    dice = random.Random(seed)
    patches = [
        (
            rectangle(i * side, j * side, (i + 1) * side, (j + 1) * side),
            "AB"[(i + j) % 2],
            dice.choice((0.0, 90.0)),
        )
        for i in range(columns)
        for j in range(rows)
    ]
    return drawing(patches, columns * side, rows * side)


@dataclass(frozen=True)
class Ready:
    drawing: Drawing
    elements: Elements
    seams: tuple[SeamRun, ...]


def ready(board: Drawing, *, size: float = 5.0) -> Ready:
    net = welded(board)
    return Ready(board, prepared(meshed(net, size_mm=size)), seams_of(net))


def isotropic(modulus: float, poisson: float) -> Floats:
    scale = modulus / (1.0 - poisson * poisson)
    return scale * np.array(
        [[1.0, poisson, 0.0], [poisson, 1.0, 0.0], [0.0, 0.0, (1.0 - poisson) / 2.0]]
    )
