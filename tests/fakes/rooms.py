"""Random partitions of a small grid into rectangles, locked ones among them."""

from __future__ import annotations

from hypothesis import strategies as st

from seamwright.geometry import Polygon

Room = tuple[int, int, int, int]


@st.composite
def rectangulations(draw: st.DrawFn) -> list[Room]:
    width, height = draw(st.integers(2, 7)), draw(st.integers(2, 7))
    rnd = draw(st.randoms(use_true_random=False))
    taken: set[tuple[int, int]] = set()
    rooms: list[Room] = []
    for y in range(height):
        for x in range(width):
            if (x, y) in taken:
                continue
            wide = 1
            while x + wide < width and (x + wide, y) not in taken and rnd.random() < 0.55:
                wide += 1
            high = rnd.randint(1, min(3, height - y))
            rooms.append((x, y, x + wide, y + high))
            taken |= {(i, j) for i in range(x, x + wide) for j in range(y, y + high)}
    return rooms


def cells(rooms: list[Room]) -> list[Polygon]:
    return [
        ((10.0 * a, 10.0 * b), (10.0 * c, 10.0 * b), (10.0 * c, 10.0 * d), (10.0 * a, 10.0 * d))
        for a, b, c, d in rooms
    ]
