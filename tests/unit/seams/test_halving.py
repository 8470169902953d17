"""Half-star seams: through the centre alone, as few as an implementation of its own finds."""

from __future__ import annotations

import math

import pytest
from shapely import LineString
from shapely import Polygon as Shape

from fakes.drawings import block, rectangle, swirl
from fakes.freed import assert_frees
from fakes.stars import carriers, fewest_cuts, star
from seamwright.geometry import Line, Polygon, area
from seamwright.seams import free, halve, splits, star_centres

POINTS = (5, 6, 7, 8, 12)


def lemoyne() -> list[Polygon]:
    return [patch.points for patch in block("lemoyne star").patches]


def assert_through(rings: list[Polygon], centre: tuple[float, float]) -> None:
    """All added seams lie on lines through the centre, and the first divides the whole in two."""
    halved = halve(rings)
    assert halved is not None
    assert_frees(rings, halved)
    assert halved.fewest
    for seam in halved.added:
        assert abs(Line.through(seam.start, seam.end).side(centre)) < 1e-4
    assert any(
        all(
            min(line.side(p) for p in cell) > -1e-4 or max(line.side(p) for p in cell) < 1e-4
            for cell in halved.cells
        )
        for line in (Line.through(seam.start, seam.end) for seam in halved.added)
    ), "one straight seam runs through everything"


@pytest.mark.parametrize("points", POINTS)
@pytest.mark.parametrize("turned_deg", [0.0, 11.0])
def test_each_star_is_divided_through_its_centre(points: int, turned_deg: float) -> None:
    rings = star(points, turned_deg=turned_deg)
    assert not splits(rings)
    assert star_centres(rings) == ((0.0, 0.0),)
    assert_through(rings, (0.0, 0.0))


@pytest.mark.parametrize("points", POINTS)
def test_what_is_set_in_is_cut_and_of_an_odd_star_one_point_too(points: int) -> None:
    # whatever is set in locks with its two neighbours, so each takes a cut; where no two edges lie
    # opposite each other, the first line through the centre runs along one of the points as well
    halved = halve(star(points))
    assert halved is not None
    assert len(halved.added) == points + points % 2
    assert len({seam.cell for seam in halved.added}) == points + points % 2


@pytest.mark.parametrize("points", POINTS[:4])
def test_no_order_of_lines_through_the_centre_takes_fewer(points: int) -> None:
    rings = star(points)
    halved = halve(rings)
    assert halved is not None
    assert len(halved.added) == fewest_cuts(rings, carriers(rings), through=(0.0, 0.0))


def test_the_eight_pointed_star_of_the_library() -> None:
    rings = lemoyne()
    (centre,) = star_centres(rings)
    assert_through(rings, centre)
    halved = halve(rings)
    assert halved is not None
    # four squares and four triangles, each cut once
    drawn = [rings[seam.cell] for seam in halved.added]
    assert sorted(len(ring) for ring in drawn) == [3, 3, 3, 3, 4, 4, 4, 4]
    for seam in halved.added:
        halves = [c for c, o in zip(halved.cells, halved.origin, strict=True) if o == seam.cell]
        assert [area(half) for half in halves] == pytest.approx([area(rings[seam.cell]) / 2] * 2)


def test_two_stars_side_by_side_are_divided_each_through_its_own_centre() -> None:
    rings = lemoyne()
    width = max(x for ring in rings for x, _ in ring)
    rings += [tuple((x + width, y) for x, y in ring) for ring in rings]
    halved = halve(rings)
    assert halved is not None
    assert_frees(rings, halved)
    assert len(halved.added) == 16
    assert len(star_centres(rings)) == 2
    # equal stars are cut alike, as pieces that can be made together
    for here, there in zip(halved.added[:8], halved.added[8:], strict=True):
        assert there.cell == here.cell + 16
        assert there.start == pytest.approx((here.start[0] + width, here.start[1]))
        assert there.end == pytest.approx((here.end[0] + width, here.end[1]))


def test_what_locks_beyond_the_star_is_freed_too() -> None:
    """A star set into a swirl: one line through its centre first, then any that carry an edge."""
    rings = lemoyne()
    side = max(x for ring in rings for x, _ in ring)
    wide = side / 2.0
    rings += [
        ((-wide, -wide), (side, -wide), (side, 0.0), (-wide, 0.0)),
        ((side, -wide), (side + wide, -wide), (side + wide, side), (side, side)),
        ((0.0, side), (side + wide, side), (side + wide, side + wide), (0.0, side + wide)),
        ((-wide, 0.0), (0.0, 0.0), (0.0, side + wide), (-wide, side + wide)),
    ]
    halved = halve(rings)
    assert halved is not None
    assert_frees(rings, halved)
    (centre,) = star_centres(rings)
    through = [s for s in halved.added if abs(Line.through(s.start, s.end).side(centre)) < 1e-4]
    assert len(through) >= 8
    assert len(halved.added) >= len(free(rings).added)


def test_nothing_is_halved_where_no_star_locks() -> None:
    assert halve([patch.points for patch in swirl().patches]) is None
    assert halve([rectangle(60.0, 40.0)]) is None
    pie = [
        (
            (0.0, 0.0),
            *(
                (round(math.cos(math.radians(a)), 9), round(math.sin(math.radians(a)), 9))
                for a in (k * 60.0, k * 60.0 + 60.0)
            ),
        )
        for k in range(6)
    ]
    assert len(star_centres(pie)) == 1
    assert splits(pie)
    assert halve(pie) is None


def test_without_time_it_comes_apart_all_the_same_and_says_so() -> None:
    rings = lemoyne()
    halved = halve(rings, seconds=-1.0)
    assert halved is not None
    assert_frees(rings, halved)
    assert not halved.fewest
    whole = Shape([(0, 0), (152.4, 0), (152.4, 152.4), (0, 152.4)])
    assert all(whole.buffer(1e-6).covers(LineString([s.start, s.end])) for s in halved.added)
