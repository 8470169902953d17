"""What is told of the checks of settings."""

from __future__ import annotations

import pytest
from shapely import LineString, Polygon
from shapely.affinity import rotate
from shapely.ops import split

from seamwright.fit import check_lines, checks
from seamwright.fit.calibration import five_cut_deg
from seamwright.plan import shop_sources


def test_every_check_feeds_a_value_that_the_shop_file_has() -> None:
    known = {f"[{each.section}] {each.key}" for each in shop_sources()}
    assert {check.key for check in checks()} <= known
    assert len(checks()) == 5


def test_every_letter_of_a_formula_is_read_or_reckoned() -> None:
    for check in checks():
        letters = {reading.sign for reading in check.readings}
        used = "".join(result.formula for result in check.results)
        assert all(letter in used for letter in letters), check.name


def test_the_lines_tell_all_of_each_check() -> None:
    text = "\n".join(check_lines())
    assert "manual goes before anything" in text
    for check in checks():
        for told in (check.doing, check.example, check.key, check.source, check.write):
            assert told in text
        for result in check.results:
            assert result.formula in text


@pytest.mark.parametrize("off_deg", [0.4, -0.4])
def test_which_end_is_thicker_says_which_way_the_corner_is_off(off_deg: float) -> None:
    """Five cuts on a real board (shapely): the fence along x behind it, pushed along y.

    The corner at the fence comes out at 90° + off.
    """
    board = Polygon([(0, 0), (400, 0), (400, 400), (0, 400)])
    for _ in range(4):
        board, _off = _cut(board, off_deg, 20.0)
        turned = rotate(board, -90, origin=(0, 0))
        board = _on_the_fence(turned, off_deg)
    _, strip = _cut(board, off_deg, 30.0)
    first, last, length = _thicknesses(strip, off_deg)
    assert abs(abs(five_cut_deg(first, last, length)) - abs(off_deg)) < 0.02
    assert (first < last) == (off_deg > 0)


def _cut(board: Polygon, off_deg: float, takes: float) -> tuple[Polygon, Polygon]:
    """What stays left of the blade, and what falls off right of it."""
    x1 = max(x for x, y in board.exterior.coords if y < 1.0)
    blade = rotate(
        LineString([(x1 - takes, -900), (x1 - takes, 900)]), -off_deg, origin=(x1 - takes, 0)
    )
    stays, off = sorted(split(board, blade).geoms, key=lambda part: part.centroid.x)
    return stays, off


def _on_the_fence(board: Polygon, off_deg: float) -> Polygon:
    """The edge cut last, now lowest, laid along x."""
    # the blade leaned by −off from the push; a quarter turn on, its cut leans by as much from x
    lying = rotate(board, off_deg, origin=(0, 0))
    x0, y0 = min(x for x, _ in lying.exterior.coords), min(y for _, y in lying.exterior.coords)
    return Polygon([(x - x0, y - y0) for x, y in lying.exterior.coords])


def _thicknesses(strip: Polygon, off_deg: float) -> tuple[float, float, float]:
    """Near the end that met the blade first (far from the fence), near the fence, and between."""
    level = rotate(strip, off_deg, origin=(0, 0))
    _, low, _, high = level.bounds
    near, far = low + 30.0, high - 30.0
    across = [level.intersection(LineString([(-900, y), (900, y)])).length for y in (far, near)]
    return across[0], across[1], far - near
