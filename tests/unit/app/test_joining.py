"""Pieces of one wood and grain that meet for nothing become one piece."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from seamwright import app
from seamwright.app.joining import Joined, joined
from seamwright.design import Drawing, read
from seamwright.geometry import is_convex
from seamwright.pictures import Ruler

HEAD = (
    'unit = "mm"\nthickness = 20\nwoods = { A = "hard maple", B = "black walnut", C = "cherry" }\n'
)


def _grid(rows: list[str], *, grain: str = "up") -> Drawing:
    wide, high = len(rows[0].split()), len(rows)
    cells = "\n".join(rows)
    text = (
        f'{HEAD}grain = "{grain}"\n[block.b]\ncolumns = "{"30 " * wide}"\nrows = "{"40 " * high}"\n'
        f"cells = '''\n{cells}\n'''\n[board]\nset = \"b\"\n"
    )
    return read(text, name="grid")


def _looks(drawing: Drawing) -> dict[tuple[str, float], shapely.Geometry]:
    """What is seen of each wood and grain, by a general geometry library."""
    kinds = {(p.wood, p.grain_deg) for p in drawing.patches}
    return {
        kind: shapely.unary_union(
            [shapely.Polygon(p.points) for p in drawing.patches if (p.wood, p.grain_deg) == kind]
        )
        for kind in kinds
    }


cell = st.sampled_from(["A", "B", "A/B", "B/A", "A/A"]) | st.sampled_from(["A\\B", "B\\B"])
rows = st.integers(1, 4).flatmap(
    lambda wide: st.lists(
        st.lists(cell, min_size=wide, max_size=wide).map(" ".join), min_size=1, max_size=4
    )
)


@given(rows, st.sampled_from(["up", "across"]))
def test_the_board_looks_the_same_and_every_piece_is_accounted_for(
    listed: list[str], grain: str
) -> None:
    drawing = _grid(listed, grain=grain)
    names = {patch.name for patch in drawing.patches}
    for change in joined(drawing):
        before, after = _looks(drawing), _looks(change.drawing)
        assert before.keys() == after.keys()
        for kind, shape in before.items():
            assert shape.symmetric_difference(after[kind]).area < 1e-6
        assert len(change.drawing.patches) == len(names) - change.seams < len(names)
        pieces = [name for piece in change.pieces for name in piece]
        assert len(set(pieces)) == len(pieces)
        assert set(pieces) <= names
        kept = {patch.name: patch for patch in change.drawing.patches}
        assert all(is_convex(kept[piece[0]].points) for piece in change.pieces)


def test_ends_go_first_then_sides_too() -> None:
    ends, all_of_it = joined(_grid(["A A B", "A A B"]))
    assert (ends.along, ends.seams) == (False, 3)
    assert (all_of_it.along, all_of_it.seams) == (True, 4)
    assert len(all_of_it.drawing.patches) == 2


def test_other_wood_other_grain_and_bent_shapes_stay_apart() -> None:
    assert joined(_grid(["A B", "B A"])) == ()
    bent = joined(_grid(["A B", "A A"]))
    assert [len(change.drawing.patches) for change in bent] == [3]
    text = HEAD + (
        '[[patch]]\nwood = "A"\ngrain = "up"\npoints = "0,0 30,0 30,30 0,30"\n'
        '[[patch]]\nwood = "A"\ngrain = "across"\npoints = "30,0 60,0 60,30 30,30"\n'
    )
    assert joined(read(text, name="two ways")) == ()


@pytest.fixture(scope="module")
def misses() -> app.NearMisses:
    return app.near(_grid(["A B A", "A B B", "A B A"]))


def test_what_it_saves_is_planned_and_told(misses: app.NearMisses) -> None:
    near = next(one for one in misses.found if isinstance(one.change, Joined))
    assert near.saved.minutes == pytest.approx(misses.report.best.cost - near.report.best.cost)
    assert read(near.text, name="grid").patches == near.change.drawing.patches
    words = app.near_words(near, Ruler())
    assert words.startswith("Make one piece of what is of one wood and one grain and meets end to")
    assert f"{near.change.seams} fewer seams" in words
    said = next(c for c in app.near_document(misses)["changes"] if c["sort"] == "seams")
    assert said["was_mm"] is None
    assert set(said["patches"]) == {name for piece in near.change.pieces for name in piece}


def test_only_what_saves_is_told() -> None:
    text = HEAD + '[block.b]\nfrom = "ohio star"\nsize = "120"\n[board]\nset = ["b b b", "b b b"]\n'
    drawing = read(text, name="stars")
    misses = app.near(drawing)
    told = {one.change.along for one in misses.found if isinstance(one.change, Joined)}
    saving = {
        change.along
        for change in joined(drawing)
        if app.plan(change.drawing).best.cost <= misses.report.best.cost - 0.5
    }
    assert told == saving
    assert len(saving) < len(joined(drawing))  # some would cost more
