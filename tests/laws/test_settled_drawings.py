"""An edited drawing settled in memory is the one its file would give back, refusals included."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from fakes.drawings import random_split
from seamwright.design import Drawing, settle, write
from seamwright.design.reader import read
from seamwright.errors import DesignError, Fault
from seamwright.geometry import snap_point


def by_file(drawing: Drawing) -> Drawing | tuple[Fault, ...]:
    try:
        return read(write(drawing), name=drawing.title)
    except DesignError as error:
        return error.faults


def settled(drawing: Drawing) -> Drawing | tuple[Fault, ...]:
    try:
        return settle(drawing)
    except DesignError as error:
        return error.faults


@settings(max_examples=80, deadline=None)
@given(
    seed=st.integers(0, 10_000),
    count=st.integers(2, 24),
    moves=st.lists(
        st.tuples(
            st.integers(0, 23),
            st.integers(0, 6),
            st.sampled_from([0.0, 1e-9, 0.0004, 0.002, 0.3, 40.0, -25.0]),
        ),
        max_size=4,
    ),
    words=st.sampled_from(["", "Tray  twice", " edge", "line\nbreak", "Q" * 130, "plain"]),
)
def test_settling_is_writing_and_reading_back(
    seed: int, count: int, moves: list[tuple[int, int, float]], words: str
) -> None:
    drawing = random_split(seed, count)
    patches = list(drawing.patches)
    for number, corner, by in moves:
        patch = patches[number % len(patches)]
        points = list(patch.points)
        x, y = points[corner % len(points)]
        points[corner % len(points)] = snap_point((x + by, y))
        patches[number % len(patches)] = replace(patch, points=tuple(points))
    edited = replace(drawing, patches=tuple(patches), title=words or drawing.title)
    assert settled(edited) == by_file(edited)


@settings(max_examples=60, deadline=None)
@given(
    thickness=st.sampled_from([0.0, 0.1, 0.2, 19.05, 300.0, 300.1, 1e-12]),
    copies=st.sampled_from([0, 1, 7, 1000, 1001]),
    grain=st.sampled_from([0.0, 1e-30, 1e-4, 45.0, 179.999, 180.0, 33.333333333333336]),
    wood=st.sampled_from(["A", "Z"]),
    name=st.sampled_from(["1", "2", "a b", " a", "N" * 41]),
    turned=st.booleans(),
)
def test_settling_refuses_what_the_reader_refuses(
    thickness: float, copies: int, grain: float, wood: str, name: str, turned: bool
) -> None:
    drawing = random_split(3, 6)
    first, *rest = drawing.patches
    points = first.points[::-1] if turned else first.points
    changed = replace(first, grain_deg=grain, wood=wood, name=name, points=points)
    edited = replace(
        drawing, patches=(changed, *rest), thickness_mm=thickness, copies=copies,
        outline=drawing.outline[::-1] if turned else drawing.outline[2:] + drawing.outline[:2],
    )  # fmt: skip
    assert settled(edited) == by_file(edited)
