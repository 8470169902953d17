"""Random drawings that come apart along straight seams, and drawings that lock. Invented sizes."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

from hypothesis import strategies as st

from seamwright.design import Drawing, Kind, Patch, Unit, read
from seamwright.geometry import Line, Point, Polygon, area, drop_collinear, split

SQUARE_ANGLES = (0.0, 90.0)
EIGHTHS = (0.0, 45.0, 90.0, 135.0)
LEAST_EDGE_MM = 4.0
"""Random cuts leave no edge and no width below this: thinner ones are mistakes, not pieces."""


def rectangle(width: float, height: float) -> Polygon:
    return ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))


def drawing(
    rings: Sequence[Polygon],
    woods: Sequence[str],
    grains: Sequence[float],
    *,
    thickness: float = 19.0,
    outline: Polygon | None = None,
    copies: int = 1,
) -> Drawing:
    """A drawing of given outlines; its own outline is their bounding rectangle unless given."""
    xs = [x for ring in rings for x, _ in ring]
    ys = [y for ring in rings for _, y in ring]
    low, high = (min(xs), min(ys)), (max(xs), max(ys))
    around = (low, (high[0], low[1]), high, (low[0], high[1]))
    return Drawing(
        title="random",
        unit=Unit.MM,
        thickness_mm=thickness,
        kind=Kind.THROUGH,
        woods=(("A", "pear"), ("B", "bog oak"), ("C", "plum")),
        patches=tuple(
            Patch(name=str(i + 1), points=ring, wood=wood, grain_deg=grain)
            for i, (ring, wood, grain) in enumerate(zip(rings, woods, grains, strict=True))
        ),
        outline=outline or around,
        copies=copies,
    )


def split_rings(
    seed: int,
    count: int,
    *,
    width: float = 400.0,
    height: float = 300.0,
    angles: Sequence[float] | None = EIGHTHS,
    step_mm: float = 0.0,
) -> list[Polygon]:
    """A rectangle taken apart by random straight cuts; `angles` None means any angle.

    Args:
        seed, count: of the random numbers; pieces wanted (fewer where nothing more can be cut).
        width, height: of the rectangle [mm].
        angles: directions of the cuts [°].
        step_mm: cuts go through points of a grid this wide; 0 for any point.
    """
    rnd = random.Random(seed)
    rings: list[Polygon] = [rectangle(width, height)]
    for _ in range(40 * count):
        if len(rings) >= count:
            break
        rings.sort(key=area)
        at = max(rnd.randrange(len(rings)) for _ in range(2))
        angle = rnd.choice(angles) if angles else round(rnd.uniform(0.0, 180.0), 3)
        line = Line.at_angle(_inside(rings[at], rnd, step_mm), angle)
        parts = [drop_collinear(p) for side in split(rings[at], line) for p in side]
        if len(parts) == 2 and all(_is_sound(p) for p in parts):
            rings[at : at + 1] = parts
    return with_joints(rings)


def _inside(ring: Polygon, rnd: random.Random, step_mm: float) -> Point:
    weights = [rnd.random() + 0.05 for _ in ring]
    total = sum(weights)
    x = sum(w * p[0] for w, p in zip(weights, ring, strict=True)) / total
    y = sum(w * p[1] for w, p in zip(weights, ring, strict=True)) / total
    if step_mm:
        x, y = round(x / step_mm) * step_mm, round(y / step_mm) * step_mm
    return (x, y)


def _is_sound(ring: Polygon) -> bool:
    if len(ring) < 3:
        return False
    for a, b in zip(ring, ring[1:] + ring[:1], strict=True):
        wide = max(Line.through(a, b).side(p) for p in ring)
        if math.dist(a, b) < LEAST_EDGE_MM or wide < LEAST_EDGE_MM:
            return False
    return True


def with_joints(rings: Sequence[Polygon]) -> list[Polygon]:
    """Points on straight edges where neighbours end, as checked drawings have them."""
    corners = sorted({p for ring in rings for p in ring})
    result = []
    for ring in rings:
        points: list[Point] = []
        for a, b in zip(ring, ring[1:] + ring[:1], strict=True):
            line, length = Line.through(a, b), math.dist(a, b)
            points.append(a)
            between = []
            for p in corners:
                along = line.ux * (p[0] - a[0]) + line.uy * (p[1] - a[1])
                if 1e-3 < along < length - 1e-3 and abs(line.side(p)) < 1e-5:
                    between.append((along, p))
            last = 0.0
            for along, p in sorted(between):
                if along - last > 1e-3:
                    points.append(p)
                last = along
        result.append(tuple(points))
    return result


def random_split(
    seed: int,
    count: int,
    *,
    woods: int = 2,
    grains: Sequence[float] | None = (90.0,),
    thickness: float = 19.0,
    width: float = 400.0,
    height: float = 300.0,
    angles: Sequence[float] | None = EIGHTHS,
    step_mm: float = 0.0,
    copies: int = 1,
) -> Drawing:
    """A random drawing that splits; `grains` None means any direction for every patch."""
    rings = split_rings(seed, count, width=width, height=height, angles=angles, step_mm=step_mm)
    rnd = random.Random(seed + 1)
    letters = [rnd.choice("ABC"[:woods]) for _ in rings]
    chosen = [rnd.choice(grains) if grains else round(rnd.uniform(0.0, 179.9), 2) for _ in rings]
    return drawing(rings, letters, chosen, thickness=thickness, copies=copies)


SMALL_BOARDS = st.builds(
    random_split,
    st.integers(0, 10**6),
    st.integers(4, 14),
    woods=st.just(2),
    grains=st.just((90.0,)),
    step_mm=st.sampled_from([25.0, 50.0]),
    angles=st.just(SQUARE_ANGLES),
)
"""Square boards of few patches, their grain upright."""


def swirl(*, long: float = 60.0, short: float = 30.0) -> Drawing:
    """Four bricks round a middle: locks."""
    a, b = long, short
    side = a + b

    def brick(x: float, y: float, w: float, h: float) -> Polygon:
        return ((x, y), (x + w, y), (x + w, y + h), (x, y + h))

    rings = [
        brick(0, 0, a, b),
        brick(a, 0, b, a),
        brick(b, a, a, b),
        brick(0, b, b, a),
        brick(b, b, a - b, a - b),
    ]
    return drawing(with_joints(rings), "ABABC", [90.0] * 5, outline=rectangle(side, side))


def pinwheel_of_five(*, side: float = 120.0, lean_deg: float = 70.0) -> Drawing:
    """Four vanes round a square that stands aslant: locks."""
    half = side / 2.0

    def quarter(p: Point) -> Point:
        return (side - p[1], p[0])

    lines = [Line.at_angle((side / 3.0, 0.0), lean_deg)]
    starts = [(side / 3.0, 0.0)]
    for _ in range(3):
        starts.append(quarter(starts[-1]))
        lines.append(Line.at_angle(starts[-1], lines[-1].angle_deg + 90.0))
    corners = []
    for i in range(4):
        corner = lines[i].crossing(lines[i - 1])
        assert corner is not None
        corners.append(corner)
    outer = rectangle(side, side)
    vanes = [(outer[i], starts[i], corners[i], starts[i - 1]) for i in range(4)]
    assert math.dist(corners[0], (half, half)) < half
    return drawing(with_joints([*vanes, tuple(corners)]), "ABABC", [90.0] * 5, outline=outer)


def block(name: str, *, size: str = "6", thickness: str = "1/2", board: str = "") -> Drawing:
    """A traditional block by name as a board of its own, or in a `[board]` of your own."""
    return read(
        f'''
        unit = "in"
        thickness = "{thickness}"
        woods = {{ A = "pear", B = "bog oak", C = "plum", D = "lime", E = "yew" }}
        [block.one]
        from = "{name}"
        size = "{size}"
        {board}
        ''',
        name=name,
    )


def chequers(columns: int, rows: int, *, size: float = 40.0, grain: float = 90.0) -> Drawing:
    """Squares of two woods in turn, their grain one way [mm, °]."""
    rings: list[Polygon] = [
        tuple((size * (x + a), size * (y + b)) for a, b in ((0, 0), (1, 0), (1, 1), (0, 1)))
        for y in range(rows)
        for x in range(columns)
    ]
    woods = ["AB"[(i % columns + i // columns) % 2] for i in range(columns * rows)]
    return drawing(with_joints(rings), woods, [grain] * len(rings))
