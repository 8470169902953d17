"""Points, lines, polygons, cuts and rigid motions in the plane.

Everything is in millimetres and degrees, x to the right, y up, angles anticlockwise from x.
Polygons are tuples of points in anticlockwise order without the first point repeated at the end.
All functions are pure.

>>> square = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
>>> area(square)
100.0
>>> [area(part) for part in clip(square, Line.through((0.0, 0.0), (10.0, 10.0)))]
[50.0]
>>> Motion(turn_deg=90.0).point((2.0, 1.0))
(-1.0, 2.0)
"""

from seamwright.geometry.angles import angle_between, cos_deg, direction_deg, fold_deg, sin_deg
from seamwright.geometry.cuts import clip, cut_band, split
from seamwright.geometry.lines import Line
from seamwright.geometry.motions import IDENTITY, Motion
from seamwright.geometry.points import Point, distance, snap, snap_point
from seamwright.geometry.polygons import (
    Polygon,
    anticlockwise,
    area,
    bounds,
    centroid,
    convex_hull,
    drop_collinear,
    inner_point,
    is_convex,
    signed_area,
)
from seamwright.geometry.tolerance import (
    ANGLE_DEG,
    LATTICE_PER_MM,
    ON_LINE_MM,
    SLIVER_MM,
    WELD_MM,
)

__all__ = [
    "ANGLE_DEG",
    "IDENTITY",
    "LATTICE_PER_MM",
    "ON_LINE_MM",
    "SLIVER_MM",
    "WELD_MM",
    "Line",
    "Motion",
    "Point",
    "Polygon",
    "angle_between",
    "anticlockwise",
    "area",
    "bounds",
    "centroid",
    "clip",
    "convex_hull",
    "cos_deg",
    "cut_band",
    "direction_deg",
    "distance",
    "drop_collinear",
    "fold_deg",
    "inner_point",
    "is_convex",
    "signed_area",
    "sin_deg",
    "snap",
    "snap_point",
    "split",
]
