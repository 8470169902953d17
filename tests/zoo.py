"""Shapes that every geometric function must meet: plain, hollow, touching, thin, far away."""

from __future__ import annotations

import math

from hypothesis import assume
from hypothesis import strategies as st

Ring = tuple[tuple[float, float], ...]


def turned(ring: Ring, angle_deg: float) -> Ring:
    c, s = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    return tuple((c * x - s * y, s * x + c * y) for x, y in ring)


def shifted(ring: Ring, dx: float, dy: float) -> Ring:
    return tuple((x + dx, y + dy) for x, y in ring)


SQUARE: Ring = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
TRIANGLE: Ring = ((0.0, 0.0), (12.0, 0.0), (0.0, 5.0))
BARN: Ring = ((0.0, 0.0), (8.0, 0.0), (8.0, 6.0), (4.0, 9.0), (0.0, 6.0))
ELL: Ring = ((0.0, 0.0), (10.0, 0.0), (10.0, 3.0), (4.0, 3.0), (4.0, 8.0), (0.0, 8.0))
COMB: Ring = (
    (0.0, 0.0), (14.0, 0.0), (14.0, 6.0), (12.0, 6.0), (12.0, 2.0), (9.0, 2.0), (9.0, 6.0),
    (7.0, 6.0), (7.0, 2.0), (4.0, 2.0), (4.0, 6.0), (0.0, 6.0),
)  # fmt: skip
ARROW: Ring = ((0.0, 0.0), (6.0, 4.0), (0.0, 8.0), (2.0, 4.0))
NOTCH_TO_EDGE: Ring = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (5.0, 1e-9), (0.0, 10.0))
RING_WITH_SLIT: Ring = (
    (0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (5.0, 9.0), (5.0, 6.0), (6.0, 6.0), (6.0, 3.0), (3.0, 3.0),
    (3.0, 6.0), (4.0, 6.0), (4.0, 9.0), (0.0, 9.0),
)  # fmt: skip
THIN: Ring = ((0.0, 0.0), (500.0, 0.0), (500.0, 0.001), (0.0, 0.001))
WITH_JOINTS: Ring = ((0.0, 0.0), (3.0, 0.0), (10.0, 0.0), (10.0, 5.0), (10.0, 10.0), (0.0, 10.0))
ZIGZAG: Ring = (
    (0.0, 0.0), (2.0, 3.0), (4.0, 0.0), (6.0, 3.0), (8.0, 0.0), (8.0, 6.0), (0.0, 6.0),
)  # fmt: skip

ZOO: dict[str, Ring] = {
    "square": SQUARE,
    "triangle": TRIANGLE,
    "barn": BARN,
    "ell": ELL,
    "comb": COMB,
    "arrow": ARROW,
    "notch that nearly reaches the edge": NOTCH_TO_EDGE,
    "ring with a slit": RING_WITH_SLIT,
    "thin": THIN,
    "with points on its edges": WITH_JOINTS,
    "zigzag": ZIGZAG,
    "far away": shifted(COMB, 9000.0, -7000.0),
    "turned by 30": turned(COMB, 30.0),
    "turned by an odd angle": turned(RING_WITH_SLIT, 17.3),
    "tiny": tuple((x * 1e-3, y * 1e-3) for x, y in COMB),
}

FLAT: dict[str, Ring] = {
    "nothing": (),
    "point": ((1.0, 1.0),),
    "point three times": ((1.0, 1.0), (1.0, 1.0), (1.0, 1.0)),
    "segment": ((0.0, 0.0), (5.0, 5.0)),
    "there and back": ((0.0, 0.0), (5.0, 0.0), (10.0, 0.0), (5.0, 0.0)),
}


@st.composite
def star_shaped(draw: st.DrawFn) -> Ring:
    """Simple polygons round a middle, hollow as they come, anticlockwise."""
    count = draw(st.integers(3, 12))
    steps = draw(st.lists(st.integers(1, 8), min_size=count, max_size=count))
    radii = draw(st.lists(st.integers(2, 40), min_size=count, max_size=count))
    total, angle, ring = sum(steps), 0.0, []
    assume(max(steps) * 2 < total)
    for step, radius in zip(steps, radii, strict=True):
        angle += 2.0 * math.pi * step / total
        ring.append((radius * math.cos(angle), radius * math.sin(angle)))
    return tuple(ring)


@st.composite
def stepped(draw: st.DrawFn) -> Ring:
    """Skylines on whole numbers: many edges and corners share lines."""
    heights = draw(st.lists(st.integers(1, 5), min_size=1, max_size=8))
    top: list[tuple[float, float]] = []
    for i, height in enumerate(heights):
        top += [(float(i), float(height)), (float(i + 1), float(height))]
    ring = [(0.0, 0.0), (float(len(heights)), 0.0), *reversed(top)]
    return tuple(p for i, p in enumerate(ring) if p != ring[i - 1])


simple_polygons = st.one_of(st.sampled_from(list(ZOO.values())), star_shaped(), stepped())
