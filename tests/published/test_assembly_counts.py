"""AND/OR graphs of small products, counted from our seams against published numbers.

A row of n parts glued two at a time has as many trees as there are ways to put brackets round n
letters: the Catalan numbers (OEIS A000108). Its sub-assemblies are its runs, n(n+1)/2 (A000217);
those of a k × k grid are the rectangles in it (A000537). The trees of a grid by straight splits are
counted a second time without any geometry, by splitting the pair of numbers. That assembly plans
are such trees in an AND/OR graph: Homem de Mello and Sanderson 1990.
"""

from __future__ import annotations

from functools import cache

import pytest

from seamwright.geometry import Polygon
from seamwright.seams import Through, members, supporting_lines

CATALAN = (1, 1, 2, 5, 14, 42, 132, 429, 1430, 4862)
"""A000108 from index 0."""
RECTANGLES = (1, 9, 36, 100, 225)
"""A000537 from index 1: rectangles in a k × k grid."""


def grid(columns: int, rows: int) -> list[Polygon]:
    """Cells of different sizes, so that seams meet only where they should."""
    xs = [10.0 * i + i * i for i in range(columns + 1)]
    ys = [12.0 * j + j * j for j in range(rows + 1)]
    return [
        ((xs[i], ys[j]), (xs[i + 1], ys[j]), (xs[i + 1], ys[j + 1]), (xs[i], ys[j + 1]))
        for j in range(rows)
        for i in range(columns)
    ]


class Graph:
    """All ways to take a drawing apart, one straight seam at a time."""

    def __init__(self, cells: list[Polygon]) -> None:
        self.lines: tuple[Through, ...] = supporting_lines(cells)
        self.trees_of: dict[int, int] = {}
        self.whole = (1 << len(cells)) - 1

    def trees(self, region: int) -> int:
        """Binary trees that take a region down to single cells."""
        if region not in self.trees_of:
            if len(members(region)) == 1:
                self.trees_of[region] = 1
            else:
                self.trees_of[region] = sum(
                    self.trees(region & line.left) * self.trees(region & line.right)
                    for line in self.lines
                    if line.divides(region)
                )
        return self.trees_of[region]


@cache
def trees_by_numbers(columns: int, rows: int) -> int:
    """The same for a grid, by arithmetic alone."""
    if columns == rows == 1:
        return 1
    upright = (trees_by_numbers(i, rows) * trees_by_numbers(columns - i, rows)
               for i in range(1, columns))  # fmt: skip
    level = (trees_by_numbers(columns, j) * trees_by_numbers(columns, rows - j)
             for j in range(1, rows))  # fmt: skip
    return sum(upright) + sum(level)


@pytest.mark.parametrize("count", range(1, 11))
def test_trees_of_a_row_are_the_catalan_numbers(count: int) -> None:
    graph = Graph(grid(count, 1))
    assert graph.trees(graph.whole) == CATALAN[count - 1]
    assert len(graph.trees_of) == count * (count + 1) // 2


@pytest.mark.parametrize("side", range(1, 6))
def test_subassemblies_of_a_grid_are_the_rectangles_in_it(side: int) -> None:
    graph = Graph(grid(side, side))
    assert graph.trees(graph.whole) == trees_by_numbers(side, side)
    assert len(graph.trees_of) == RECTANGLES[side - 1]


@pytest.mark.parametrize("shape", [(2, 3), (3, 4), (2, 6), (5, 3)])
def test_trees_of_an_oblong_grid(shape: tuple[int, int]) -> None:
    graph = Graph(grid(*shape))
    assert graph.trees(graph.whole) == trees_by_numbers(*shape)
